"""The form of docs/demands.yaml: what the code demands of each kind of thing, written apart from the program."""

import re
from collections import Counter
from pathlib import Path

import pytest
import yaml

FILE = Path(__file__).resolve().parents[2] / "docs" / "demands.yaml"
KINDS = {
    "conductor": "conductor",
    "overcurrent-device": "device",
    "busbar": "busbar",
    "terminal": "terminal",
    "enclosure": "enclosure",
    "raceway": "raceway",
    "source": "source",
    "disconnect": "disconnect",
    "bond": "bond",
    "electrode": "electrode",
    "label": "label",
    "load": "load",
    "control-wiring": "control",
    "array": "array",
    "transfer": "transfer",
    "working-space": "space",
}
MODES = {"utility", "island", "generator", "charging", "shutdown", "maintenance"}
EDITIONS = [2017, 2020, 2023, 2026]
SENTENCES = ["demand", "limit", "beyond", "within"]
FIELDS = {"id", "modes", "sections", "fact", "exemptions", "how_sure", *SENTENCES}


class _UniqueKeys(yaml.SafeLoader):
    """A safe loader that takes no mapping with a key written twice."""


def _mapping(loader, node):
    keys = [loader.construct_object(key) for key, _ in node.value]
    twice = [key for key, times in Counter(keys).items() if times > 1]
    if twice:
        raise yaml.constructor.ConstructorError(None, None, f"key written twice: {twice}", node.start_mark)
    return dict(loader.construct_pairs(node, deep=True))


_UniqueKeys.add_constructor(yaml.resolver.BaseResolver.DEFAULT_MAPPING_TAG, _mapping)

DOCUMENT = yaml.load(FILE.read_text(encoding="utf-8"), Loader=_UniqueKeys)
ENTRIES = [(kind, entry) for kind, entries in DOCUMENT["demands"].items() for entry in entries]


def test_it_loads_as_plain_yaml():
    assert yaml.safe_load(FILE.read_text(encoding="utf-8")) == DOCUMENT


def test_every_kind_of_thing_has_demands():
    assert list(DOCUMENT["demands"]) == list(KINDS)
    assert all(DOCUMENT["demands"].values())


def test_modes_are_explained():
    assert set(DOCUMENT["modes"]) == MODES
    assert all(text.strip() for text in DOCUMENT["modes"].values())


def test_no_id_and_no_demand_is_written_twice():
    for field in ("id", "demand"):
        twice = [value for value, times in Counter(entry[field] for _, entry in ENTRIES).items() if times > 1]
        assert not twice


def test_lines_are_short():
    assert max(map(len, FILE.read_text(encoding="utf-8").splitlines())) <= 140


@pytest.mark.parametrize(("kind", "entry"), ENTRIES, ids=[entry.get("id", "without id") for _, entry in ENTRIES])
class TestEntry:
    def test_fields(self, kind, entry):
        assert set(entry) - {"field_only"} == FIELDS
        assert entry.get("field_only", True) is True

    def test_id_is_kebab_case_and_begins_with_its_kind(self, kind, entry):
        assert re.fullmatch(rf"{KINDS[kind]}\.[a-z0-9]+(-[a-z0-9]+)*", entry["id"])

    def test_sentences(self, kind, entry):
        for field in SENTENCES:
            assert isinstance(entry[field], str), field
            assert entry[field].strip(), field
        assert entry["demand"].endswith(".")
        assert entry["beyond"] != entry["within"]

    def test_modes(self, kind, entry):
        modes = entry["modes"]
        assert modes == "all" or (modes and set(modes) <= MODES and len(set(modes)) == len(modes))

    def test_every_edition_has_a_section_or_a_dash(self, kind, entry):
        assert list(entry["sections"]) == EDITIONS
        assert all(isinstance(section, str) and section.strip() for section in entry["sections"].values())
        assert any(section != "-" for section in entry["sections"].values())

    def test_lists(self, kind, entry):
        assert entry["fact"]
        for phrase in (*entry["fact"], *entry["exemptions"]):
            assert isinstance(phrase, str)
            assert phrase.strip()

    def test_how_sure(self, kind, entry):
        assert entry["how_sure"] in {"high", "medium", "low"}
