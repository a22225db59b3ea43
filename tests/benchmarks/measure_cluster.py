"""What a project costs that is sent to another machine: processor seconds here and there, bytes sent and returned. Run by hand.

Both sides run in this process, without a network: what a scheduler and the wire cost is not in these figures.
"""

import pickle
import sys
import tempfile
import time
from pathlib import Path

from permitgen.package.program_digest import program_digest
from permitgen.package.shelf_folder import projects_below
from permitgen.package.shelf_job import ShelfJob
from permitgen.package.shelf_kept import ShelfTask
from permitgen.package.shelf_parcel import packed
from permitgen.package.shelf_sent import taken_in, work_on_parcel
from tests.benchmarks.measure_shelf import make_shelf, say


def measure(what, tasks):
    """Say what the tasks cost on either side."""
    asks = works = sent = back = 0.0
    for task in tasks:
        start = time.process_time()
        before = task.files_digest()
        parcel = pickle.dumps(packed(task))
        asked = time.process_time()
        returned = pickle.dumps(work_on_parcel(program_digest(), pickle.loads(parcel)))
        worked = time.process_time()
        taken_in(task, before, pickle.loads(returned))
        asks += asked - start + time.process_time() - worked
        works += worked - asked
        sent, back = sent + len(parcel), back + len(returned)
    count = len(tasks)
    say(f"{what}: here {asks / count * 1000:.1f} ms, there {works / count:.3f} s of processor a project")
    say(f"{what}: {sent / count / 1000:.1f} kB there, {back / count / 1000:.1f} kB back")


def main(checks=52, builds=4):
    with tempfile.TemporaryDirectory() as name:
        shelf = Path(name).resolve()
        make_shelf(shelf, checks)
        files = projects_below(shelf)
        out = shelf / "out"
        work_on_parcel(program_digest(), packed(ShelfTask(ShelfJob(shelf, files[0]), program_digest(), out)))  # imports
        measure("check", [ShelfTask(ShelfJob(shelf, file), program_digest(), out) for file in files])
        measure("build", [ShelfTask(ShelfJob(shelf, file, documents=True), program_digest(), out) for file in files[:builds]])


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
