"""The form of docs/demands.yaml: what the code demands of each kind of thing, written apart from the program."""

import re
from collections import Counter
from pathlib import Path

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


class _UniqueKeys(yaml.CSafeLoader):
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


def _broken(holds):
    """The ids (else the demands) of the entries for which ``holds`` is false."""
    return [entry.get("id", entry.get("demand")) for _, entry in ENTRIES if not holds(entry)]


def _is_text(value):
    return isinstance(value, str) and bool(value.strip())


def test_every_entry_has_all_fields_and_no_other():
    assert not _broken(lambda entry: set(entry) - {"field_only"} == FIELDS)
    assert not _broken(lambda entry: entry.get("field_only", True) is True)


def test_ids_are_kebab_case_and_begin_with_their_kind():
    assert not [entry["id"] for kind, entry in ENTRIES if not re.fullmatch(rf"{KINDS[kind]}\.[a-z0-9]+(-[a-z0-9]+)*", entry["id"])]


def test_no_sentence_is_empty():
    assert not _broken(lambda entry: all(_is_text(entry[field]) for field in SENTENCES))
    assert not _broken(lambda entry: entry["demand"].endswith("."))


def test_beyond_and_within_differ():
    assert not _broken(lambda entry: entry["beyond"] != entry["within"])


def test_modes_are_known():
    assert not _broken(lambda entry: entry["modes"] == "all" or _are_some_modes(entry["modes"]))


def _are_some_modes(modes):
    return isinstance(modes, list) and bool(modes) and set(modes) <= MODES and len(set(modes)) == len(modes)


def test_every_edition_has_a_section_or_a_dash():
    assert not _broken(lambda entry: list(entry["sections"]) == EDITIONS)
    assert not _broken(lambda entry: all(map(_is_text, entry["sections"].values())))
    assert not _broken(lambda entry: set(entry["sections"].values()) != {"-"})


def test_facts_and_exemptions_are_phrases():
    assert not _broken(lambda entry: isinstance(entry["fact"], list) and bool(entry["fact"]))
    assert not _broken(lambda entry: isinstance(entry["exemptions"], list))
    assert not _broken(lambda entry: all(map(_is_text, [*entry["fact"], *entry["exemptions"]])))


def test_how_sure_is_one_of_three():
    assert not _broken(lambda entry: entry["how_sure"] in {"high", "medium", "low"})
