"""One file whole or not at all: a limit on the size of files stands for a full disk, since it leaves a part written just the same."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from permitgen.project import staging
from permitgen.project.whole_file import write_file_whole


def test_a_write_that_fails_half_way_leaves_the_older_file(tmp_path, short_files):
    (tmp_path / "labels.pdf").write_bytes(b"older")
    with short_files(1000), pytest.raises(OSError, match="File too large"):
        write_file_whole(tmp_path / "labels.pdf", b"x" * 2000)
    assert [path.name for path in tmp_path.iterdir()] == ["labels.pdf"]
    assert (tmp_path / "labels.pdf").read_bytes() == b"older"


def test_permissions_of_the_older_file_stay_and_a_link_is_followed(tmp_path):
    (tmp_path / "kept").write_bytes(b"older")
    (tmp_path / "kept").chmod(0o640)
    (tmp_path / "link").symlink_to("kept")
    write_file_whole(tmp_path / "link", b"newer")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "kept").read_bytes() == b"newer"
    assert (tmp_path / "kept").stat().st_mode & 0o777 == 0o640


def test_a_new_file_has_the_usual_permissions_and_a_secret_one_its_owners(tmp_path):
    before = os.umask(0o022)
    write_file_whole(tmp_path / "plain", b"")
    write_file_whole(tmp_path / "secret", b"", is_secret=True)
    os.umask(before)
    assert (tmp_path / "plain").stat().st_mode & 0o777 == 0o644
    assert (tmp_path / "secret").stat().st_mode & 0o777 == 0o600


def test_what_is_not_a_file_is_left_alone(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    for place in (tmp_path, tmp_path / "pipe", Path(os.devnull)):
        with pytest.raises(OSError, match=r"is a folder|not an ordinary file"):
            write_file_whole(place, b"x")
    assert (tmp_path / "pipe").is_fifo()
    (tmp_path / "here").write_bytes(b"older")
    with pytest.raises(FileExistsError):
        write_file_whole(tmp_path / "here", b"x", is_new=True)


def test_litter_of_a_killed_run_goes_with_the_next_and_a_users_folder_of_such_a_name_stays(tmp_path):
    code = "\n".join(
        [
            "import os, sys",
            "from pathlib import Path",
            "from permitgen.project import whole_file",
            "whole_file.write_new_file = lambda path, content, mode: (path.write_bytes(b'half'), os._exit(9))",
            "whole_file.write_file_whole(Path(sys.argv[1]), b'x')",
        ]
    )
    assert subprocess.run([sys.executable, "-c", code, str(tmp_path / "out")], check=False).returncode == 9
    mine = tmp_path / ".permitgen-0123456789ab"
    mine.mkdir()
    (mine / "fresh").write_bytes(b"mine")
    assert len(list(tmp_path.iterdir())) == 2
    write_file_whole(tmp_path / "out", b"x")
    assert {path.name for path in tmp_path.iterdir()} == {"out", mine.name}
    assert (mine / "fresh").read_bytes() == b"mine"


def test_a_staging_name_is_made_anew_and_never_taken_over(tmp_path, monkeypatch):
    monkeypatch.setattr(staging.secrets, "token_hex", lambda _size: "0123456789ab")
    (tmp_path / ".permitgen-0123456789ab").mkdir()
    (tmp_path / ".permitgen-0123456789ab" / "mine").write_bytes(b"keep")
    with pytest.raises(FileExistsError):
        staging.new_staging(tmp_path, "file")
    assert (tmp_path / ".permitgen-0123456789ab" / "mine").read_bytes() == b"keep"
