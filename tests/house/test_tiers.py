"""The commands of the tiers in ``tests/README.md`` do what they say: the suite leaves nightly tests out, nightly takes them all."""

import re
import subprocess
import sys
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PROBE = "tests/documents/test_one_line_generated.py"
MOST_TESTS = 6_300


@cache
def commands():
    """Return the command of each tier, as its row of the table gives it."""
    rows = re.findall(r"^\| ([a-z ]+) \| [^|]+ \| `([^`]+)` \|$", (ROOT / "tests" / "README.md").read_text("utf-8"), re.MULTILINE)
    return dict(rows)


@cache
def collected(tier):
    """Return the tests of one file that the command of a tier collects."""
    program, *arguments = commands()[tier].split()
    assert program == ".venv/bin/python"
    asked = [sys.executable, *arguments, "--collect-only", "--verbosity=-1", "-p", "no:cacheprovider", PROBE]
    done = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return {line.split("::", 1)[1].strip() for line in done.stdout.splitlines() if "::" in line}


def test_each_tier_has_a_command():
    assert list(commands()) == ["suite", "nightly", "measured once"]
    assert f"python -m pytest{commands()['suite'].partition('pytest')[2]}" in (ROOT / "README.md").read_text("utf-8")
    script = ROOT / commands()["measured once"].split()[1]
    assert script.is_file()


def test_nightly_takes_all_that_the_suite_takes_and_more():
    assert collected("suite")
    assert collected("suite") < collected("nightly")
    assert not [name for name in collected("suite") if name.startswith("test_nothing_meets_in_systems_never_seen_before")]
    cases = [name for name in collected("nightly") if name.startswith("test_nothing_meets[")]
    assert 0.05 * len(cases) <= len([name for name in collected("suite") if name.startswith("test_nothing_meets[")])


def test_the_suite_has_no_more_tests_than_each_push_can_wait_for(request, whole):
    """Each test costs its collection in every worker; what is one claim of many cases is one test, a sample, or of the night."""
    assert whole or len(request.session.items) <= MOST_TESTS
