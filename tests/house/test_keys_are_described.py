"""Every key that a project file may hold says what it means, in a sentence, where it is declared."""

import re

from permitgen.project.measured import Measured
from permitgen.project.schema import meanings_of, sections

SHORTEST = 30
LONGEST = 220
FILLER = re.compile(r"^(?:The )?(?:rating|value|name|size|number|length|type|kind)\.?$", re.IGNORECASE)


def _said():
    return {f"{model.__name__}.{key}": meaning for model in sections() for key, meaning in meanings_of(model).items()}


def test_every_key_says_what_it_means():
    said = _said()
    assert len(said) > 500
    wrong = {
        key: meaning
        for key, meaning in said.items()
        if not SHORTEST <= len(meaning) <= LONGEST or not meaning[0].isupper() or not meaning.endswith(".") or FILLER.match(meaning)
    }
    assert not wrong


def test_a_meaning_is_more_than_its_key():
    """A sentence that only spells the key out again helps nobody."""
    wrong = {}
    for key, meaning in _said().items():
        own = set(key.rpartition(".")[2].strip("_").split("_"))
        if len(set(re.findall(r"[a-z]+", meaning.lower())) - own) < 4:
            wrong[key] = meaning
    assert not wrong


UNITS = {
    "a": "ampere",
    "ka": "kiloampere",
    "v": "volt",
    "va": "watts",
    "kva": "kilovolt-ampere",
    "w": "watt",
    "kwh": "kilowatt-hour",
    "ohm": "ohm",
    "lbf_in": "pound-inch",
    "lb": "pound",
    "s": "second",
    "hz": "hertz",
    "in": "inch",
    "in2": "square inch",
    "in3": "cubic inch",
    "ft2": "square f",
    "percent": "percent",
    "c": "degree",
    "deg": "degree",
}
EXAMPLES = {
    "a": "48 A",
    "ka": "10 kA",
    "v": "240 V",
    "va": "1500 W",
    "kva": "25 kVA",
    "w": "405 W",
    "kwh": "12.4 kWh",
    "ohm": "1 Ω",
    "lbf_in": "45 lbf-in",
    "lb": "48 lb",
    "s": "10 s",
    "hz": "61 Hz",
    "in": "4 in",
    "in2": "2 in²",
    "in3": "30 in³",
    "ft2": "90 ft²",
    "percent": "2 %",
    "c": "10 °C",
    "deg": "18°",
}
SAID_OTHERWISE = {"DeviceModel.rating", "AutotransformerModel.neutral_current"}


def test_a_measured_key_names_its_unit():
    """Each reads a number of one unit; the sentence names it, or a length in feet or inches."""
    wrong = {}
    for model in sections():
        for name, field in model.model_fields.items():
            unit = _unit_of(field)
            if unit not in UNITS:
                continue
            meaning = (field.description or "").lower()
            wanted = ("inch", "feet") if unit in ("in", "ft") else (UNITS[unit], "ampere" if unit in ("a", "ka") else UNITS[unit])
            wanted += ("kilowatt", "volt-ampere") if unit == "va" else ()
            if not any(word in meaning for word in wanted) and f"{model.__name__}.{name}" not in SAID_OTHERWISE:
                wrong[f"{model.__name__}.{name}"] = (unit, meaning)
    assert not wrong


def _unit_of(field):
    for part in field.metadata:
        read = getattr(part, "func", None)
        for unit, example in EXAMPLES.items():
            if getattr(read, "__module__", "") != "permitgen.project.fields":
                continue
            try:
                found = read(example)
            except (ValueError, TypeError):
                continue
            if isinstance(found, Measured) and found.unit == unit:
                return unit
    return None
