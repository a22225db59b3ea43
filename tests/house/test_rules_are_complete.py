"""Every rule names a provision that exists, says the same five things about itself, and has cases on both sides of its limit."""

import sys
from collections import defaultdict
from functools import cache
from pathlib import Path

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
            content = yaml.load(path.read_text("utf-8"), Loader=yaml.CBaseLoader)
            found[content.get("rule")][path.name] = content
    return found


def test_every_rule_names_a_provision():
    known = set(CodeBook(2023).provision_ids)
    assert not [f"{rule.id}: {rule.provision}" for rule in RULES if rule.provision not in known]


def test_every_rule_says_what_it_is():
    texts = {rule: rule.judge.__doc__ or sys.modules[rule.module].__doc__ for rule in RULES}
    missing = [f"{rule.module}: judge lacks {heading}" for rule, text in texts.items() for heading in HEADINGS if heading not in text]
    assert not missing, "\n".join(missing)


def test_every_module_begins_with_the_title_that_is_printed():
    """The printed title is an argument, because ``python -OO`` takes docstrings away; whoever opens the file reads the same."""
    other = [r.id for r in RULES if sys.modules[r.module].__doc__.strip().splitlines()[0].rstrip(".") != r.title]
    assert not other, other


def _lacking(rule):
    """Say what the case files of a rule lack: a case that holds and one that does not, each with its source."""
    files = case_files().get(rule.id, {})
    if not files:
        yield f"tests/rules has no case file for {rule.id}"
    yield from (f"{name} names no source" for name, content in files.items() if not content.get("source"))
    verdicts = {case["verdict"] for content in files.values() for case in content["cases"].values()}
    if not verdicts & {"passes", "does not apply"}:
        yield f"{rule.id}: no case that holds"
    if not verdicts & {"violated", "caution", "not judged"}:
        yield f"{rule.id}: no case that does not hold"


def test_every_rule_has_cases_on_both_sides():
    lacking = [what for rule in RULES for what in _lacking(rule)]
    assert not lacking, "\n".join(lacking)


def test_ids_are_kebab_case_nouns():
    assert not [r.id for r in RULES if not r.id.replace("-", "").isalnum() or r.id != r.id.lower()]
