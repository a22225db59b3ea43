"""What a project of a shelf costs: processor seconds, memory of the process, bytes of its package. No test: run by hand.

The shelf is copies of the topologies. CPU is that of this process, so that other load on the machine counts less than by the clock.
"""

import gc
import re
import resource
import sys
import tempfile
import time
from pathlib import Path

from permitgen.package.shelf_folder import projects_below
from permitgen.package.shelf_job import ShelfJob
from permitgen.package.shelf_kept import ShelfTask, kept_row, work_and_keep
from tests.reading_paper import put_reading

TOPOLOGIES = Path(__file__).resolve().parents[1] / "topologies"


def make_shelf(folder, count):
    """Write ``count`` copies of the topologies, each with a number of its own."""
    files = sorted(TOPOLOGIES.glob("b*.yaml"))
    for number in range(count):
        place = folder / f"h{number:05d}"
        place.mkdir(parents=True)
        text = files[number % len(files)].read_text("utf-8")
        (place / "project.yaml").write_text(re.sub(r"(?m)^  number: .*$", f"  number: S-{number:05d}", text, count=1), "utf-8")
        put_reading(place)


def measured(tasks):
    """Return processor seconds a project, and what is kept."""
    kept = {}
    start = time.process_time()
    for task in tasks:
        row, keep = work_and_keep(task)
        if keep is not None:
            kept[row.file, task.asked] = keep
        gc.collect()
    return (time.process_time() - start) / len(tasks), kept


def main(checks=78, builds=26):
    with tempfile.TemporaryDirectory() as name:
        shelf = Path(name)
        make_shelf(shelf, checks)
        files = projects_below(shelf)
        tasks = [ShelfTask(ShelfJob(shelf, file), "program", shelf / "out") for file in files]
        work_and_keep(tasks[0])  # imports
        gc.freeze()
        report("check", tasks)
        report("build", [ShelfTask(ShelfJob(shelf, file, documents=True), "program", shelf / "out") for file in files[:builds]])
        packages = [[file for file in path.rglob("*") if file.is_file()] for path in shelf.glob("*/package")]
        megabytes = sum(file.stat().st_size for files in packages for file in files) / len(packages) / 1e6
        say(f"package: {megabytes:.1f} MB in {sum(map(len, packages)) / len(packages):.0f} files")


def report(what, tasks):
    cost, kept = measured(tasks)
    say(f"{what}: {cost:.3f} s of processor a project, {3600 / cost:.0f} a core-hour; peak {_peak():.0f} MiB")
    say(f"{what}: {len(kept)} of {len(tasks)} kept")
    start = time.process_time()
    assert all(kept_row(kept, task) for task in tasks if (task.job.file, task.asked) in kept)
    say(f"{what}, passed over: {(time.process_time() - start) / len(kept) * 1000:.2f} ms of processor a project")


def say(line):
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
