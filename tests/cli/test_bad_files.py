"""Each bad project file has one mistake and gets exactly one message; exit status 2; nothing written.

`bad_files/<name>.yaml` differs from `small_house.yaml` in one place; `<name>.expected` is the message a person should read.
"""

import difflib
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from permitgen.cli.main import cli
from tests.every_case import every_case

HERE = Path(__file__).resolve().parent
FILES = sorted((HERE / "bad_files").glob("*.yaml"))
GOOD = HERE / "small_house.yaml"


def _run(folder, *arguments):
    return subprocess.run([sys.executable, "-m", "permitgen", *arguments], cwd=folder, capture_output=True, text=True, check=False)


def test_there_are_thirty_and_more():
    assert len(FILES) >= 30


def test_the_file_they_differ_from_is_good(tmp_path):
    shutil.copy(GOOD, tmp_path)
    assert _run(tmp_path, "check", GOOD.name).returncode == 0


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_one_mistake_one_message(path, tmp_path, monkeypatch, capsys):
    shutil.copy(path, tmp_path)
    before = sorted(tmp_path.rglob("*"))
    monkeypatch.chdir(tmp_path)
    with pytest.raises(SystemExit) as done:
        cli.main(["build", path.name], prog_name="permitgen")
    printed = capsys.readouterr()
    assert done.value.code == 2
    assert printed.out == ""
    assert printed.err == path.with_suffix(".expected").read_text("utf-8")
    assert len(printed.err.splitlines()) == 1
    assert sorted(tmp_path.rglob("*")) == before


def test_the_process_ends_with_the_same_status_and_message(tmp_path):
    shutil.copy(FILES[0], tmp_path)
    done = _run(tmp_path, "build", FILES[0].name)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == FILES[0].with_suffix(".expected").read_text("utf-8")


@every_case("path", FILES)
def test_the_message_points_at_the_mistake(path):
    """Its line is one that differs from the good file, or holds the key whose entry differs."""
    file, line, column, rest = path.with_suffix(".expected").read_text("utf-8").split(":", 3)
    assert file == path.name
    bad = path.read_text("utf-8").splitlines()
    matcher = difflib.SequenceMatcher(None, GOOD.read_text("utf-8").splitlines(), bad, autojunk=False)
    changed = {
        number + 1 for tag, _, _, start, stop in matcher.get_opcodes() if tag != "equal" for number in range(start, max(stop, start + 1))
    }
    assert 1 <= int(column) <= len(bad[int(line) - 1]) + 1
    where = rest.split(":")[0].strip()
    named = where.split(".")[1] if "." in where else where
    assert int(line) in changed or any(named in bad[number - 1] for number in changed) or named in bad[int(line) - 1]
    assert not rest.rstrip("\n").endswith(".")
