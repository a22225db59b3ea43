"""A write of a package that is cut off anywhere: the old one or the new one is there, and the next run recovers.

A write is cut off in a child process at one of its calls to the operating system, which the interpreter's audit events count; "full"
makes every later call that needs room fail as a full disk does (ENOSPC). The expected state is what was there before.
"""

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from permitgen.package.folder import write_folder
from tests.properties import package_cases
from tests.properties.package_cases import BESIDE, EDITED, NEW, OLD, THIRD, USERS, USERS_AFTER, tree, with_stranger_in_it

ROOT = Path(__file__).resolve().parents[2]
_CUT_OFF = """
import errno, os, signal, sys
from pathlib import Path
sys.path.insert(0, {root!r})
from permitgen.package import folder as package_folder, exchange
import permitgen.package.signature
import importlib.util
spec = importlib.util.spec_from_file_location("cases", {here!r})
cases = importlib.util.module_from_spec(spec)
spec.loader.exec_module(cases)
folder, way, at, with_exchange = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), sys.argv[4] == "exchange"
if not with_exchange:
    package_folder.exchange = lambda one, other: False
calls = 0
NEEDS_ROOM = ("os.mkdir", "os.link", "os.symlink", "os.rename", "permitgen.exchange")
def hook(event, arguments):
    global calls
    if event not in ("open", "os.remove", "os.rmdir", "os.chmod", "os.utime", "os.scandir", "os.listdir", *NEEDS_ROOM):
        return
    if not any(isinstance(a, (str, bytes)) and str(folder.parent) in os.fsdecode(a) for a in arguments):
        return
    if way == "full":
        if event == "open":
            if not (isinstance(arguments[2], int) and arguments[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)):
                return
        elif event not in NEEDS_ROOM:
            return
    calls += 1
    if way == "full" and calls >= at > 0:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    if calls == at:
        os.kill(os.getpid(), signal.SIGKILL if way == "kill" else signal.SIGINT)
sys.addaudithook(hook)
try:
    package_folder.write_folder(folder, cases.NEW)
except package_folder.CannotWriteError as error:
    print(error)
    sys.exit(3)
except KeyboardInterrupt:
    sys.exit(130)
print(calls)
"""


def _cut_off(folder, way, at, exchange):
    code = _CUT_OFF.format(root=str(ROOT), here=package_cases.__file__)
    return subprocess.run([sys.executable, "-c", code, str(folder), way, str(at), exchange], capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def calls_of_a_write(tmp_path_factory):
    """How many calls a whole write makes, by way and kind of exchange."""

    def counted(way, exchange, found={}):  # noqa: B006 - counted once
        if (way, exchange) not in found:
            done = _cut_off(with_stranger_in_it(tmp_path_factory.mktemp("counted")), way, 0, exchange)
            assert done.returncode == 0, done.stderr
            found[way, exchange] = int(done.stdout)
        return found[way, exchange]

    return counted


IS_OLD = {**OLD, **USERS, "edited.txt": EDITED, "link": b"-> nowhere"}
IS_NEW = {**NEW, **USERS_AFTER}
PARTS = 100
SAMPLED = (3, 24, 41, 62, 83)


def _parts():
    return [pytest.param(part, marks=() if part in SAMPLED else pytest.mark.nightly) for part in range(PARTS)]


@pytest.mark.skipif(sys.platform != "linux", reason="needs the exchange of folders in one step: Linux")
@pytest.mark.parametrize("part", _parts())
def test_killed_anywhere_there_is_the_old_package_or_the_new_one(tmp_path, part, calls_of_a_write):
    folder = with_stranger_in_it(tmp_path)
    at = 1 + part * calls_of_a_write("kill", "exchange") // PARTS
    assert _cut_off(folder, "kill", at, "exchange").returncode == -signal.SIGKILL
    assert tree(folder) in (IS_OLD, IS_NEW)
    _recovers(tmp_path, folder)


@pytest.mark.parametrize("part", _parts())
def test_killed_where_folders_cannot_be_exchanged_the_next_run_recovers(tmp_path, part, calls_of_a_write):
    folder = with_stranger_in_it(tmp_path)
    at = 1 + part * calls_of_a_write("kill", "renames") // PARTS
    assert _cut_off(folder, "kill", at, "renames").returncode == -signal.SIGKILL
    if folder.exists():  # between two renames there is none, until the next run
        assert tree(folder) in (IS_OLD, IS_NEW)
    _recovers(tmp_path, folder)


def _recovers(parent, folder):
    """The next run finds every file of the user and clears the litter, and nothing else."""
    write_folder(folder, THIRD)
    assert tree(folder) == {**THIRD, **USERS_AFTER}
    assert {path.name for path in parent.iterdir()} == {"package", *BESIDE}


@pytest.mark.parametrize("part", _parts())
def test_a_full_disk_leaves_the_old_package_and_no_litter(tmp_path, part, calls_of_a_write):
    folder = with_stranger_in_it(tmp_path)
    at = 1 + part * calls_of_a_write("full", "exchange") // PARTS
    done = _cut_off(folder, "full", at, "exchange")
    assert done.returncode == 3, done.stderr
    assert done.stdout == f"{folder}: No space left on device\n"
    assert tree(folder) == IS_OLD
    assert {path.name for path in tmp_path.iterdir()} == {"package", *BESIDE}


@pytest.mark.parametrize("part", _parts())
def test_stopped_from_the_keyboard_there_is_a_package_and_no_litter(tmp_path, part, calls_of_a_write):
    folder = with_stranger_in_it(tmp_path)
    at = 1 + part * calls_of_a_write("interrupt", "exchange") // PARTS
    done = _cut_off(folder, "interrupt", at, "exchange")
    assert done.returncode in {0, 130}, done.stderr
    assert tree(folder) in (IS_OLD, IS_NEW)
    _recovers(tmp_path, folder)
