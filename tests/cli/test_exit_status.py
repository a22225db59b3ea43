"""Every way in which a command can end has its own status (README): 1 means violations and nothing else, no traceback reaches the user."""

import errno
import io
import json
import os
import re
import signal
import subprocess
import sys
import zipfile
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner

from permitgen.cli.main import cli

ROOT = Path(__file__).resolve().parents[2]
SMALL = (Path(__file__).resolve().parent / "small_house.yaml").read_text("utf-8")


@pytest.fixture
def house(tmp_path, monkeypatch):
    """A folder to work in, with a project in a folder of its own."""
    (tmp_path / "house").mkdir()
    (tmp_path / "house" / "project.yaml").write_text(SMALL, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _snapshot(folder):
    return {
        path.relative_to(folder).as_posix(): (path.lstat().st_mode, path.read_bytes() if path.is_file() else b"")
        for path in sorted(folder.rglob("*"))
    }


def _file(path):
    path.write_text("mine")


def _read_only(path):
    path.mkdir()
    path.chmod(0o500)


def _package_of_another_kind(path):
    path.mkdir()
    (path / "manifest.json").write_text('{"name": "left-pad"}')


def _full_folder(path):
    path.mkdir()
    (path / "letter.txt").write_text("mine")


# What to prepare, what to ask for, the status, and what the message says.
PLACES = {
    "the folder one is in": (None, ".", 2, "is the folder you are in"),
    "the folder above": (None, "..", 2, "is the folder you are in, or holds it"),
    "nothing": (None, "", 2, "is the folder you are in"),
    "the top": (None, "/", 2, "is the top of a disk"),
    "a file": (_file, "place", 2, "is not a folder"),
    "below a file": (_file, "place/package", 3, "Not a directory"),
    "a pipe": (os.mkfifo, "place", 2, "is not a folder"),
    "a device": (None, os.devnull, 2, "is not a folder"),
    "a link that leads nowhere": (lambda path: path.symlink_to("nowhere"), "place", 2, "a link that leads nowhere"),
    "a loop of links": (lambda path: path.symlink_to("place"), "place", 2, "link"),
    "too long a name": (None, "a" * 300, 3, "name too long"),
    "the project folder": (None, "house", 2, "holds"),
    "other files": (_full_folder, "place", 2, "not a package"),
    "a package of another kind": (_package_of_another_kind, "place", 2, "not a package"),
    "an empty folder": (Path.mkdir, "place", 0, ""),
    "a new folder": (None, "place/far/away", 0, ""),
}


@pytest.mark.parametrize("kind", PLACES)
def test_a_package_or_one_message(house, kind):
    prepare, asked, status, says = PLACES[kind]
    if prepare is not None:
        prepare(house / "place")
    before = _snapshot(house)
    done = CliRunner().invoke(cli, ["build", "house", "--only", "findings", "--out", asked])
    assert done.exit_code == status, done.output
    if status:
        assert done.stderr.count("\n") == 1
        assert says in done.stderr
        assert _snapshot(house) == before
    else:
        assert {path.name for path in (house / asked).iterdir()} == {"findings.json", "manifest.json"}


def test_a_link_to_a_folder_stays_one(house):
    (house / "real").mkdir()
    (house / "link").symlink_to("real")
    for _time in range(2):
        assert CliRunner().invoke(cli, ["build", "house", "--only", "findings", "--out", "link"]).exit_code == 0
    assert (house / "link").is_symlink()
    assert {path.name for path in (house / "real").iterdir()} == {"findings.json", "manifest.json"}


def test_a_folder_above_the_project_is_refused_even_if_it_is_a_package(house):
    place = house / "package"
    assert CliRunner().invoke(cli, ["build", "house", "--only", "findings", "--out", "package"]).exit_code == 0
    (house / "house").rename(place / "house")
    done = CliRunner().invoke(cli, ["build", "package/house", "--only", "findings", "--out", "package"])
    assert (done.exit_code, done.stderr.count("\n")) == (2, 1)
    assert "holds the project file" in done.stderr
    assert (place / "house" / "project.yaml").is_file()


@pytest.mark.skipif(os.geteuid() == 0, reason="needs a user whom permissions bind, not the administrator")
def test_a_read_only_place_is_status_3(house):
    _read_only(house / "place")
    done = CliRunner().invoke(cli, ["build", "house", "--only", "findings", "--out", "place/package"])
    assert (done.exit_code, done.stderr.count("\n")) == (3, 1)


@pytest.mark.parametrize(
    "command",
    [["labels", "house", "--only", "service-disconnect"], ["redirect", "https://example.org/record/"]],
    ids=["labels", "redirect"],
)
def test_a_full_disk_leaves_the_older_file(house, command, short_files):
    """A limit on the size of files stands for the full disk: a part is written, then the system refuses."""
    (house / "out.pdf").write_bytes(b"older")
    with short_files(100):
        done = CliRunner().invoke(cli, [*command, "--out", "out.pdf"])
    assert (done.exit_code, done.stderr) == (3, f"out.pdf: {os.strerror(errno.EFBIG)}\n")
    assert (house / "out.pdf").read_bytes() == b"older"
    assert {path.name for path in house.iterdir()} == {"house", "out.pdf"}


@pytest.mark.parametrize("asked", ["house", os.devnull, "place"])
def test_a_page_goes_into_a_file_or_nowhere(house, asked):
    os.mkfifo(house / "place")
    done = CliRunner().invoke(cli, ["redirect", "https://example.org/record/", "--out", asked])
    assert done.exit_code in {2, 3}
    assert "is a folder" in done.stderr or "is a directory" in done.stderr or "not an ordinary file" in done.stderr
    assert not Path(os.devnull).is_file()


def _run(house, code, *arguments, **options):
    """Run the command line in a process of its own, after ``code``."""
    program = f"import os, signal, sys\nfrom permitgen.cli import main, opening\n{code}\nsys.argv[1:] = {list(arguments)!r}\nmain.main()\n"
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "SECRET_OF_THE_USER": "hush"}
    return subprocess.run(
        [sys.executable, "-c", program], cwd=house, env=environment, stderr=subprocess.PIPE, text=True, check=False, **options
    )


FAULT = """
import permitgen.package.opened_project as opened_project
def fails(*_arguments, **_options):
    secret = 'hush'
    raise LookupError('a fault')
opened_project.open_project = fails
"""


def test_a_fault_is_one_message_and_a_report(house):
    for _time in range(2):
        done = _run(house, FAULT, "check", "house", stdout=subprocess.PIPE)
        assert (done.returncode, done.stdout) == (4, "")
        assert re.fullmatch(r"a fault of permitgen, not of your files; .*permitgen-fault-[0-9a-f]{8}\.txt\n", done.stderr)
    (report,) = house.glob("permitgen-fault-*.txt")  # the same fault is the same report
    text = report.read_text("utf-8")
    assert "LookupError: a fault" in text
    assert "command: permitgen 'check' 'house'" in text
    assert re.search(r"^permitgen \d", text)
    assert "SECRET" not in text
    assert text.count("hush") <= 1  # the line of source; no variable's content


def test_a_report_that_cannot_stand_here_goes_to_the_temporary_folder(house, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("temporary")
    code = (
        f"{FAULT}\nimport tempfile, pathlib\ntempfile.tempdir = {str(elsewhere)!r}\nreal = pathlib.Path.open\n"
        "def refuse(self, *a, **k):\n    if not self.is_absolute() and 'fault' in self.name:\n        raise PermissionError(13, 'no')\n"
        "    return real(self, *a, **k)\npathlib.Path.open = refuse"
    )
    done = _run(house, code, "check", "house", stdout=subprocess.PIPE)
    assert done.returncode == 4
    (report,) = elsewhere.iterdir()
    assert str(report) in done.stderr


def test_a_key_from_the_keyboard_is_130_and_one_line(house):
    # A run in the background inherits that the key is ignored; a person at a terminal does not.
    code = "signal.signal(signal.SIGINT, signal.default_int_handler)\nimport permitgen.package.opened_project as o\n"
    code += "o.open_project = lambda *a, **k: os.kill(os.getpid(), signal.SIGINT)"
    done = _run(house, code, "build", "house", stdout=subprocess.PIPE)
    assert (done.returncode, done.stdout, done.stderr) == (128 + signal.SIGINT, "", "stopped\n")
    assert {path.name for path in house.iterdir()} == {"house"}


@pytest.mark.parametrize("command", [["schema"], ["--help"], pytest.param(["check", "house"], marks=pytest.mark.nightly)], ids=" ".join)
def test_output_that_cannot_be_written_is_status_3(house, command):
    with Path("/dev/full").open("w") as full:
        done = _run(house, "", *command, stdout=full)
    assert (done.returncode, done.stderr) == (3, f"standard output: {os.strerror(errno.ENOSPC)}\n")
    closed = _run(house, "", *command, preexec_fn=lambda: os.close(1))
    assert (closed.returncode, closed.stderr) == (3, f"standard output: {os.strerror(errno.EBADF)}\n")


def test_a_reader_that_goes_away_is_quiet(house):
    reads, writes = os.pipe()
    os.close(reads)
    done = _run(house, "", "schema", stdout=writes)
    os.close(writes)
    assert (done.returncode, done.stderr) == (3, "")


def test_usage_is_status_2(house):
    for arguments in (["built"], ["build"], ["build", "house", "--outt", "x"], ["check", "house", "--format", "xml"]):
        done = _run(house, "", *arguments, stdout=subprocess.PIPE)
        assert done.returncode == 2, arguments
        assert "Traceback" not in done.stderr


@pytest.mark.nightly
@pytest.mark.parametrize("option", ["-OO", "-O"])
def test_commands_run_without_assertions_and_docstrings(house, option):
    def run(*arguments):
        done = subprocess.run(
            [sys.executable, option, "-m", "permitgen", *arguments],
            cwd=house,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            check=False,
        )
        assert "fault" not in done.stderr
        return done.returncode

    assert run("build", "house", "--only", "findings") == 0
    assert run("verify", "house/package") == 0
    assert run("sign", "house/package", "--key", "key", "--new-key") == 0
    assert run("labels", "house", "--list") == 0
    assert run("redirect", "https://example.org/record/") == 0


NOT_MADE = "Not in this package, could not be made"


def _pages_that_say(content, words):
    texts = [" ".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(content)]
    return [words in text for text in texts]


def _docx_says(content, words):
    archive = zipfile.ZipFile(io.BytesIO(content))
    return any(words in re.sub("<[^>]*>", "", archive.read(name).decode()) for name in archive.namelist() if name.endswith(".xml"))


def _say_so(package, document):
    words = f"{NOT_MADE}: {document}"
    for name in ("calculations.pdf", "plan_set.pdf"):
        assert all(_pages_that_say((package / name).read_bytes(), words)), name
    assert _pages_that_say((package / "field_checklist.pdf").read_bytes(), words)[0]
    for name in ("calculations.docx", "field_checklist.docx"):
        assert _docx_says((package / name).read_bytes(), words), name
    for name in ("field_checklist.html", "record/index.html"):
        assert words in (package / name).read_text("utf-8"), name


@pytest.mark.nightly
def test_a_placard_that_does_not_fit_leaves_the_other_documents(house):
    """Twelve batteries, each with a switch at another wall, do not stand on two of the smallest plates at letters for two feet."""
    numbers = range(2, 14)
    batteries = "".join(
        f"  ESS{n}: {{catalog: battery, place: {{description: outbuilding {n} behind the second gate north wall, map: [{20 * n}, 12]}}}}\n"
        for n in numbers
    )
    branches = "".join(
        f"  B{n}: {{from: ESS{n}, to: MSP.{n}, runs: R2, overcurrent: {{to_end: 2P 30 A}}, "
        "conductors: {size: 10 AWG, insulation: THWN-2, neutral: no}}\n"
        for n in numbers
    )
    text = SMALL.replace("  ESS1: {catalog: battery}\n", "  ESS1: {catalog: battery}\n" + batteries).rstrip("\n") + "\n" + branches
    text = text.replace("catalog:\n", "settings: {placard_size: 5 x 7 in}\ncatalog:\n", 1)
    (house / "house" / "project.yaml").write_text(text, "utf-8")
    done = CliRunner().invoke(cli, ["build", "house"])
    assert done.exit_code == 5, done.output
    assert done.stderr.startswith("could not be made: Directory placard: the placard needs more room than two plates of 5 x 7 in have")
    package = house / "house" / "package"
    manifest = json.loads((package / "manifest.json").read_text("utf-8"))
    assert [entry["document"] for entry in manifest["missing"]] == ["Directory placard"]
    assert not list(package.glob("placard*"))
    assert (package / "labels.pdf").is_file()
    _say_so(package, "Directory placard")


@pytest.mark.nightly
def test_a_label_that_does_not_fit_stands_over_violations(house):
    """Words in letters of 4 in stand on no letter paper; the house breaks a rule besides (60 A on 10 AWG copper: NEC 240.4(D))."""
    spec = (ROOT / "label_specs" / "service-disconnect.yaml").read_text("utf-8")
    (house / "house" / "label_specs").mkdir()
    large = re.sub(r"(own_in|binding_in): [0-9.]+", r"\1: 4", spec)
    assert large != spec
    (house / "house" / "label_specs" / "service-disconnect.yaml").write_text(large, "utf-8")
    text = SMALL.replace("2P 30 A", "2P 60 A")
    (house / "house" / "project.yaml").write_text(text, "utf-8")
    assert CliRunner().invoke(cli, ["check", "house"]).exit_code == 1
    done = CliRunner().invoke(cli, ["build", "house"])
    assert done.exit_code == 5, done.output
    package = house / "house" / "package"
    assert not (package / "labels").exists()
    assert (package / "placard.pdf").is_file()
    _say_so(package, "Labels")
