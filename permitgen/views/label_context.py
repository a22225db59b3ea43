"""What the values of labels are taken from: one label on one object of an evaluation."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.views.wording import number_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.label_facts.subject import LabelSubject
    from permitgen.system.place import Place
    from permitgen.system.system import System
    from permitgen.values.value import Value
    from permitgen.views.emergency import Emergency
    from permitgen.views.placard import Placard

LabelValue = str | tuple[str, ...]
Values = Mapping[str, LabelValue]


@dataclass(frozen=True, slots=True)
class LabelContext:
    """What the values of labels are taken from; ``directory`` is the placard, None where no service location is known."""

    evaluation: Evaluation
    emergency: Emergency
    directory: Placard | None


@dataclass(frozen=True, slots=True)
class AboutLabel:
    """One label on one object: what a value is taken from."""

    context: LabelContext
    subject: LabelSubject

    @property
    def system(self) -> System:
        """The installation."""
        return self.context.evaluation.system


Provider = Callable[[AboutLabel], LabelValue]


def bare(value: Value) -> str:
    """Return the number alone: the wording of the label names the unit."""
    return number_text(value.number, value.unit)


_PREFIXED_UNIT = re.compile(r"(?<=\d )K(W|WH|VA|A|V)\b")


def capitals(text: str) -> str:
    """Return the text as labels print it: in capitals, but for the prefix of a unit (7.68 kW)."""
    return _PREFIXED_UNIT.sub(lambda unit: f"k{unit[1].replace('WH', 'Wh')}", text.upper())


def in_a_row(items: Iterable[str]) -> str:
    """Join names: with ``AND`` before the last, with semicolons where a name holds a comma."""
    names = list(items)
    if any("," in name for name in names):
        return "; ".join(names)
    return " AND ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def where(place: Place | None) -> str:
    """Return the description of a place in capitals, empty where it is not stated."""
    return capitals(place.description) if place is not None else ""
