"""Every worked example has a test named after it, or a reason here why this part of the program does not answer it."""

from __future__ import annotations

import re
from pathlib import Path

import yaml

HERE = Path(__file__).parent

# Examples whose answer is not a matter of the code's tables and equations.
NOT_ANSWERED_HERE: dict[str, str] = {}


def examples():
    return yaml.load((HERE / "worked_examples.yaml").read_text(encoding="utf-8"), yaml.CSafeLoader)["examples"]


def answered():
    found = {}
    for path in sorted(HERE.glob("test_worked_examples_*.py")):
        for name, example in re.findall(r"^def (test_(we_[a-z]+_\d+)_\w+)", path.read_text(encoding="utf-8"), re.MULTILINE):
            found.setdefault(example.upper().replace("_", "-"), []).append(f"{path.name}::{name}")
    return found


def test_every_example_is_answered_or_excused():
    tests = answered()
    missing = [e["id"] for e in examples() if e["id"] not in tests and e["id"] not in NOT_ANSWERED_HERE]
    assert not missing


def test_no_excuse_is_left_over():
    ids = {e["id"] for e in examples()}
    assert set(NOT_ANSWERED_HERE) <= ids
    assert not set(NOT_ANSWERED_HERE) & set(answered())


def test_no_test_names_an_unknown_example():
    assert set(answered()) <= {e["id"] for e in examples()}


def test_every_topic_is_covered():
    found = answered()
    topics = {}
    for example in examples():
        topics.setdefault(example["topic"], []).append(example["id"] in found)
    assert len(topics) == 34
    assert [topic for topic, has_answer in topics.items() if not any(has_answer)] == []
