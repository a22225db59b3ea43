"""``permitgen limits`` as a user runs it."""

import json
import re

from tests.cli.in_process import run


def _run(*arguments):
    return run("limits", *arguments)


def test_one_circuit_says_what_passes_and_which_section_forbids_the_next():
    """50 A is the ampacity of 8 AWG at 75 °C (Table 310.16) and a standard rating; the next is 60 A (240.6(A))."""
    done = _run("demo_project", "C7")
    assert done.returncode == 0
    assert "with approval  50\u00a0A" in done.stdout
    assert re.search(r"not 60\u00a0A: .*\((240\.4|705\.12\(B\)\(3\))\)", done.stdout)
    assert "Revision 1" in done.stdout
    assert "C8  " not in done.stdout


def test_an_unknown_circuit_names_the_nearest():
    done = _run("demo_project", "C77")
    assert done.returncode == 2
    assert "C7" in done.stderr
    assert not done.stdout


def test_json_has_the_same_texts():
    done = _run("demo_project", "C11", "--format", "json")
    page = json.loads(done.stdout)
    (card,) = page["cards"]
    assert card["tag"] == "C11"
    assert {"what", "now", "passes", "with_approval", "refused", "said_at"} == set(card["lines"][0])
    assert "R10 length: 28\u00a0ft" in [f"{line['what']}: {line['now']}" for line in card["lines"]]


def test_a_circuit_that_violates_says_so_before_anything_else():
    """The file of mistakes has a 30 A breaker on 12 AWG, which 240.4(D) limits to 20 A."""
    done = _run("demo_project/with_mistakes.yaml", "C4")
    assert done.returncode == 1
    lines = done.stdout.splitlines()
    first = lines[next(index for index, line in enumerate(lines) if line.startswith("C4  ")) + 1]
    assert first.startswith("  FAILS: ")


def test_what_exists_stays():
    """Its service is there already: nothing of it is chosen."""
    done = _run("tests/topologies/b14_generator_inlet.yaml", "S1")
    assert "Exists: nothing is chosen here." in done.stdout
    assert "passes" not in done.stdout.partition("S1  ")[2]


def test_an_edition_that_was_not_read_passes_nothing():
    done = _run("demo_project", "C7", "--edition", "2026")
    assert "Conductors: 8 AWG" in done.stdout
    assert not re.search(r"^    (passes|with approval) .*AWG", done.stdout, re.MULTILINE)
