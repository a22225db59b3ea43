"""``--help`` imports nothing heavy, and the README's commands are those that CI runs."""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
HEAVY = ("reportlab", "docxtpl", "pint", "pydantic", "jinja2", "yaml", "rich", "qrcode", "pypdfium2", "openpyxl")


def test_help_imports_nothing_heavy():
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "permitgen", "--help"], capture_output=True, text=True, check=True, cwd=ROOT
    )
    imported = {line.rsplit("|", 1)[-1].strip().split(".")[0] for line in done.stderr.splitlines() if "|" in line}
    assert not imported & set(HEAVY)


def test_readme_has_two_commands_that_do_all_their_own_set_up():
    commands = re.findall(r"^    (python3 -m venv .*)$", (ROOT / "README.md").read_text("utf-8"), re.MULTILINE)
    assert len(commands) == 2
    assert "permitgen build demo_project" in commands[0]
    assert "pytest" in commands[1]
    assert "README.md" in (ROOT / ".ci" / "run").read_text("utf-8")
