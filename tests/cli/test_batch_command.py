"""``permitgen batch`` over small shelves: rows as the commands for one project say it, order, resumption, the keyboard, killed workers.

What must hold is the README's contract of exit status and the command's own promise; what a project alone comes to, `check` says.
"""

import csv
import io
import json
import os
import shutil
import signal
import subprocess
import sys
import time

import pytest

from permitgen.cli.batch import work
from permitgen.package.shelf_folder import projects_below
from permitgen.package.shelf_job import ShelfJob
from permitgen.package.shelf_kept import ShelfTask
from permitgen.package.shelf_run import ShelfRun
from permitgen.package.verify import verify_package
from tests.cli.in_process import ROOT, run

SMALL = (ROOT / "tests" / "cli" / "small_house.yaml").read_text("utf-8")
VIOLATED = SMALL.replace("to_end: 2P 30 A", "to_end: 2P 60 A")  # 60 A protects 10 AWG: 240.4(D), 30 A
TOPOLOGY = ROOT / "tests" / "topologies" / "b01_pv_load_side.yaml"


def house(shelf, name, text=SMALL):
    folder = shelf / name
    folder.mkdir(parents=True)
    (folder / "project.yaml").write_text(text, "utf-8")
    return folder


def summary(shelf):
    return json.loads((shelf / "shelf_summary" / "shelf.json").read_text("utf-8"))


def outcomes(shelf):
    return {row["file"]: row["outcome"] for row in summary(shelf)["projects"]}


@pytest.fixture
def shelf(tmp_path):
    """Three houses, one of them violated, one in a folder below, and a file that is no project."""
    house(tmp_path, "b")
    house(tmp_path, "a/deep", VIOLATED)
    house(tmp_path, "c", "nonsense: 1\n")
    return tmp_path


def test_each_project_is_as_it_is_alone(shelf):
    done = run("batch", "--check", shelf)
    assert done.returncode == 2  # bad input stands over violations
    assert outcomes(shelf) == {"a/deep/project.yaml": "violations", "b/project.yaml": "done", "c/project.yaml": "bad input"}
    for row in summary(shelf)["projects"]:
        alone = run("check", row["file"], "--format", "json", folder=shelf)
        assert alone.returncode == {"violations": 1, "done": 0, "bad input": 2}[row["outcome"]]
        if alone.returncode == 2:
            assert "\n".join(row["messages"]) == alone.stderr.strip()
            continue
        verdicts = [finding["verdict"] for finding in json.loads(alone.stdout)["findings"]]
        assert row["counts"]["violated"] == verdicts.count("violated")
        assert row["counts"]["passes"] == verdicts.count("passes")
    assert done.stderr.splitlines()[0].startswith("c/project.yaml:1:1: ")
    assert not list(shelf.rglob("package"))


@pytest.mark.parametrize(
    ("texts", "status"),
    [([SMALL], 0), ([SMALL, VIOLATED], 1), ([VIOLATED, "x: 1\n"], 2)],
    ids=["done", "violations", "bad input"],
)
def test_the_exit_status_is_that_of_the_project_worst_off(tmp_path, texts, status):
    for number, text in enumerate(texts):
        house(tmp_path, str(number), text)
    assert run("batch", "--check", tmp_path).returncode == status


@pytest.mark.parametrize("arguments", [["nowhere"], ["."], [".", "--edition", "1901"], [".", "--amendments", "none.yaml"]], ids=" ".join)
def test_what_cannot_be_asked_is_one_message(tmp_path, arguments):
    if arguments[0] == "." and len(arguments) > 1:
        house(tmp_path, "a")
    before = sorted(tmp_path.rglob("*"))
    done = run("batch", *arguments, folder=tmp_path)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert sorted(tmp_path.rglob("*")) == before


def test_copies_in_packages_and_hidden_folders_are_no_projects(tmp_path):
    house(tmp_path, "a")
    house(tmp_path, ".hidden")
    assert run("build", "a", "--only", "project_file", folder=tmp_path).returncode == 0
    (tmp_path / "link").symlink_to("a")
    assert projects_below(tmp_path) == ("a/project.yaml",)


@pytest.mark.nightly
def test_the_summary_is_the_same_for_any_number_of_workers_and_any_place(shelf, tmp_path_factory):
    run("batch", "--check", shelf, "--workers", "1")
    other = tmp_path_factory.mktemp("other") / "shelf"
    shutil.copytree(shelf, other, ignore=shutil.ignore_patterns("shelf_summary"))
    run("batch", "--check", other, "--workers", "3")
    for name in ("shelf.csv", "shelf.json", "shelf.html"):
        assert (shelf / "shelf_summary" / name).read_bytes() == (other / "shelf_summary" / name).read_bytes()
    assert str(shelf) not in (shelf / "shelf_summary" / "shelf.json").read_text("utf-8")


def test_a_sheet_takes_no_cell_for_a_formula(tmp_path):
    house(tmp_path, "a", SMALL.replace("name: Small house", 'name: "=1+1"'))
    run("batch", "--check", tmp_path)
    rows = list(csv.DictReader(io.StringIO((tmp_path / "shelf_summary" / "shelf.csv").read_text("utf-8-sig"))))
    assert [row["project"] for row in rows] == ["'=1+1"]


def passed_over(done):
    """How many projects a run passed over."""
    return next((int(line.split()[0]) for line in done.stdout.splitlines() if "passed over" in line), 0)


def test_only_what_changed_is_judged_again(shelf):
    house(shelf, "d")
    run("batch", "--check", shelf)
    again = run("batch", "--check", shelf)
    assert passed_over(again) == 3  # all but the one that cannot be read
    assert again.returncode == 2
    (shelf / "d" / "project.yaml").write_text(VIOLATED, "utf-8")
    changed = run("batch", "--check", shelf)
    assert passed_over(changed) == 2
    assert outcomes(shelf)["d/project.yaml"] == "violations"


def _add_label(folder):
    (folder / "label_specs").mkdir()
    shutil.copy(ROOT / "label_specs" / "service-disconnect.yaml", folder / "label_specs")


def _add_template(folder):
    (folder / "templates").mkdir()
    shutil.copy(ROOT / "templates" / "record.html", folder / "templates")


def _same_size(folder):
    """Another file of the same length and the same dates."""
    path = folder / "project.yaml"
    found = path.stat()
    path.write_text(path.read_text("utf-8").replace("62 ft", "63 ft"), "utf-8")
    os.utime(path, ns=(found.st_atime_ns, found.st_mtime_ns))


CHANGES = {
    "a line": lambda folder: (folder / "project.yaml").write_text(SMALL.replace("62 ft", "64 ft"), "utf-8"),
    "same size and dates": _same_size,
    "a label specification": _add_label,
    "a template": _add_template,
    "a file beside it": lambda folder: (folder / "letter.txt").write_text("of the utility", "utf-8"),
    "a field batch": lambda folder: (folder / "field").mkdir() or (folder / "field" / "x.json").write_text("{}", "utf-8"),
}


@pytest.mark.nightly
@pytest.mark.parametrize("change", CHANGES)
def test_no_changed_input_is_passed_over(tmp_path, change):
    folder = house(tmp_path, "a")
    run("batch", "--check", tmp_path)
    assert passed_over(run("batch", "--check", tmp_path)) == 1
    CHANGES[change](folder)
    assert passed_over(run("batch", "--check", tmp_path)) == 0


@pytest.mark.nightly
def test_another_program_judges_all_again(tmp_path, monkeypatch):
    house(tmp_path, "a")
    run("batch", "--check", tmp_path)
    monkeypatch.setattr("permitgen.package.program_digest.program_digest", lambda: "another")
    assert passed_over(run("batch", "--check", tmp_path)) == 0
    assert passed_over(run("batch", "--check", tmp_path)) == 1


@pytest.mark.nightly
def test_what_was_checked_is_not_built(tmp_path):
    """A row counts for what was asked, and a package that is gone is written again."""
    folder = house(tmp_path, "a")
    run("batch", "--check", tmp_path)
    built = run("batch", tmp_path)
    assert (built.returncode, passed_over(built)) == (0, 0)
    assert verify_package(folder / "package").none
    assert passed_over(run("batch", tmp_path)) == 1
    assert passed_over(run("batch", "--check", tmp_path)) == 1  # the package is no input
    page = (tmp_path / "shelf_summary" / "shelf.html").read_text("utf-8")
    assert "../a/project.yaml" in page
    (folder / "package" / "labels.pdf").unlink()
    assert passed_over(run("batch", tmp_path)) == 0
    assert verify_package(folder / "package").none
    page = (tmp_path / "shelf_summary" / "shelf.html").read_text("utf-8")
    assert "../a/package/labels.pdf" in page


@pytest.mark.nightly
def test_a_journal_that_was_cut_off_is_read_as_far_as_it_goes(shelf):
    run("batch", "--check", shelf)
    journal = shelf / "shelf_summary" / "shelf.kept.jsonl"
    content = journal.read_bytes()
    journal.write_bytes(content[: len(content) - 30] + b"")
    assert passed_over(run("batch", "--check", shelf)) == 1
    journal.write_bytes(b"\xff\xfe[]\n{}\nnull\n" + content)
    assert passed_over(run("batch", "--check", shelf)) == 2


# Killed workers: ``work`` as the command does it, but for one project.


def killed_once(task):
    """Kill the process at the first try of b."""
    mark = task.out / "tried"
    if task.job.file == "b/project.yaml" and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return work(task)


def killed_always(task):
    if task.job.file == "b/project.yaml":
        os.kill(os.getpid(), signal.SIGKILL)
    return work(task)


@pytest.mark.nightly
@pytest.mark.parametrize(("doing", "expected"), [(killed_once, "done"), (killed_always, "fault of the program")])
def test_a_killed_worker_costs_one_project(shelf, doing, expected):
    out = shelf / "out"
    out.mkdir()
    tasks = [ShelfTask(ShelfJob(shelf, file), "program", out) for file in projects_below(shelf)]
    rows = {row.file: row for row in ShelfRun(tasks, out, doing, 2).worked_off(tasks)}
    found = {file: row.outcome for file, row in rows.items()}
    assert found == {"a/deep/project.yaml": "violations", "b/project.yaml": expected, "c/project.yaml": "bad input"}
    if expected != "done":
        assert "SIGKILL" in rows["b/project.yaml"].messages[0]


def test_a_fault_of_the_program_is_the_row_of_one_project(tmp_path, monkeypatch):
    house(tmp_path, "a")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("permitgen.package.shelf_job.open_project", lambda *_a, **_k: {}["a fault"])
    row, kept = work(ShelfTask(ShelfJob(tmp_path, "a/project.yaml"), "program", tmp_path / "out"))
    assert (row.outcome, kept) == ("fault of the program", None)
    assert "permitgen-fault-" in row.messages[0]


@pytest.mark.nightly
def test_a_key_from_the_keyboard_leaves_whole_packages_and_the_same_command_goes_on(tmp_path):
    names = [f"h{number}" for number in range(3)]
    for name in names:
        house(tmp_path, name)
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    # A run in the background inherits that the key is ignored; a person at a terminal does not.
    code = "import signal\nsignal.signal(signal.SIGINT, signal.default_int_handler)\nfrom permitgen.cli.main import main\nmain()"
    command = [sys.executable, "-c", code, "batch", str(tmp_path), "--workers", "2"]
    process = subprocess.Popen(command, env=environment, stderr=subprocess.PIPE, text=True, start_new_session=True)
    journal = tmp_path / "shelf_summary" / "shelf.kept.jsonl"
    while process.poll() is None and not journal.exists():
        time.sleep(0.05)
    os.killpg(process.pid, signal.SIGINT)  # the key goes to every process of the terminal
    _out, err = process.communicate(timeout=60)
    assert process.returncode == 130
    assert "of 3 projects are done; the same command goes on" in err
    assert "Traceback" not in err
    packages = [tmp_path / name / "package" for name in names if (tmp_path / name / "package").exists()]
    assert packages
    assert all(verify_package(package).none for package in packages)
    assert not list(tmp_path.rglob(".permitgen-*"))
    done = run("batch", tmp_path)
    assert done.returncode == 0
    assert passed_over(done) >= 1
    assert all(verify_package(tmp_path / name / "package").none for name in names)


# Another edition, another ordinance.


@pytest.mark.nightly
def test_another_edition_is_compared_with_each_projects_own(tmp_path):
    """A project under its own edition changes by nothing; what changes for another, `compare` says."""
    folder = house(tmp_path, "a", TOPOLOGY.read_text("utf-8"))
    done = run("batch", tmp_path, "--edition", "2017")
    (row,) = summary(tmp_path)["projects"]
    alone = run("compare", folder, "--editions", "2023", "2017").stdout
    assert row["changes"]
    for change in row["changes"]:
        assert change["says"].split(" → ")[1] in alone
    assert "nothing was revisited on site" in done.stdout
    assert "nothing was revisited on site" in (tmp_path / "shelf_summary" / "shelf.html").read_text("utf-8")
    run("batch", tmp_path, "--edition", "2023")
    assert summary(tmp_path)["projects"][0]["changes"] == []
    assert not (folder / "package").exists()


@pytest.mark.nightly
def test_an_edition_that_was_not_read_is_told_as_reported(tmp_path):
    folder = house(tmp_path, "a", TOPOLOGY.read_text("utf-8"))
    run("batch", tmp_path, "--edition", "2026")
    (row,) = summary(tmp_path)["projects"]
    alone = run("compare", folder, "--editions", "2023", "2026").stdout
    parts = {change["part"] for change in row["changes"]}
    assert "not read" in parts
    for change in row["changes"]:
        if change["part"] == "verdict":
            assert change["about"].split(": ")[-1] in alone


STRICTER = """\
ordinance: {name: Fernhollow Ordinance 24-7, date: 2024-03-01}
service_minimum_rating:
  2023: {one_family_a: 225}
"""


@pytest.mark.nightly
def test_an_ordinance_is_tried_on_each_project(tmp_path):
    """What it does is what it does when the project names it (`check` with the ordinance in its list)."""
    (tmp_path / "stricter.yaml").write_text(STRICTER, "utf-8")
    house(tmp_path, "shelf/a")
    house(tmp_path, "shelf/b", SMALL.replace("edition: 2023", "edition: 2017"))
    done = run("batch", "shelf", "--amendments", "stricter.yaml", folder=tmp_path)
    rows = {row["file"]: row for row in summary(tmp_path / "shelf")["projects"]}
    assert rows["a/project.yaml"]["new_violations"] == 1  # docs/local_rules.md, larger services
    assert rows["b/project.yaml"]["changes"] == []
    assert "it changes nothing here" in rows["b/project.yaml"]["messages"][0]
    assert done.returncode == 1
    named = SMALL.replace("edition: 2023", "edition: 2023, amendments: [stricter.yaml]")
    folder = house(tmp_path, "named", named)
    shutil.copy(tmp_path / "stricter.yaml", folder)
    before, after = (_violated(run("check", path, "--format", "json", folder=tmp_path)) for path in ("shelf/a", "named"))
    assert len(after - before) == rows["a/project.yaml"]["new_violations"]


def _violated(done):
    return {finding["id"] for finding in json.loads(done.stdout)["findings"] if finding["verdict"] == "violated"}
