"""Linter, formatter, type checker and import layers, as a contributor runs them."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BIN = Path(sys.executable).parent


@pytest.mark.parametrize(
    "command",
    [
        [str(BIN / "ruff"), "check", "."],
        [str(BIN / "ruff"), "format", "--check", "."],
        [str(BIN / "mypy")],
        [str(BIN / "lint-imports")],
    ],
    ids=["lint", "format", "types", "layers"],
)
def test_checker_finds_nothing(command):
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, (done.stdout + done.stderr)[-4000:]
