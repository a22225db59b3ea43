"""Writing a package: the old one or the new one at every moment, and nothing of a stranger is touched.

What must hold is this program's own promise (README, `build`), so the expected state is what was there before.
"""

import errno
import fcntl
import hashlib
import json
import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from permitgen.package import folder as package_folder
from permitgen.package.folder import CannotWriteError, UnusableFolderError, write_folder
from permitgen.package.verify import verify_package
from permitgen.project import staging
from permitgen.project.whole_file import write_file_whole
from tests.properties import package_cases
from tests.properties.package_cases import BESIDE, KEPT, NEW, OLD, THIRD, USERS_AFTER, package, tree, with_stranger_in_it

ROOT = Path(__file__).resolve().parents[2]


DIGEST_OF_X = hashlib.sha256(b"x").hexdigest()


def test_what_is_not_ours_stays(tmp_path):
    folder = with_stranger_in_it(tmp_path)
    written = write_folder(folder, NEW)
    assert tree(folder) == {**NEW, **USERS_AFTER}
    assert (folder / "empty folder").is_dir()
    assert written.kept == (("edited.txt", KEPT),)
    assert {path.name for path in tmp_path.iterdir()} == {"package", *BESIDE}
    write_folder(folder, THIRD)
    assert tree(folder) == {**THIRD, **USERS_AFTER}
    assert not (folder / "more").exists()


def test_an_output_edited_and_no_longer_made_is_kept_under_another_name_only(tmp_path):
    folder = with_stranger_in_it(tmp_path)
    write_folder(folder, THIRD)
    assert tree(folder) == {**THIRD, **USERS_AFTER}


def test_a_link_in_place_of_a_folder_of_ours_is_not_followed(tmp_path):
    folder = tmp_path / "package"
    write_folder(folder, OLD)
    outside = tmp_path / "outside"
    shutil.move(folder / "sub", outside)
    (folder / "sub").symlink_to(outside)
    write_folder(folder, NEW)
    assert set(tree(outside)) == {"b.txt", "gone.txt"}
    assert tree(folder)["sub/b.txt"] == b"new b"
    assert [path.readlink() for path in folder.iterdir() if path.is_symlink()] == [outside]


@pytest.mark.parametrize(
    "manifest",
    [
        '{"name": "left-pad", "version": "1.0.0"}',
        '{"manifest_version": 3, "name": "extension", "version": "1"}',
        "[]",
        "null",
        "not json",
        "",
        '{"program": "permitgen"}',
        json.dumps({"program": "permitgen", "fingerprint": "", "outputs": [{"path": "../mine.txt", "sha256": DIGEST_OF_X}]}),
        json.dumps({"program": "permitgen", "fingerprint": "", "outputs": [{"path": "/etc/hosts", "sha256": DIGEST_OF_X}]}),
        '{"program": "other", "fingerprint": "", "outputs": []}',
        "[" * 100_000,
    ],
    ids=range(11),
)
def test_a_manifest_of_another_kind_is_refused_untouched(tmp_path, manifest):
    folder = tmp_path / "extension"
    folder.mkdir()
    (folder / "manifest.json").write_text(manifest)
    (folder / "mine.txt").write_text("keep")
    (tmp_path / "mine.txt").write_text("x")
    before = tree(tmp_path)
    with pytest.raises(UnusableFolderError, match="not a package"):
        write_folder(folder, NEW)
    assert tree(tmp_path) == before


def test_a_signature_goes_with_its_manifest_and_one_of_another_kind_stays(tmp_path):
    from permitgen.package.signature import new_key, sign_manifest

    folder = tmp_path / "package"
    write_folder(folder, OLD)
    signature = sign_manifest(OLD["manifest.json"], new_key()[0])
    (folder / "manifest.json.sig").write_bytes(signature)
    write_folder(folder, OLD)
    assert (folder / "manifest.json.sig").read_bytes() == signature  # the same manifest: signed still
    write_folder(folder, NEW)
    assert tree(folder) == NEW
    for foreign in (b"-----BEGIN PGP SIGNATURE-----", signature):  # the latter is ours, of another manifest
        (folder / "manifest.json.sig").write_bytes(foreign)
        write_folder(folder, NEW)
        kept = f"manifest.json.kept-{hashlib.sha256(foreign).hexdigest()[:8]}.sig"
        assert tree(folder) == {**NEW, kept: foreign}
        (folder / kept).unlink()


def test_a_folder_where_the_package_has_a_file_is_refused(tmp_path):
    folder = tmp_path / "package"
    write_folder(folder, THIRD)
    (folder / "edited.txt").mkdir()
    (folder / "edited.txt" / "mine").write_text("keep")
    before = tree(tmp_path)
    with pytest.raises(CannotWriteError, match=r"edited\.txt in it is a folder"):
        write_folder(folder, NEW)
    assert tree(tmp_path) == before
    assert [path.name for path in tmp_path.iterdir()] == ["package"]


def test_permissions_stay(tmp_path):
    folder = with_stranger_in_it(tmp_path)
    (folder / ".git").chmod(0o500)
    folder.chmod(0o750)
    write_folder(folder, NEW)
    assert (folder / ".git").stat().st_mode & 0o777 == 0o500
    assert folder.stat().st_mode & 0o777 == 0o750
    (folder / ".git").chmod(0o700)


def test_where_a_disk_knows_no_links_files_are_copied(tmp_path, monkeypatch):
    def no_links(*_arguments, **_options):
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    folder = with_stranger_in_it(tmp_path)
    monkeypatch.setattr(os, "link", no_links)
    monkeypatch.setattr(os, "supports_follow_symlinks", {no_links})
    write_folder(folder, NEW)
    assert tree(folder) == {**NEW, **USERS_AFTER}
    assert {path.name for path in tmp_path.iterdir()} == {"package", *BESIDE}


def test_what_comes_in_between_is_moved_over(tmp_path, monkeypatch):
    """A user saves two files after theirs were carried and before the folders are exchanged."""
    folder = with_stranger_in_it(tmp_path)
    real = package_folder.exchange

    def saving(one, other):
        (folder / "late.txt").write_bytes(b"late")
        (folder / "notes.txt").unlink()
        (folder / "notes.txt").write_bytes(b"saved again")
        return real(one, other)

    monkeypatch.setattr(package_folder, "exchange", saving)
    write_folder(folder, NEW)
    again = f"notes.kept-{hashlib.sha256(b'saved again').hexdigest()[:8]}.txt"
    assert tree(folder) == {**NEW, **USERS_AFTER, "late.txt": b"late", again: b"saved again"}


def test_a_second_run_waits_then_says_so(tmp_path, monkeypatch):
    folder = tmp_path / "package"
    write_folder(folder, OLD)
    monkeypatch.setattr(staging, "LOCK_WAIT_S", 0.2)
    handle = os.open(tmp_path, os.O_RDONLY)
    fcntl.flock(handle, fcntl.LOCK_EX)
    with pytest.raises(CannotWriteError, match="another run"):
        write_folder(folder, NEW)
    assert tree(folder) == OLD
    monkeypatch.setattr(staging, "LOCK_WAIT_S", 20.0)
    threading.Timer(0.2, lambda: os.close(handle)).start()
    write_folder(folder, NEW)
    assert tree(folder) == NEW


def test_documents_made_to_stand_beside_others_are_not_put_over_newer_ones(tmp_path):
    folder = tmp_path / "package"
    write_folder(folder, OLD)
    seen = package_folder.package_in(folder)[1]
    write_folder(folder, NEW)
    with pytest.raises(CannotWriteError, match="another run wrote"):
        write_folder(folder, THIRD, over=seen)
    assert tree(folder) == NEW


_MANY = """
import sys
from pathlib import Path
sys.path.insert(0, {root!r})
from permitgen.package.folder import write_folder
import importlib.util
spec = importlib.util.spec_from_file_location("cases", {here!r})
cases = importlib.util.module_from_spec(spec)
spec.loader.exec_module(cases)
for number in range(12):
    write_folder(Path({folder!r}), (cases.OLD, cases.NEW)[(number + {first}) % 2])
"""


@pytest.mark.skipif(sys.platform != "linux", reason="needs the exchange of folders in one step: Linux")
def test_two_at_once_never_mix_and_at_no_moment_is_there_none(tmp_path):
    folder = tmp_path / "package"
    write_folder(folder, OLD)
    (folder / "mine.txt").write_bytes(b"mine")
    code = [_MANY.format(root=str(ROOT), here=package_cases.__file__, folder=str(folder), first=first) for first in (0, 1)]
    runs = [subprocess.Popen([sys.executable, "-c", text]) for text in code]
    looks = 0
    while any(run.poll() is None for run in runs):
        looks += 1
        assert (folder / "manifest.json").exists()
    assert [run.returncode for run in runs] == [0, 0]
    assert looks > 100
    assert tree(folder) in ({**OLD, "mine.txt": b"mine"}, {**NEW, "mine.txt": b"mine"})
    assert [path.name for path in tmp_path.iterdir()] == ["package"]


@pytest.fixture
def small_disk(tmp_path):
    """A disk of 256 kB, where we may mount one."""
    place = tmp_path / "disk"
    place.mkdir()
    mount = shutil.which("mount")
    if (
        mount is None
        or subprocess.run([mount, "-t", "tmpfs", "-o", "size=256k", "none", str(place)], check=False, capture_output=True).returncode
    ):
        pytest.skip("needs the right to mount a small disk: mount -t tmpfs")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_disk_that_is_really_full(small_disk):
    folder = small_disk / "package"
    write_folder(folder, OLD)
    (folder / "mine.txt").write_bytes(b"mine")
    (small_disk / "labels.pdf").write_bytes(b"older")
    large = package(a_txt="a" * 100_000, b_txt="b" * 100_000, c_txt="c" * 100_000)
    before = tree(small_disk)
    with pytest.raises(CannotWriteError, match="No space left"):
        write_folder(folder, large)
    with pytest.raises(OSError, match="No space left"):
        write_file_whole(small_disk / "labels.pdf", b"x" * 300_000)
    assert tree(small_disk) == before
    assert {path.name for path in small_disk.iterdir()} == {"package", "labels.pdf"}


def test_folders_made_for_a_package_that_could_not_be_written_go_again(tmp_path, monkeypatch):
    def full(*_arguments):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(package_folder, "write_new_file", full)
    with pytest.raises(CannotWriteError, match="No space left"):
        write_folder(tmp_path / "far" / "away" / "package", NEW)
    assert list(tmp_path.iterdir()) == []


def test_a_verified_package_stays_one(tmp_path):
    folder = tmp_path / "package"
    write_folder(folder, NEW)
    assert verify_package(folder).none
