"""The worked examples as a fixture: a test named ``test_we_amp_01_…`` gets example WE-AMP-01 and must answer all of it.

Also the base projects of the rule cases, with changes, for checks of whole projects against reference libraries.
"""

from __future__ import annotations

import copy
import re
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.given import Given

FILE = Path(__file__).with_name("worked_examples.yaml")
BASES = Path(__file__).resolve().parents[1] / "rules" / "bases"
ID_IN_NAME = re.compile(r"test_(we_[a-z]+_\d+)")


@cache
def worked_examples():
    """Every example by its id."""
    return {example["id"]: example for example in yaml.load(FILE.read_text(encoding="utf-8"), yaml.CSafeLoader)["examples"]}


class Example:
    """One worked example. ``check`` compares answers; what is not answered must be excused with a reason."""

    def __init__(self, facts):
        self.id = facts["id"]
        self.inputs = facts["inputs"]
        self.oracle = facts["oracle"]
        self.published = facts.get("published", {})
        self.recomputed = facts.get("recomputed", {})
        self._answered = set()

    def check(self, **answers):
        """Compare answers by key: with the published value (0.5 % or its printed digits) and with the recomputed one (its digits)."""
        for key, answer in answers.items():
            if key in self.published and self.oracle == "exact":
                assert agrees(answer, self.published[key], relative=0.005), (self.id, "published", key, answer, self.published[key])
            if key in self.recomputed:
                assert agrees(answer, self.recomputed[key], relative=0.0002), (self.id, "recomputed", key, answer, self.recomputed[key])
            assert key in self.published or key in self.recomputed, f"{self.id} has no answer {key}"
            self._answered.add(key)

    def excuse(self, reason, *keys):
        """Leave keys unanswered, for a reason."""
        assert reason
        assert set(keys) <= {*self.published, *self.recomputed}
        self._answered |= set(keys)

    @property
    def unanswered(self):
        """The keys of the example that the test neither checked nor excused."""
        return {*self.published, *self.recomputed} - self._answered


def agrees(answer, printed, *, relative):
    """Whether ``answer`` is what is printed: words exactly, numbers within ``relative`` or when rounded to the printed digits."""
    if isinstance(printed, list | tuple):
        return len(answer) == len(printed) and all(agrees(a, p, relative=relative) for a, p in zip(answer, printed, strict=True))
    if isinstance(printed, bool) or not isinstance(printed, int | float):
        return str(answer) == str(printed)
    half_digit = 0.5 * 10.0 ** Decimal(str(printed)).as_tuple().exponent
    return abs(answer - printed) <= max(half_digit * (1 + 1e-9), relative * abs(printed))


@pytest.fixture
def example(request):
    """The example that the name of the test names; fails when the test leaves an answer of it unchecked."""
    name = ID_IN_NAME.match(request.node.name)[1].upper().replace("_", "-")
    found = Example(worked_examples()[name])
    yield found
    assert not found.unanswered, f"{found.id}: not answered: {sorted(found.unanswered)}"


@pytest.fixture(params=["2017", "2020", "2023"])
def book(request):
    """The code in each confirmed edition."""
    return CodeBook(request.param)


@pytest.fixture
def nec_2023():
    """The newest confirmed edition, for examples that hold in all of them."""
    return CodeBook("2023")


@pytest.fixture
def given_for():
    """What rules are given for a base project with ``changes``: path to new text, None to leave the key out."""

    def changed(base, changes):
        read = read_yaml_file(BASES / f"{base}.yaml")
        data = copy.deepcopy(read.data)
        for path, value in changes.items():
            *above, last = path.split(".")
            found = data
            for step in above:
                found = found[step]
            if value is None:
                del found[last]
            else:
                found[last] = value
        system = build_project(ReadFile(read.file, read.text, data, read.positions), BASES).system
        return Given(system, CodeBook(2023))

    return changed
