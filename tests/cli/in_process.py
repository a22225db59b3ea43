"""Runs a command as its process would, in this one: what a start costs is measured in ``benchmarks/`` and tested where a start matters.

Projects of the repository are opened once a worker, so that commands that print the same project do not evaluate it again.
"""

from __future__ import annotations

import contextlib
import io
import subprocess
from functools import cache
from pathlib import Path
from unittest.mock import patch

from permitgen.cli import main
from permitgen.package import opened_project

ROOT = Path(__file__).resolve().parents[2]
_open_project = opened_project.open_project


@cache
def _kept(project, edition, _folder):
    return _open_project(project, edition=edition)


def opened(project, *, edition=""):
    """Open a project; one of the repository, which no test changes, is kept by the words that name it, which messages repeat."""
    here = Path.cwd()
    if (here / project).resolve().is_relative_to(ROOT):
        return _kept(project, edition, here)
    return _open_project(project, edition=edition)


def run(*arguments, folder=ROOT):
    """Return exit status and texts of a command, as ``subprocess.run`` does."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    with (
        contextlib.chdir(folder),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
        patch.object(opened_project, "open_project", opened),
    ):
        status = main._run([str(argument) for argument in arguments])
    texts = (stream.buffer.getvalue().decode("utf-8") for stream in (out, err))
    return subprocess.CompletedProcess(arguments, status, *texts)
