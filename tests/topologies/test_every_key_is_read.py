"""Each key that the demo or a topology states is read by a rule or a document in at least one of them, or stands in a list with the reason.

What is read is measured (``permitgen check --unread``). The list is short, and shrinks when a key that stands in it is read.
"""

from pathlib import Path

import pytest
import yaml

from permitgen.package.unread import stated_facts, unread_facts
from permitgen.project.messages import section_at
from permitgen.project.schema import meanings_of, sections

ROOT = Path(__file__).resolve().parents[2]
PROJECTS = [*sorted((ROOT / "tests" / "topologies").glob("*.yaml")), ROOT / "demo_project" / "project.yaml"]
KNOWN = yaml.load((Path(__file__).parent / "expected" / "unread_keys" / "keys.yaml").read_text("utf-8"), yaml.CBaseLoader)


def _declared_in(model, key):
    """Return the section that declares a key: what every kind of equipment may state is one key."""
    named = (key, f"{key}_")
    return next(each.__name__ for each in model.__mro__ if any(name in vars(each).get("__annotations__", {}) for name in named))


def key_of(data, path):
    """Return ``Section.key`` of a fact; what the writer names himself (a branch, a setting) is a fact of the key that holds it."""
    for end in range(len(path), 0, -1):
        model = section_at(data, path[:end])
        if model is not None and isinstance(path[end - 1], str):
            return f"{_declared_in(model, path[end - 1])}.{path[end - 1]}"
    raise AssertionError(path)


def test_the_list_names_keys_that_there_are():
    keys = {f"{model.__name__}.{key}" for model in sections() for key in meanings_of(model)}
    assert KNOWN.keys() <= keys
    assert all(len(reason) > 20 for reason in KNOWN.values())
    assert len(KNOWN) <= 30


@pytest.mark.nightly
def test_every_stated_key_is_read_somewhere(open_once):
    stated, read = set(), set()
    for path in PROJECTS:
        opened = open_once(path)
        data = opened.loaded.file.data
        unread = {fact.key for fact in unread_facts(opened)}
        for at, _ in stated_facts(data):
            key = key_of(data, at)
            stated.add(key)
            if ".".join(map(str, at)) not in unread:
                read.add(key)
    assert len(stated) > 200
    assert stated - read == KNOWN.keys()
