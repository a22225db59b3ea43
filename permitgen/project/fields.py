"""Types of the fields of a project file: each reads the user's text and keeps his spelling beside the number."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, ClassVar, Self, get_args

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    ModelWrapValidatorHandler,
    PlainValidator,
    PrivateAttr,
    WithJsonSchema,
    model_validator,
)
from pydantic.fields import FieldInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from permitgen.project import quantities
from permitgen.project.examples import example_of
from permitgen.project.measured import Measured, read_figure, text_of
from permitgen.project.value_schemas import (
    ANSWER,
    FIGURE_AND_UNIT,
    FIGURES,
    FIGURES_BY_SOURCE,
    NUMBERS_BY_SOURCE,
    SCALAR,
    plain_number,
    whole_number,
    words_schema,
)
from permitgen.project.word_fields import WordReader
from permitgen.reading.nearest import did_you_mean
from permitgen.values.conductor_size import ConductorSize

# What people know: there is none (a fact), nobody knows yet, or the key left out (nobody asked).
NONE = "none"
UNKNOWN = "unknown"
_NO_ANSWERS = frozenset({"~", "-", "--", "\N{EN DASH}", "\N{EM DASH}", "n/a", "null"})
_THREE_WORDS = "write none (looked, there is none) or unknown (nobody knows yet), or leave the key out (not asked)"


def no_answers(tree: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield the place of every value that is a dash, a tilde or nothing, each with the message for its writer."""
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from no_answers(value, (*at, key))
    elif isinstance(tree, list):
        for index, value in enumerate(tree):
            yield from no_answers(value, (*at, index))
    elif tree is None:
        yield at, f"no value; {_THREE_WORDS}"
    elif isinstance(tree, str) and tree.strip().casefold() in _NO_ANSWERS:
        yield at, f'"{tree.strip()}" leaves open what is meant; {_THREE_WORDS}'


class Section(BaseModel):
    """Base of every section model: unknown keys are errors, nothing changes after reading.

    ``says`` is what the schema prints of the section; it is no docstring, because ``python -OO`` takes those away.
    ``none_means`` holds keys whose *none* is the answer to another key. ``silence_is_none``: a thing of this model that is left out is
    taken as not there, so that *unknown* cannot be read as left out. ``always_there`` holds keys of things without which there would be
    no such section (a circuit without conductors): *none* of them is refused. ``figures_of_things`` holds keys of figures that a thing may
    not have at all (a spacing that no listing states): *none* is a fact.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, arbitrary_types_allowed=True, defer_build=True)
    none_means: ClassVar[dict[str, tuple[str, str]]] = {}
    silence_is_none: ClassVar[bool] = False
    always_there: ClassVar[frozenset[str]] = frozenset()
    figures_of_things: ClassVar[frozenset[str]] = frozenset()
    _absent: frozenset[str] = PrivateAttr(default=frozenset())
    _unknown: frozenset[str] = PrivateAttr(default=frozenset())

    @property
    def absent(self) -> frozenset[str]:
        """The keys of which the writer says that there is none."""
        return self._absent

    @property
    def unknown(self) -> frozenset[str]:
        """The keys of which the writer says that nobody knows: nothing is chosen in their place."""
        return self._unknown

    @model_validator(mode="wrap")
    @classmethod
    def read_none_and_unknown(cls, value: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        """Read a key as left out where its value is ``unknown``, or ``none`` of a thing; of the latter, remember it."""
        if not isinstance(value, dict):
            return handler(value)
        words = words_for_nothing(cls)
        said = {key: word.strip().casefold() for key, word in value.items() if isinstance(word, str)}
        said = {key: word for key, word in said.items() if word in words.get(key, ())}
        rest = {key: given for key, given in value.items() if key not in said}
        for key, (other, answer) in cls.none_means.items():
            if said.get(key) == NONE and str(rest.setdefault(other, answer)).casefold() != answer:
                raise ValueError(f"{key}: none contradicts {other}: {rest[other]}")
        found = handler(rest)
        if said:
            found._absent = frozenset(key for key, word in said.items() if word == NONE)  # noqa: SLF001
            found._unknown = frozenset(said) - found._absent  # noqa: SLF001
        return found

    @classmethod
    def __get_pydantic_json_schema__(cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Return the schema of the section, each key with an example of its own where that of its unit would be absurd."""
        found = handler(core_schema)
        for key, form in handler.resolve_ref_schema(found).get("properties", {}).items():
            if example := example_of((section.__name__ for section in cls.__mro__), key):
                form["examples"] = [example]
        return found

    def __init_subclass__(cls, *, says: str, **more: Any) -> None:
        """Keep ``says`` where the schema looks for it."""
        super().__init_subclass__(**more)
        cls.__doc__ = says


def described(default: Any, meaning: str, *, alias: str | None = None) -> Any:
    """Return the field of a section that means ``meaning``: one sentence with its unit and where a person reads it, for schema and guide.

    ``default`` is what a key left out is read as, a class or function that makes it, or ``...`` where the key has to be there.
    """
    if callable(default):
        return Field(default_factory=default, description=meaning, alias=alias)
    return Field(default, description=meaning, alias=alias)


@cache
def words_for_nothing(model: type[Section]) -> dict[str, tuple[str, ...]]:
    """Return, by key, the words that a section reads itself: where a key is left out, nothing is assumed in its place."""
    found = {}
    for name, field in model.model_fields.items():
        if not field.is_required() and (field.default in ("", None, ()) or field.default_factory in (dict, list)):
            may_be_missing = (_is_thing(field) and name not in model.always_there) or name in model.figures_of_things
            things = (NONE,) if may_be_missing or (field.alias or name) in model.none_means else ()
            found[field.alias or name] = things if _is_none_when_left_out(field) and name not in model.none_means else (*things, UNKNOWN)
    return found


def _is_none_when_left_out(field: FieldInfo) -> bool:
    return any(isinstance(part, type) and issubclass(part, Section) and part.silence_is_none for part in get_args(field.annotation))


def _is_thing(field: FieldInfo) -> bool:
    """Whether a field holds a thing, a list of things, a size or a text; of figures and choices, each type reads its own *none*."""
    parts = {field.annotation, *get_args(field.annotation)}
    sized = any(part is SizeText or SizeText in get_args(part) for part in parts)
    sections = any(isinstance(part, type) and issubclass(part, Section) for part in parts)
    text = any(
        isinstance(each, PlainValidator) and (each.func is _read_text or isinstance(each.func, WordReader)) for each in field.metadata
    )
    return sized or sections or text or field.default == () or field.default_factory in (dict, list)


def reads(
    unit: str, *, minimum: float | None = None, maximum: float | None = None, positive: bool = False
) -> Callable[[Any], Measured | None]:
    """Return what reads a figure in ``unit`` (a key of ``values.units.UNITS``) within the limits, with who states it."""

    def parse(text: str) -> Measured:
        return Measured(quantities.parse_quantity(text, unit, minimum=minimum, maximum=maximum, positive=positive), unit, text)

    return lambda value: read_figure(value, parse)


def figure_schema(example: str, words: str) -> WithJsonSchema:
    """Return the schema of a number with its unit, which holds a figure and a letter or sign."""
    forms = [{"type": "string", "pattern": FIGURE_AND_UNIT}, words_schema(UNKNOWN), FIGURES_BY_SOURCE]
    return WithJsonSchema({"anyOf": forms, "description": f"{words}, for example {example}", "examples": [example]})


Current = Annotated[Measured | None, PlainValidator(reads("a", positive=True)), figure_schema("48 A", "a current")]
FaultCurrent = Annotated[Measured | None, PlainValidator(reads("a", positive=True)), figure_schema("9.2 kA", "a current")]
KiloAmperes = Annotated[
    Measured | None, PlainValidator(reads("ka", positive=True)), figure_schema("10 kA", "an interrupting or withstand rating")
]
Voltage = Annotated[Measured | None, PlainValidator(reads("v", positive=True)), figure_schema("240 V", "a voltage")]
Length = Annotated[Measured | None, PlainValidator(reads("ft", minimum=0)), figure_schema("35 ft", "a length")]
SmallLength = Annotated[Measured | None, PlainValidator(reads("in", minimum=0)), figure_schema("1-1/4 in", "a length")]
Area = Annotated[Measured | None, PlainValidator(reads("ft2", positive=True)), figure_schema("1850 ft²", "an area")]
CrossSection = Annotated[Measured | None, PlainValidator(reads("in2", minimum=0)), figure_schema("1.2 in²", "a cross section")]
Volume = Annotated[Measured | None, PlainValidator(reads("in3", positive=True)), figure_schema("30.3 in³", "a volume")]
Temperature = Annotated[Measured | None, PlainValidator(reads("c", minimum=-70, maximum=150)), figure_schema("-23 °C", "a temperature")]
RecordLow = Annotated[
    Measured | None, PlainValidator(reads("c", minimum=-60, maximum=15)), figure_schema("-23 °C", "a record low temperature")
]


def _read_power(value: Any) -> Measured | None:
    """Read watts or volt-amperes: nameplates give either, and load calculations take watts as volt-amperes."""
    return read_figure(value, lambda text: Measured(quantities.parse_one_of(text, ("va", "w"), positive=True)[0], "va", text))


Power = Annotated[Measured | None, PlainValidator(_read_power), figure_schema("1500 W", "a power")]
TransformerRating = Annotated[Measured | None, PlainValidator(reads("kva", positive=True)), figure_schema("25 kVA", "an apparent power")]
Watts = Annotated[Measured | None, PlainValidator(reads("w", positive=True)), figure_schema("405 W", "a power")]
Energy = Annotated[Measured | None, PlainValidator(reads("kwh", positive=True)), figure_schema("12.4 kWh", "an energy")]
Percent = Annotated[Measured | None, PlainValidator(reads("percent", minimum=0)), figure_schema("2 %", "a percentage")]
Resistance = Annotated[Measured | None, PlainValidator(reads("ohm", minimum=0)), figure_schema("0.012 Ω", "a resistance")]
Torque = Annotated[Measured | None, PlainValidator(reads("lbf_in", positive=True)), figure_schema("45 lbf-in", "a torque")]
Seconds = Annotated[Measured | None, PlainValidator(reads("s", positive=True)), figure_schema("10 s", "a time")]
Weight = Annotated[Measured | None, PlainValidator(reads("lb", positive=True)), figure_schema("48 lb", "a weight")]
CurrentOrZero = Annotated[Measured | None, PlainValidator(reads("a", minimum=0)), figure_schema("0 A", "a current, which may be nothing")]
VoltageOrZero = Annotated[Measured | None, PlainValidator(reads("v", minimum=0)), figure_schema("0 V", "a voltage, which may be nothing")]
Frequency = Annotated[Measured | None, PlainValidator(reads("hz", positive=True)), figure_schema("61.2 Hz", "a frequency")]
Degrees = Annotated[Measured | None, PlainValidator(reads("deg", minimum=0, maximum=360)), figure_schema("18°", "an angle")]

Bends = Annotated[
    Measured | None, PlainValidator(reads("deg", minimum=0)), figure_schema("270°", "the sum of the bends between pull points")
]


def _counted(text: str) -> Measured:
    return Measured(0.0 if text.casefold() == NONE else float(quantities.parse_count(text)), "count", text)


def _factor(text: str) -> Measured:
    return Measured(quantities.parse_number(text, minimum=0), "factor", text)


def _coefficient(text: str) -> Measured:
    found = quantities.parse_temperature_coefficient(text)
    if found.number > 0:
        raise ValueError(f'"{text}": an open-circuit voltage falls as cells warm, so the coefficient is negative; write -{text}')
    return Measured(found.number, "percent_per_c" if found.unit == "percent_per_c" else "v_per_c", text)


Count = Annotated[
    Measured | None,
    PlainValidator(lambda value: read_figure(value, _counted)),
    WithJsonSchema({"anyOf": [*whole_number(), words_schema(NONE, UNKNOWN), NUMBERS_BY_SOURCE], "examples": ["8"]}),
]
Factor = Annotated[
    Measured | None,
    PlainValidator(lambda value: read_figure(value, _factor)),
    WithJsonSchema({"anyOf": [*plain_number(minimum=0), words_schema(UNKNOWN), NUMBERS_BY_SOURCE], "examples": ["0.95"]}),
]
Coefficient = Annotated[
    Measured | None,
    PlainValidator(lambda value: read_figure(value, _coefficient)),
    figure_schema("-0.27 %/°C", "a temperature coefficient of voltage"),
]


def _read_number(value: Any) -> float:
    return value if isinstance(value, float) else quantities.parse_number(text_of(value))


def _read_whole(value: Any) -> int:
    return value if isinstance(value, int) else quantities.parse_count(text_of(value))


Number = Annotated[float, PlainValidator(_read_number), WithJsonSchema({"anyOf": plain_number()})]
Whole = Annotated[int, PlainValidator(_read_whole), WithJsonSchema({"anyOf": whole_number()})]


def _read_yes_no(value: Any) -> bool | None:
    if isinstance(value, bool):
        return value
    text = text_of(value)
    return None if quantities.is_unknown(text) else quantities.parse_yes_no(text)


YesNo = Annotated[bool | None, PlainValidator(_read_yes_no), WithJsonSchema({"anyOf": [ANSWER, words_schema(UNKNOWN)]})]


def _read_there(value: Any) -> bool | None:
    return False if isinstance(value, str) and value.strip().casefold() == NONE else _read_yes_no(value)


# Whether a thing is there: of a switch, an electrode, sprinklers people write none where they mean no.
There = Annotated[bool | None, PlainValidator(_read_there), WithJsonSchema({"anyOf": [ANSWER, words_schema(NONE, UNKNOWN)]})]


def _read_date(value: Any) -> str:
    return quantities.parse_date(text_of(value)).isoformat()


Day = Annotated[str, PlainValidator(_read_date), WithJsonSchema({"type": "string", "pattern": r"^\s*[0-9]{4}\D[0-9]{2}\D[0-9]{2}\s*$"})]


@dataclass(frozen=True, slots=True)
class SizeText:
    """A conductor size and its spelling; ``size`` None where the writer says unknown."""

    size: ConductorSize | None
    spelled: str


def _read_size(value: Any) -> SizeText:
    if isinstance(value, SizeText):
        return value
    text = text_of(value)
    return SizeText(None if quantities.is_unknown(text) else quantities.parse_conductor_size(text), text)


def _sized(*examples: str) -> WithJsonSchema:
    return WithJsonSchema(
        {"anyOf": [{"type": ["string", "number"], "pattern": "[0-9]"}, words_schema(UNKNOWN)], "examples": list(examples)}
    )


Size = Annotated[SizeText, PlainValidator(_read_size), _sized("6 AWG", "1/0 AWG", "250 kcmil")]


def _read_trade_size(value: Any) -> str:
    return quantities.parse_trade_size(text_of(value))


TradeSize = Annotated[
    str,
    PlainValidator(_read_trade_size),
    WithJsonSchema({"type": ["string", "number"], "pattern": f"[{FIGURES}]", "examples": ["3/4 in", "1-1/4 in"]}),
]


def one_of(*choices: str, not_covered: Mapping[str, str] = MappingProxyType({})) -> PlainValidator:
    """Return a validator that accepts one of ``choices``, with the nearest named in the message.

    ``not_covered`` says of words that a person may expect here why they are refused, by each of the words.
    """

    def read(value: Any) -> str:
        text = text_of(value)
        if reason := next((reason for word, reason in not_covered.items() if word in text.casefold()), ""):
            raise ValueError(f'"{text}": {reason}')
        if text not in choices:
            raise ValueError(f'"{text}" is not one of: {", ".join(choices)}{did_you_mean(text, choices)}')
        return text

    return PlainValidator(read)


def choice_schema(*choices: str) -> WithJsonSchema:
    """Return the JSON Schema of a choice."""
    return WithJsonSchema({"enum": [*choices, *(int(choice) for choice in choices if choice.isdecimal())]})


def read_words(value: Any) -> tuple[str, ...]:
    """Read a list of words, or words with commas between them."""
    if isinstance(value, tuple):
        return value
    if isinstance(value, list):
        return tuple(text_of(item) for item in value)
    return tuple(part.strip() for part in text_of(value).split(",") if part.strip())


Words = Annotated[
    tuple[str, ...],
    PlainValidator(read_words),
    WithJsonSchema({"anyOf": [SCALAR, {"type": "array", "items": SCALAR}]}),
]


def _read_text(value: Any) -> str:
    return text_of(value)


Text = Annotated[str, PlainValidator(_read_text), WithJsonSchema(SCALAR)]


def _read_source(value: Any) -> str:
    return quantities.require_days(text_of(value))


# Who states something and when: a day in it is read by people who write days otherwise.
Source = Annotated[str, PlainValidator(_read_source), WithJsonSchema(SCALAR)]
