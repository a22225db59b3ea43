"""``permitgen batch --cluster`` with a real scheduler and real workers: what a local run writes is what is expected, byte for byte."""

import os
import shutil
import sys
import time

import pytest

from permitgen.cli.batch import _Asked, _run, work
from permitgen.package.shelf_cluster import ClusterError, ClusterPool, connected
from permitgen.package.shelf_folder import projects_below
from permitgen.package.shelf_job import ShelfJob
from permitgen.package.shelf_kept import ShelfTask
from permitgen.package.shelf_parcel import TooLargeError, packed, unpacked
from permitgen.package.shelf_run import local_pool
from permitgen.package.shelf_sent import OtherProgramError, work_on_parcel
from permitgen.package.verify import verify_package
from tests.cli import cluster as made
from tests.cli.in_process import ROOT, run

SMALL = (ROOT / "tests" / "cli" / "small_house.yaml").read_text("utf-8")
PANEL = next(line for line in SMALL.splitlines() if line.startswith("  panel: "))
VIOLATED = SMALL.replace("to_end: 2P 30 A", "to_end: 2P 60 A")  # 60 A protects 10 AWG: 240.4(D), 30 A
PLACE = "format: jurisdiction 1\njurisdiction: {name: Town of Harrow Bend, edition: 2023, amendments: [local.yaml]}\n"
FERNHOLLOW = "ordinance: {name: Fernhollow Ordinance 24-7, date: 2024-03-01}\nservice_minimum_rating:\n  2023: {one_family_a: 225}\n"


@pytest.fixture
def shelf(tmp_path):
    """Houses that need files of each kind: of their own, above the shelf, named by such a file; one violated, one that cannot be read."""
    texts = {
        "a/deep": VIOLATED,
        "b": SMALL,
        "c": "nonsense: 1\n",
        "d": SMALL.replace(f"{PANEL}\n", "").replace("catalog:\n", "hardware: '../../the company/parts'\ncatalog:\n", 1),
        "e": SMALL.replace("{name: Town of Harrow Bend, edition: 2023}", "{file: ../../town/place.yaml}"),
        "f": SMALL,
    }
    shelf = tmp_path / "shelf"
    for name, text in texts.items():
        (shelf / name).mkdir(parents=True)
        (shelf / name / "project.yaml").write_text(text, "utf-8")
    for name, text in {
        "the company/parts/panel.yaml": f"format: hardware 1\ncatalog:\n{PANEL}\n",
        "town/place.yaml": PLACE,
        "town/local.yaml": FERNHOLLOW,
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    (shelf / "f" / "label_specs").mkdir()
    shutil.copy(ROOT / "label_specs" / "service-disconnect.yaml", shelf / "f" / "label_specs")
    return shelf


def summary(shelf, pool, out, *, documents=False):
    """Work a shelf off as the command does; return what it wrote beside the shelf."""
    jobs = [ShelfJob(shelf.resolve(), file, documents) for file in projects_below(shelf)]
    _run(jobs, out, pool, _Asked("Findings of each project", ()))
    return {path.name: path.read_bytes() for path in out.iterdir() if path.suffix != ".jsonl"}


class Elsewhere:
    """Takes what comes back to this machine, so that a test sees what the workers settled themselves."""

    def __init__(self):
        self.files = []

    def answers(self, jobs):
        self.files += [task.job.file for task in jobs]
        return local_pool(work, 1).answers(jobs)


@pytest.mark.nightly
def test_a_worker_is_killed_and_the_summary_is_that_of_a_local_run(shelf, tmp_path):
    expected = summary(shelf, local_pool(work, 1), tmp_path / "out1")
    here = Elsewhere()
    dask = tmp_path / "dask"
    dask.mkdir()
    with made.cluster(dask, 2, **{made.MARK: str(dask / "mark")}) as address, connected(address) as client:
        client.wait_for_workers(2, timeout=60)
        found = summary(shelf, ClusterPool(client, here, made.killed_once), tmp_path / "out2")
        assert len(client.nthreads()) == 1  # the other was killed
    assert (dask / "mark").exists()
    assert found == expected
    assert here.files == ["c/project.yaml"]  # bad input: its messages are made where its files are
    kept = [set((tmp_path / out / "shelf.kept.jsonl").read_text("utf-8").split("\n")) for out in ("out1", "out2")]
    assert kept[0] == kept[1]


@pytest.mark.nightly
def test_packages_from_a_cluster_are_those_of_a_local_run(shelf, tmp_path):
    """Built once more over what stands there, nothing is written; a project over which workers die is one row."""
    other = tmp_path / "elsewhere" / "shelf"
    for name in ("town", "the company"):
        shutil.copytree(tmp_path / name, tmp_path / "elsewhere" / name)
    shutil.copytree(shelf, other)
    expected = summary(other, local_pool(work, 2), other / "out", documents=True)
    dask = tmp_path / "dask"
    dask.mkdir()
    with made.cluster(dask, 2) as address, connected(address) as client:
        found = summary(shelf, ClusterPool(client, Elsewhere()), shelf / "out", documents=True)
        assert not [path for path in dask.rglob("*") if "project.yaml" in path.name]
        assert found == expected
        ours, theirs = (
            {path.relative_to(each): path.read_bytes() for path in each.rglob("*") if path.is_file()} for each in (shelf, other)
        )
        assert ours == theirs
        assert len(projects_below(shelf)) == 6
        packages = [path for path in shelf.rglob("package") if path.is_dir()]
        assert len(packages) == 5
        assert all(verify_package(path).none for path in packages)
        before = {path: path.stat().st_ino for path in packages}
        shutil.rmtree(shelf / "out")
        assert summary(shelf, ClusterPool(client, Elsewhere()), shelf / "out", documents=True) == expected
        assert {path: path.stat().st_ino for path in packages} == before


@pytest.mark.nightly
def test_a_project_over_which_workers_die_is_one_row(shelf, tmp_path):
    dask = tmp_path / "dask"
    dask.mkdir()
    # At its first try, with others that wait at the same worker and are done afterwards, and at its second, alone: a worker each.
    with made.cluster(dask, 3, DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES="0") as address, connected(address) as client:
        client.wait_for_workers(3, timeout=60)
        pool = ClusterPool(client, Elsewhere(), made.killed_always)
        tasks = [ShelfTask(ShelfJob(shelf.resolve(), file), "program", tmp_path / "out") for file in projects_below(shelf)]
        rows = {task.job.file: answer for task, answer in pool.answers(tasks)}
    assert "every worker that had it ended" in rows.pop(made.DOOMED).how
    assert [row.outcome for row, _kept in rows.values()].count("bad input") == 1
    assert len(rows) == 5


def test_without_the_library_one_message_names_it(shelf, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    before = sorted(shelf.rglob("*"))
    done = run("batch", "--check", shelf, "--cluster", "tcp://127.0.0.1:8786")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == '--cluster: needs the library distributed; install it with: pip install "permitgen[cluster]"\n'
    assert sorted(shelf.rglob("*")) == before


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "127.0.0.1", "nonsense://x:1", ""])
def test_where_no_scheduler_answers_there_is_one_message_within_seconds(shelf, address):
    before = sorted(shelf.rglob("*"))
    start = time.monotonic()
    done = run("batch", "--check", shelf, "--cluster", address)
    assert time.monotonic() - start < 30  # five seconds, on a machine under load
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert "tcp://" in done.stderr
    assert sorted(shelf.rglob("*")) == before


def test_processes_of_this_machine_and_a_cluster_are_not_asked_for_together(shelf):
    assert run("batch", "--check", shelf, "--cluster", "tcp://127.0.0.1:9", "--workers", "2").returncode == 2


def test_another_program_takes_no_task(shelf):
    task = ShelfTask(ShelfJob(shelf.resolve(), "b/project.yaml"), "program", shelf / "out")
    with pytest.raises((OtherProgramError, ValueError)):  # outside of a worker there is no address to name
        work_on_parcel("another", packed(task))


class _OtherWorkers:
    """A client whose workers answer with other digests than this program's."""

    def wait_for_workers(self, _count, timeout):
        pass

    def run(self, _function, on_error):
        return {"tcp://192.0.2.11:1": "another", "tcp://192.0.2.12:1": ModuleNotFoundError("permitgen")}


def test_workers_with_another_program_are_one_message():
    from permitgen.package.shelf_cluster import _require_same_program

    with pytest.raises(ClusterError, match=r"the worker tcp://192\.0\.2\.11:1 has another permitgen, or none"):
        _require_same_program(_OtherWorkers(), "tcp://192.0.2.10:8786")


# What is sent: a project opened from what was unpacked is the same project, and what may not be read is not sent.


def sent(shelf, file, into):
    parcel = packed(ShelfTask(ShelfJob(shelf.resolve(), file), "program", shelf / "out"))
    return parcel, unpacked(parcel, into).shelf / file


@pytest.mark.parametrize("name", ["a/deep", "b", "d", "e", "f"])
def test_what_is_unpacked_has_the_inputs_that_were_packed(shelf, tmp_path, name):
    from permitgen.package.opened_project import open_project

    _parcel, path = sent(shelf, f"{name}/project.yaml", tmp_path / "there")
    assert path.exists()
    assert not (tmp_path / "there").is_relative_to(shelf)
    assert dict(open_project(path).all_inputs) == dict(open_project(shelf / name).all_inputs)


def test_no_file_above_a_project_is_sent_but_shared_ones(shelf, tmp_path):
    (tmp_path / "secret.yaml").write_text("password: 17\n", "utf-8")
    (tmp_path / "town" / "letter.txt").write_text("not named", "utf-8")
    (shelf / "b" / "link.yaml").symlink_to(tmp_path / "secret.yaml")
    (shelf / "b" / "folder").symlink_to(tmp_path / "town")
    (shelf / "b" / "notes.yaml").write_text("see: [../../secret.yaml, ../../../../etc/passwd, ../../town]\n", "utf-8")
    os.mkfifo(shelf / "b" / "pipe")
    parcel, path = sent(shelf, "b/project.yaml", tmp_path / "there")
    top = tmp_path.parent.relative_to(shelf.parents[2]).as_posix()
    names = {name.removeprefix(f"{top}/").partition("/")[2] for name in parcel.files}
    assert names == {"shelf/b/project.yaml", "shelf/b/notes.yaml", "town/place.yaml", "town/local.yaml"}  # the last is named by place.yaml
    assert {name.rpartition("/")[2] for name in parcel.links} == {"link.yaml", "folder", "pipe"}
    assert not (path.parent / "pipe").exists()
    assert b"password" not in b"".join(parcel.files.values())


def test_more_than_is_sent_stays_here(shelf, monkeypatch):
    monkeypatch.setattr("permitgen.package.shelf_parcel._MOST_IN_ALL", 100)
    with pytest.raises(TooLargeError):
        packed(ShelfTask(ShelfJob(shelf.resolve(), "b/project.yaml"), "program", shelf / "out"))
