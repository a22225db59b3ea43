"""``python -OO`` takes docstrings and assertions away; nobody who runs the program that way may read or miss anything else."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def _printed(*arguments):
    done = subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, capture_output=True, text=True, check=False, env={"PYTHONPATH": str(ROOT), "PATH": ""}
    )
    return done.returncode, done.stdout, done.stderr


@pytest.mark.sample(every=6)
@pytest.mark.parametrize(
    "arguments",
    [["--help"], ["schema"], ["check", "demo_project"], ["explain", "demo_project", "C7"], ["build", "--help"], ["record", "--help"]],
    ids=" ".join,
)
def test_the_same_is_printed(arguments):
    plain = _printed("-m", "permitgen", *arguments)
    assert plain[0] in {0, 1}
    assert plain[1]
    assert _printed("-OO", "-m", "permitgen", *arguments) == plain


def test_every_command_says_what_it_does():
    """Its help is more than the usage line and the options."""
    from permitgen.cli.main import COMMANDS, cli

    for name in COMMANDS:
        assert cli.get_command(None, name).help, name


def test_no_assertion_carries_logic():
    """What an assertion holds is gone under -OO: it may narrow a type, and calls nothing but isinstance."""
    for path in sorted((ROOT / "permitgen").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Assert):
                called = {ast.unparse(call.func) for call in ast.walk(node.test) if isinstance(call, ast.Call)}
                assert called <= {"isinstance"}, f"{path.name}:{node.lineno}"


def test_nothing_printed_is_read_from_a_docstring():
    found = [path for path in sorted((ROOT / "permitgen").rglob("*.py")) if ".__doc__" in path.read_text("utf-8")]
    assert [path.name for path in found] == ["fields.py"]  # sets one for the schema, reads none
