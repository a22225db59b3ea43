"""One line of the field checklist, and how expectations are said."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from permitgen.code.errors import TableNotInForceError
from permitgen.evaluation.field_verdict import InputLimit, PassRule
from permitgen.values.units import printed_unit
from permitgen.views.wording import number_text, value_text, with_unit

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.gates import SafetyTest
    from permitgen.values.value import Value
    from permitgen.views.checklist.blocks import Block
    from permitgen.views.checklist.proof import Proof

Needed = Literal["by", "instrument", "photo"]
Basis = Literal["NEC", "70E", "62446", "486", "INST", "CP"]

BASES: dict[str, str] = {
    "NEC": "the adopted edition of the code; enforceable",
    "70E": "electrical safety in the workplace; the employer's duty",
    "62446": "IEC commissioning tests of PV systems; voluntary here",
    "486": "the terminal standard's values, used only where no value is marked",
    "INST": "instructions that come with listed equipment",
    "CP": "common practice, no published source",
}


@dataclass(frozen=True, slots=True)
class FurtherInput:
    """A value that belongs to an entry beside its main one: a cell temperature, a marked torque."""

    name: str
    label: str
    unit: str = ""
    is_number: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class ChecklistLine:
    """One line. ``id`` is stable over edits: what is checked and the tags it is checked at, never a counter.

    ``expected`` is what should be found, ``limit`` what is accepted, ``why`` the reason, ``source`` its section or document.
    ``group`` joins the screws of one termination; ``path`` and ``permitted`` name the project-file key a ``match`` line compares,
    ``choices`` what else may be found there. ``safety`` names the test without which the house may not be left in service,
    ``proves`` the tags of a switch and of what it is tested to stop (empty: all that it stops); ``proof`` says how such a test is made
    so that it can fail. ``reasons`` say why the line stands where it stands.
    """

    id: str
    tag: str
    instruction: str
    rule: PassRule
    basis: Basis
    expected: str = ""
    limit: str = ""
    why: str = ""
    source: str = ""
    photo: bool = False
    group: str = ""
    group_title: str = ""
    place: str = ""
    path: str = ""
    permitted: str = ""
    choices: tuple[str, ...] = ()
    inputs: tuple[FurtherInput, ...] = ()
    is_private: bool = False
    safety: SafetyTest = ""
    proves: tuple[str, str] = ("", "")
    proof: Proof | None = None
    reasons: tuple[str, ...] = ()

    @property
    def unit(self) -> str:
        """The unit of the main value."""
        return self.rule.unit

    @property
    def is_shot(self) -> bool:
        """Whether the line asks for a photo and nothing else."""
        return self.id.startswith("photo:")

    @property
    def needs(self) -> tuple[Needed, ...]:
        """What belongs to an answer that passes: of a safety test who made it, of a reading of one the meter, of a photo the photo."""
        if self.is_shot:
            return ("photo",)
        if not self.safety:
            return ()
        return ("by",) if self.rule.kind == "done" else ("by", "instrument")


@dataclass(frozen=True, slots=True)
class ChecklistSection:
    """A stretch of the work: ``steps`` True numbers its lines, because their order matters.

    ``blocks`` are its lines as they are answered together, in the same order. ``needs_power`` True: it is begun only after every test
    that needs no power has passed.
    """

    id: str
    title: str
    intro: str
    lines: tuple[ChecklistLine, ...]
    steps: bool = False
    blocks: tuple[Block, ...] = ()
    needs_power: bool = False


DONE = PassRule(kind="done")
TEXT = PassRule(kind="text")
MATCH = PassRule(kind="match")


def done_line(id_: str, tag: str, instruction: str, basis: Basis, **more: object) -> ChecklistLine:
    """Return a line that is answered with yes or no."""
    return ChecklistLine(id=id_, tag=tag, instruction=instruction, rule=DONE, basis=basis, **more)  # type: ignore[arg-type]


def match_line(
    id_: str, tag: str, instruction: str, path: str, permitted: str, *, choices: tuple[str, ...] = (), **more: object
) -> ChecklistLine:
    """Return a line that compares what was built with what the permitted documents say at ``path``."""
    return ChecklistLine(
        id=id_,
        tag=tag,
        instruction=instruction,
        rule=MATCH,
        basis="INST",
        expected=permitted,
        path=path,
        permitted=permitted,
        choices=choices,
        **more,  # type: ignore[arg-type]
    )


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of a measurement as values, with the words that say them."""

    least: Value | None = None
    most: Value | None = None
    digits: int | None = field(default=None)

    @property
    def unit(self) -> str:
        """The printed unit."""
        bound = self.least or self.most
        return printed_unit(bound.unit) if bound is not None else ""

    @property
    def text(self) -> str:
        """The limits in words, for example ``114 V to 126 V`` or ``at most 30 V``."""
        if self.least is not None and self.most is not None:
            return f"{value_text(self.least, decimals=self.digits)} to {value_text(self.most, decimals=self.digits)}"
        if self.least is not None:
            return f"at least {value_text(self.least, decimals=self.digits)}"
        return f"at most {value_text(self.most, decimals=self.digits)}" if self.most is not None else ""


def number_line(
    id_: str,
    tag: str,
    instruction: str,
    limits: Limits,
    basis: Basis,
    *,
    before: tuple[tuple[FurtherInput, Limits], ...] = (),
    also: tuple[tuple[FurtherInput, Limits], ...] = (),
    **more: object,
) -> ChecklistLine:
    """Return a line whose number must lie within ``limits``, and with it each value of ``also`` within its own.

    ``before`` are values seen before the test: outside of their limits the test proves nothing, and is not done.
    """
    rule = PassRule(
        kind="number",
        unit=limits.unit,
        least=_number(limits.least),
        most=_number(limits.most),
        also=(
            *(_input_limit(value, own, is_condition=True) for value, own in before),
            *(_input_limit(value, own) for value, own in also),
        ),
    )
    inputs = tuple(value for value, _ in (*before, *also))
    return ChecklistLine(
        id=id_,
        tag=tag,
        instruction=instruction,
        rule=rule,
        basis=basis,
        limit=limits.text,
        inputs=inputs,
        **more,  # type: ignore[arg-type]
    )


def _input_limit(value: FurtherInput, own: Limits, *, is_condition: bool = False) -> InputLimit:
    least, most = _number(own.least), _number(own.most)
    return InputLimit(name=value.name, label=value.label, least=least, most=most, is_condition=is_condition, unit=value.unit)


def _number(value: Value | None) -> float | None:
    return value.number if value is not None else None


def record_line(id_: str, tag: str, instruction: str, unit: str, basis: Basis, **more: object) -> ChecklistLine:
    """Return a line whose number is kept without a limit; ``unit`` as printed."""
    return ChecklistLine(id=id_, tag=tag, instruction=instruction, rule=PassRule(kind="record", unit=unit), basis=basis, **more)  # type: ignore[arg-type]


def number_with_unit(number: float, unit: str) -> str:
    """Return a plain number with the printed form of a unit of ``values.units``."""
    return with_unit(number_text(number, unit), unit)


def practice(evaluation: Evaluation, provision: str) -> Provision:
    """Return a provision of practice or of the code as the edition in force has it."""
    return evaluation.given.code.provision(provision)


_LARGEST_CHOICE_A = 400


def rating_choices(evaluation: Evaluation) -> tuple[str, ...]:
    """Return the standard ratings of overcurrent devices as choices; none where the edition's list is not confirmed."""
    try:
        rows = evaluation.given.table("standard_overcurrent_ratings").rows_of("breakers and fuses")
    except TableNotInForceError:
        return ()
    return tuple(f"{row} A" for row in rows if float(row) <= _LARGEST_CHOICE_A)


def place_of(evaluation: Evaluation, tag: str) -> str:
    """Return where a piece of equipment stands, as the project says it."""
    item = evaluation.system.equipment.get(tag)
    return item.place.description if item is not None and item.place is not None else ""
