"""Every rule names a provision that exists, says the same five things about itself, and has cases on both sides of its limit."""

import sys
from collections import defaultdict
from functools import cache
from pathlib import Path

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.rules.rule import all_rules

ROOT = Path(__file__).resolve().parents[2]
HEADINGS = ("Requires:", "Why:", "Applies to:", "Example that fails:", "Example that passes:")
RULES = all_rules()


@cache
def case_files():
    """Return for each rule its case files by name."""
    found = defaultdict(dict)
    for path in sorted((ROOT / "tests" / "rules").rglob("*.yaml")):
        if "bases" not in path.parts:
            content = yaml.safe_load(path.read_text("utf-8"))
            found[content.get("rule")][path.name] = content
    return found


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.id)
def test_rule_names_a_provision(rule):
    assert rule.provision in CodeBook(2023).provision_ids


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.id)
def test_rule_says_what_it_is(rule):
    text = rule.judge.__doc__ or sys.modules[rule.module].__doc__
    missing = [heading for heading in HEADINGS if heading not in text]
    assert not missing, f"{rule.module}: judge lacks {missing}"


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.id)
def test_the_module_begins_with_the_title_that_is_printed(rule):
    """The printed title is an argument, because ``python -OO`` takes docstrings away; whoever opens the file reads the same."""
    assert sys.modules[rule.module].__doc__.strip().splitlines()[0].rstrip(".") == rule.title


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.id)
def test_rule_has_cases_on_both_sides(rule):
    """A case that holds and one that does not, each with its source."""
    files = case_files().get(rule.id, {})
    assert files, f"tests/rules has no case file for {rule.id}"
    verdicts = set()
    for name, content in files.items():
        assert content.get("source"), f"{name} names no source"
        verdicts |= {case["verdict"] for case in content["cases"].values()}
    assert verdicts & {"passes", "does not apply"}, f"{rule.id}: no case that holds"
    assert verdicts & {"violated", "caution", "not judged"}, f"{rule.id}: no case that does not hold"


def test_ids_are_kebab_case_nouns():
    assert not [r.id for r in RULES if not r.id.replace("-", "").isalnum() or r.id != r.id.lower()]
