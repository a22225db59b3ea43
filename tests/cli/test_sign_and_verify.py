"""`sign` and `verify` as a user runs them: nothing changed is signed, nothing honest is called forged."""

import os
import re

import pytest
from click.testing import CliRunner
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec, ed25519

from permitgen.cli.main import cli
from permitgen.package.folder import write_folder

MANIFEST = (
    b'{"program": "permitgen", "fingerprint": "f", "outputs": [{"path": "a.txt",'
    b' "sha256": "2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881"}]}'
)  # SHA-256 of "x" by coreutils sha256sum


def run(*arguments):
    done = CliRunner().invoke(cli, [str(argument) for argument in arguments])
    assert done.exception is None or isinstance(done.exception, SystemExit)
    return done


@pytest.fixture
def package(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_folder(tmp_path / "package", {"a.txt": b"x", "manifest.json": MANIFEST})
    return tmp_path / "package"


def pem(key):
    return key.public_bytes(serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo)


def test_a_signer_is_named_by_digits_by_pem_or_by_a_file(package):
    done = run("sign", "package", "--key", "key", "--new-key")
    assert done.exit_code == 0, done.output
    assert os.stat("key").st_mode & 0o777 == 0o600  # noqa: PTH116
    digits = re.search("[0-9a-f]{64}", done.stdout)[0]
    public = pem(ed25519.Ed25519PublicKey.from_public_bytes(bytes.fromhex(digits)))
    (package.parent / "key.pub").write_bytes(public)
    (package.parent / "digits").write_text(f"{digits}\n")
    for signer in (digits, digits.upper(), public.decode(), "key.pub", "digits"):
        found = run("verify", "package", "--signer", signer)
        assert (found.exit_code, found.stdout) == (0, "as it was built\nsigned by the key given\n"), found.output
    other = pem(ed25519.Ed25519PrivateKey.generate().public_key()).decode()
    assert run("verify", "package", "--signer", other).exit_code == 1


@pytest.mark.usefixtures("package")
@pytest.mark.parametrize(
    "signer", ["nobody", "00", "no such file", ".", "x" * 5000, "-----BEGIN PUBLIC KEY-----\nAAAA\n-----END PUBLIC KEY-----"]
)
def test_what_is_not_a_public_key_is_one_message_about_the_key(signer):
    run("sign", "package", "--key", "key", "--new-key")
    found = run("verify", "package", "--signer", signer)
    assert (found.exit_code, found.stdout, found.stderr.count("\n")) == (2, "", 1)
    assert "is not a public key" in found.stderr


@pytest.mark.usefixtures("package")
def test_a_key_of_another_kind_is_said():
    found = run("verify", "package", "--signer", pem(ec.generate_private_key(ec.SECP256R1()).public_key()).decode())
    assert found.exit_code == 2
    assert "expected an Ed25519 key" in found.stderr


def test_a_package_that_differs_is_not_signed(package):
    (package / "a.txt").write_bytes(b"tampered")
    found = run("sign", "package", "--key", "key", "--new-key")
    assert (found.exit_code, found.stderr.count("\n")) == (2, 1)
    assert "a.txt changed" in found.stderr
    (package / "a.txt").unlink()
    assert "a.txt missing" in run("sign", "package", "--key", "key", "--new-key").stderr
    assert {path.name for path in package.parent.iterdir()} == {"package"}
    assert {path.name for path in package.iterdir()} == {"manifest.json"}


def test_what_was_added_is_said_to_be_unsigned(package):
    (package / ".git").mkdir()
    for number in range(300):
        (package / ".git" / str(number)).write_text("")
    (package / "notes.txt").write_text("mine")
    done = run("sign", "package", "--key", "key", "--new-key")
    assert done.exit_code == 0
    assert done.stdout.endswith("not signed, for the manifest does not name them: .git/ (300 files), notes.txt\n")
    found = run("verify", "package")
    assert found.exit_code == 1
    assert found.stdout.startswith("added    .git/ (300 files)\nadded    notes.txt\n301 files differ")


def test_a_signature_of_another_program_is_not_replaced(package):
    (package / "manifest.json.sig").write_text("-----BEGIN PGP SIGNATURE-----")
    found = run("sign", "package", "--key", "key", "--new-key")
    assert (found.exit_code, found.stderr.count("\n")) == (2, 1)
    assert (package / "manifest.json.sig").read_text() == "-----BEGIN PGP SIGNATURE-----"


def test_a_key_that_is_there_is_not_replaced(package):
    (package.parent / "key").write_text("mine")
    assert run("sign", "package", "--key", "key", "--new-key").exit_code == 3
    assert (package.parent / "key").read_text() == "mine"
    assert run("sign", "package", "--key", "key").exit_code == 2
    assert run("sign", "package", "--key", "nowhere").exit_code == 2


@pytest.mark.parametrize("what", ["nothing", "file", "folder", "foreign", "pipe", "deep"])
def test_what_is_not_a_package_is_one_message(tmp_path, what):
    place = tmp_path / "place"
    if what == "file":
        place.write_text("x")
    elif what != "nothing":
        place.mkdir()
    if what == "foreign":
        (place / "manifest.json").write_text('{"name": "left-pad"}')
    elif what == "pipe":
        os.mkfifo(place / "manifest.json")
    elif what == "deep":
        (place / "manifest.json").write_text("[" * 200_000)
    for command in (["verify", place], ["sign", place, "--key", tmp_path / "key", "--new-key"]):
        found = run(*command)
        assert (found.exit_code, found.stdout, found.stderr.count("\n")) == (2, "", 1), found.output
    assert not (tmp_path / "key").exists()
