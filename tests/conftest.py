"""What all tests share: the tiers, the seed, programs of the operating system that some need, projects opened once."""

import fcntl
import gc
import os
import pickle
import resource
import shutil
import sys
import tempfile
from collections import Counter
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from unittest.mock import patch

import pytest

from permitgen.cli.main import COLLECT_AFTER
from permitgen.evaluation import comparison
from permitgen.package import field_and_record, opened_project
from permitgen.package.build import build_package
from permitgen.package.opened_project import open_project
from tests.evaluated_once import evaluated_once
from tests.examples import settle_examples

DEBIAN_PACKAGE = {
    "chromium": "chromium",
    "pdftoppm": "poppler-utils",
    "qpdf": "qpdf",
    "soffice": "libreoffice-writer-nogui",
}
SEED_OF_THE_SUITE = 1
SLOWEST_SHOWN = 10
SECONDS_BY_FILE = Counter()


def pytest_addoption(parser):
    parser.addoption("--nightly", action="store_true", help="run all: the tests marked nightly too, and every case of what is sampled")
    parser.addoption("--seed", type=int, help="seed of what is generated; without it 1 in the suite and the date (UTC) in nightly")


def pytest_configure(config):
    """Settle the seed before workers start, so that all of them have the same; collect garbage as rarely as a command does."""
    gc.set_threshold(*COLLECT_AFTER)
    if config.option.seed is None:
        config.option.seed = int(datetime.now(UTC).strftime("%Y%m%d")) if config.option.nightly else SEED_OF_THE_SUITE
    settle_examples(whole=config.option.nightly)
    if os.environ.get("PYTHONDONTWRITEBYTECODE"):
        _keep_what_processes_compile(config)


def _keep_what_processes_compile(config):
    """Where Python is told to keep no compiled code, let the processes that tests start keep theirs for this run.

    Else each of them compiles the program. Workers go on without: they would compile each library anew, whose compiled code lies beside it.
    """
    folder = getattr(config, "workerinput", {}).get("compiled")
    if folder is None:
        made = tempfile.TemporaryDirectory(prefix="permitgen-compiled-")
        config.add_cleanup(made.cleanup)
        folder = made.name
    config.compiled = folder
    if not config.getoption("numprocesses", None):
        del os.environ["PYTHONDONTWRITEBYTECODE"]
        os.environ.setdefault("PYTHONPYCACHEPREFIX", folder)


@pytest.hookimpl(optionalhook=True)
def pytest_configure_node(node):
    """Tell a worker where the processes of this run keep what they compile."""
    node.workerinput["compiled"] = getattr(node.config, "compiled", None)


@pytest.hookimpl(wrapper=True)
def pytest_generate_tests(metafunc):
    """Make every so many cases of a sampled test, and one of a test for the night, which is left out below.

    A case that is made costs its time in every worker, whether it runs or not.
    """
    yield
    if metafunc.config.option.nightly:
        return
    definition = metafunc.definition
    sample = definition.get_closest_marker("sample")
    if definition.get_closest_marker("nightly"):
        del metafunc._calls[1:]
    elif sample:
        metafunc._calls[:] = metafunc._calls[:: sample.kwargs["every"]]


def pytest_collection_modifyitems(config, items):
    """Leave to nightly what is marked so; what is collected stays as long as the run, so that no search for garbage walks through it."""
    left = [] if config.option.nightly else [item for item in items if item.get_closest_marker("nightly")]
    if left:
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if not item.get_closest_marker("nightly")]
    gc.freeze()


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish():
    """Leave what is kept to the end of the process: the runner would search it for garbage five times."""
    gc.freeze()


def pytest_runtest_setup(item):
    """Skip, by name, a test whose program is absent; under CI fail it, so that no skipped check passes for done."""
    for mark in item.iter_markers("needs_program"):
        for program in mark.args:
            if shutil.which(program) is None:
                message = f"needs the program {program} (Debian package {DEBIAN_PACKAGE.get(program, program)})"
                if os.environ.get("CI"):
                    pytest.fail(message, pytrace=False)
                pytest.skip(message)


def pytest_runtest_logreport(report):
    SECONDS_BY_FILE[report.nodeid.partition("::")[0]] += report.duration


def pytest_terminal_summary(terminalreporter, config):
    """Show where the time goes, so that growth is seen when it comes; and the seed by which a night is repeated."""
    if config.option.nightly:
        terminalreporter.write_line(f"seed {config.option.seed}; to repeat this run add --seed {config.option.seed}")
    if len(SECONDS_BY_FILE) > SLOWEST_SHOWN:
        terminalreporter.section("slowest files")
        for name, seconds in SECONDS_BY_FILE.most_common(SLOWEST_SHOWN):
            terminalreporter.write_line(f"{seconds:7.1f} s  {name}")


@pytest.fixture
def seed(request):
    """The seed of what a test generates: fixed in the suite, the date in nightly; a failure shows how to repeat it."""
    number = request.config.option.seed
    print(f"seed {number}: repeat with --seed {number}")  # noqa: T201
    return number


@pytest.fixture
def whole(request):
    """Whether a test that samples within itself is to take all: nightly."""
    return request.config.option.nightly


@cache
def _opened(path, edition):
    return open_project(path, edition=edition)


@pytest.fixture(scope="session")
def open_once():
    """Return a function that opens a project of the repository, once a worker for each edition. Nothing may be changed in it."""

    def of(path, edition=""):
        return _opened(Path(path).resolve(), edition)

    return of


@pytest.fixture(scope="session")
def demo(open_once):
    """The demo house, opened; its evaluation is made once a worker."""
    return open_once(Path(__file__).resolve().parents[1] / "demo_project")


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory):
    """A folder that all workers have in this run."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session", autouse=True)
def limits_page_once(shared_folder):
    """The page of limits, the dearest of the checklist, is found once a run for each set of inputs; what it says has tests of its own.

    Its key is what Document IDs are bound to: program, edition and every input of the plans. With an ordinance it is found each time: a
    test may have put it in force beside the inputs.
    """
    find = field_and_record._permitted_limits

    def kept(opened):
        if opened.code.amendments:
            return find(opened)
        file = shared_folder / f"limits-{opened.fingerprint}.pickle"
        if not file.exists():
            made = file.with_suffix(f".{os.getpid()}")
            made.write_bytes(pickle.dumps(find(opened)))
            made.replace(file)
        return pickle.loads(file.read_bytes())

    with patch.object(field_and_record, "_permitted_limits", kept):
        yield


@pytest.fixture(scope="session")
def demo_package(demo, shared_folder):
    """The files of the demo's package, built by the first worker that needs them."""
    built = shared_folder / "demo_package"
    with (shared_folder / "demo_package.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not built.is_dir():
            build_package(demo, built)
    return {path.relative_to(built).as_posix(): path.read_bytes() for path in sorted(built.rglob("*")) if path.is_file()}


@pytest.fixture
def same_place(tmp_path_factory):
    """An empty folder whose path is the same for each test of a worker: what is copied there is the same house again, evaluated once."""
    place = tmp_path_factory.getbasetemp() / "same_place"
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir()
    with patch.object(opened_project, "evaluate", evaluated_once), patch.object(comparison, "evaluate", evaluated_once):
        yield place


@pytest.fixture
def short_files(monkeypatch):
    """Return a context in which no file grows beyond so many bytes, as on a full disk.

    Python keeps what it compiles beside a module without looking whether all of it was written, so it may keep nothing meanwhile.
    """

    @contextmanager
    def up_to(most):
        before = resource.getrlimit(resource.RLIMIT_FSIZE)
        with monkeypatch.context() as patch:
            patch.setattr(sys, "dont_write_bytecode", True)
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, before[1]))
            try:
                yield
            finally:
                resource.setrlimit(resource.RLIMIT_FSIZE, before)

    return up_to
