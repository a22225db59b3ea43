"""The JSON Schema says what the reader does: what is read validates, and none and unknown validate exactly where they are read.

An editor reads YAML 1.2 (its core schema: 2023 a number, true an answer, no a word) or YAML 1.1 (no an answer too); the program
reads every value as text. Files are held against the schema in all three readings.
"""

import json
import re
from pathlib import Path

import jsonschema
import pytest
import yaml
from pydantic import ValidationError

from permitgen.project.fields import words_for_nothing
from permitgen.project.schema import project_schema, sections
from permitgen.project.sections.project_file import ProjectFile
from permitgen.system.local_options import LOCAL_OPTIONS

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted(
    [*(ROOT / "tests" / "topologies").glob("*.yaml"), *(ROOT / "demo_project").rglob("*.yaml"), ROOT / "tests/cli/small_house.yaml"]
)
PROJECTS = [path for path in FILES if "jurisdiction:" in path.read_text("utf-8") and path.parent.name != "places"]
SCHEMA = project_schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)
_YAML = "tag:yaml.org,2002:"


class CoreLoader(yaml.CSafeLoader):
    """YAML 1.2, core schema (chapter 10.3.2 of its specification)."""


CoreLoader.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("null", r"null|Null|NULL|~|", ["~", "n", "N", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    ("int", r"[-+]?[0-9]+", list("-+0123456789")),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", list("-+.0123456789")),
):
    CoreLoader.add_implicit_resolver(_YAML + tag, re.compile(rf"^(?:{pattern})$"), first)


def _as_json(tree):
    """What an editor hands to the validator: a day is text there."""
    return json.loads(json.dumps(tree, default=str))


@pytest.mark.sample(every=3)
@pytest.mark.parametrize("loader", [yaml.CBaseLoader, CoreLoader, yaml.CSafeLoader], ids=["text", "yaml 1.2", "yaml 1.1"])
def test_every_project_of_the_repository_validates(loader):
    assert len(PROJECTS) > 15
    wrong = {
        path.name: error.message
        for path in PROJECTS
        for error in VALIDATOR.iter_errors(_as_json(yaml.load(path.read_text("utf-8"), loader)))
    }
    assert not wrong


def _definition(model):
    return SCHEMA if model is ProjectFile else SCHEMA["$defs"].get(model.__name__)


def _validator_of(model, key):
    definition = _definition(model)
    found = next((form for form in definition["anyOf"] if "properties" in form), None) if "anyOf" in definition else definition
    return jsonschema.Draft202012Validator({"$defs": SCHEMA["$defs"], **found["properties"][key]})


def _reads(model, key, value):
    """Whether the reader takes the value at this key, whatever else the section lacks."""
    others = [("", _faults(model, {})), (A_WORD, _faults(model, {key: A_WORD}))]
    of_the_rest = {_told(fault, word) for word, faults in others for fault in faults if not fault["loc"]}
    faults = _faults(model, {key: value})
    return not any(fault["loc"][:1] == (key,) or (not fault["loc"] and _told(fault, value) not in of_the_rest) for fault in faults)


A_WORD = "Orchard Road"


def _told(fault, value):
    """What a fault says, whatever the value is."""
    return fault["msg"].replace(f'"{value}"', '""')


def _faults(model, data):
    try:
        model.model_validate(data)
    except ValidationError as error:
        return error.errors()
    return []


KEYS = [(model, field.alias or name) for model in sections() if _definition(model) for name, field in model.model_fields.items()]


def test_none_and_unknown_validate_exactly_where_they_are_read():
    assert len(KEYS) > 400
    wrong = []
    for model, key in KEYS:
        validator = _validator_of(model, key)
        # Reference faults (a tag called none) are no matter of a schema, and what field/ holds is never read here.
        words = [word for word in ("none", "None", "unknown", "UNKNOWN") if _reads(model, key, word) != validator.is_valid(word)]
        wrong += [f"{model.__name__}.{key}: {word} is {'refused' if validator.is_valid(word) else 'read'}" for word in words]
    assert not wrong, "\n".join(wrong)


VALUES = (
    "48 A",
    "240 V",
    "35 ft",
    "1-1/4 in",
    "5½ in",
    "5' 6\"",
    "2 %",
    "8",
    "0",
    "0.95",
    "95 %",
    "-23 °C",
    "-0.27 %/°C",
    "yes",
    "No",
    "TRUE",
    "6 AWG",
    "1/0",
    "250 kcmil",
    "14 AWG to 1 AWG",
    "2P 60 A",
    "2P size",
    "203°",
    "south",
    "5/12",
    "2026-03-02",
    "copper",
    "island",
    "installed",
    "120/240 V",
    "208Y/120",
    "600 V dc",
    "THWN-2",
    "1",
    "A",
    "9.2 kA",
    "14 kW",
    "12.4 kWh",
    "270°",
    "02134",
)


def test_what_the_reader_takes_validates(whole):
    """Of the keys the suite tries every fifth, with all values."""
    wrong = []
    for model, key in KEYS if whole else KEYS[::5]:
        validator = _validator_of(model, key)
        wrong += [f"{model.__name__}.{key}: {value}" for value in VALUES if _reads(model, key, value) and not validator.is_valid(value)]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(
    ("at", "value"),
    [
        (("circuits", "C4", "conductors", "insulatoin"), "THWN-2"),
        (("raceways", "R1", "length"), "-"),
        (("raceways", "R1", "length"), "62"),
        (("raceways", "R1", "kind"), "EMTT"),
        (("equipment", "MID", "main"), "none at all"),
        (("equipment", "HP", "supply_end"), "left"),
        (("site", "plan", "lot"), [[0, 0], [1, 1]]),
        (("site", "floor_area"), None),
        (("jurisdiction", "options"), {"backup_capacity": "largest load"}),
        (("jurisdiction", "edition"), 2021),
        (("equipment", "RSI", "shuts_downs"), "PV1"),
        (("loads", "K1", "shed"), "sometimes"),
        (("project", "revisions"), [{"number": 0, "date": "3/2/2026", "reason": "First"}]),
        (("labels",), {"rapid_shutdown": "yes"}),
    ],
)
def test_what_the_reader_refuses_does_not_validate(at, value):
    tree = yaml.load((ROOT / "demo_project" / "project.yaml").read_text("utf-8"), yaml.CBaseLoader)
    holder = tree
    for step in at[:-1]:
        holder = holder[step]
    holder[at[-1]] = value
    assert not VALIDATOR.is_valid(tree)


def test_words_for_nothing_are_said_to_mean_something():
    """An editor shows what they mean where it offers them."""
    for word in ("none", "unknown"):
        assert SCHEMA["$defs"][word]["description"]
    assert any(words_for_nothing(model) for model in sections())


def test_every_option_that_is_asked_for_is_known():
    """In rules, views and package by name; the words that the cover prints are of known choices."""
    asked = set()
    for path in (ROOT / "permitgen").rglob("*.py"):
        text = path.read_text("utf-8")
        names = dict(re.findall(r'^(OPTION)\b[^=\n]*= "(\w+)"', text, re.MULTILINE))
        asked |= {names.get(name, name.strip('"')) for name in re.findall(r'\.option\(("\w+"|OPTION)', text)}
    assert asked == set(LOCAL_OPTIONS)
    words = yaml.load((ROOT / "permitgen" / "views" / "vocabulary.yaml").read_text("utf-8"), yaml.CSafeLoader)["options"]
    assert not {(name, choice) for name, said in words.items() for choice in said if choice not in LOCAL_OPTIONS[name].choices}
