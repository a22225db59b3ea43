"""Each sentence about the installation names what it rests on, and a sentence that rests on a rule is said by way of that rule only."""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path
from string import Formatter

import pytest
import yaml

import permitgen
from permitgen.rules.rule import all_rules
from permitgen.system.operating_mode import OperatingMode
from permitgen.views.sentence_grounds import grounds

PACKAGE = Path(permitgen.__file__).parent
ENGLISH = yaml.load((PACKAGE / "views" / "phrases" / "en.yaml").read_text("utf-8"), yaml.CSafeLoader)
FAMILIES = ("owner.", "live.", "stops", "backup.")
ON_RULES = {key: ground for key, ground in grounds().items() if ground.rules}


def names_in(key):
    return {name for _, name, _, _ in Formatter().parse(ENGLISH[key]) if name}


def test_each_sentence_has_a_ground_and_no_ground_is_left_over():
    assert set(grounds()) == {key for key in ENGLISH if key.startswith(FAMILIES)}


@pytest.mark.parametrize("key", grounds())
def test_a_ground_is_something(key):
    """A walk that exists, rules that exist, or words on what the file states or why nothing is claimed."""
    ground = grounds()[key]
    assert ground.walk or ground.rules or ground.facts or ground.advice
    assert not (ground.advice and (ground.walk or ground.rules or ground.facts))
    if ground.walk:
        module, _, function = ground.walk.partition(".")
        home = PACKAGE / "system" / "walks" / f"{module}.py"
        assert callable(getattr(import_module(f"permitgen.system.{'walks.' if home.exists() else ''}{module}"), function))
    rules = {rule.id: rule for rule in all_rules()}
    for name in ground.rules:
        rule, _, subject = name.partition(":")
        assert rule in rules
        assert not subject or subject in {str(mode) for mode in OperatingMode}


@pytest.mark.parametrize("key", ON_RULES)
def test_what_takes_the_place_of_a_sentence_needs_no_more_than_it(key):
    instead = ON_RULES[key].instead
    assert set(instead) == {"denied", "unknown"}
    for other in instead.values():
        assert names_in(other) <= names_in(key)
        assert other == key or not grounds()[other].rules


@pytest.mark.parametrize("key", ON_RULES)
def test_no_view_says_a_sentence_that_rests_on_rules_without_asking_them(key):
    """The key stands in a question for how its rules stand; whoever says it outright asks in the same module."""
    asking = re.compile(rf'(?:proven_key|how_it_stands)\(evaluation, "{re.escape(key)}"\)')
    saying = re.compile(rf'"{re.escape(key)}"')
    modules = [path.read_text("utf-8") for path in sorted((PACKAGE / "views").rglob("*.py"))]
    said = [text for text in modules if saying.search(text)]
    assert said
    assert all(asking.search(text) for text in said)
