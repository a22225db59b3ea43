"""How the record is kept: who keeps it, what was reported after the work was accepted, and the short forms for what comes next."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from permitgen.views.document_id import BESIDE
from permitgen.views.record_owner import YEAR, next_date

if TYPE_CHECKING:
    from permitgen.system.built_state import FieldResult
    from permitgen.system.system import System
    from permitgen.views.checklist.occasions import Occasion
    from permitgen.views.field_checklist import FieldChecklist

YEARLY = "yearly"
_OWN_WORDS = ("yes", "no", "could not test")


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """What was said at one line of a form: ``said`` is yes, no or could not test, else empty; ``words`` were typed and are private."""

    line: str
    what: str
    said: str
    words: str


@dataclass(frozen=True, slots=True)
class KeptOccasion:
    """One occasion that came back: its form, the day, who filled it in (private), and what was said. ``entries`` are the ids."""

    form: str
    date: str
    by: str
    answers: tuple[KeptAnswer, ...]
    entries: tuple[str, ...] = field(metadata=BESIDE)

    @property
    def open_points(self) -> tuple[str, ...]:
        """What was answered with no."""
        return tuple(answer.what for answer in self.answers if answer.said == "no")


@dataclass(frozen=True, slots=True)
class Keeping:
    """``custodian`` is who keeps the record (empty: nobody is named). ``kept`` is in order of time, ``next_yearly`` a day or empty.

    ``sent_as`` names the project in results of the public page, empty where no record id is stated; ``digest`` tells which forms were
    shown.
    """

    custodian: str
    sent_as: str
    forms: tuple[Occasion, ...]
    digest: str
    kept: tuple[KeptOccasion, ...]
    next_yearly: str

    def last(self, form: str) -> str:
        """Return the day on which a form came back last, empty where it never did."""
        return max((each.date for each in self.kept if each.form == form), default="")


def keeping_of(system: System, checklist: FieldChecklist, commissioned: str) -> Keeping:
    """Return how the record of a system is kept; ``commissioned`` is a day (year-month-day) or empty."""
    record = system.record
    kept = _kept(checklist, system.results)
    last = max((each.date for each in kept if each.form == YEARLY), default=commissioned)
    asked = [[each.line.id, each.line.instruction] for form in checklist.occasions for each in form.lines]
    return Keeping(
        custodian=record.custodian if record is not None else "",
        sent_as=record.record_id if record is not None else "",
        forms=checklist.occasions,
        digest=hashlib.sha256(json.dumps(asked, ensure_ascii=False).encode("utf-8")).hexdigest(),
        kept=kept,
        next_yearly=next_date(last, YEAR) if last else "",
    )


def _kept(checklist: FieldChecklist, results: Sequence[FieldResult]) -> tuple[KeptOccasion, ...]:
    """Return what came back, one for each form, day and person; lines that are asked no more stand among the other results."""
    asked = {each.line.id: (form.id, each.line) for form in checklist.occasions for each in form.lines}
    order = {line: number for number, line in enumerate(asked)}
    together: dict[tuple[str, str, str], list[FieldResult]] = {}
    for result in results:
        if result.value("line") in asked and (result.value("answer") != "note" or result.value("note")):
            key = (result.day, asked[result.value("line")][0], result.value("by"))
            together.setdefault(key, []).append(result)
    found = []
    for (day, form, by), given in sorted(together.items()):
        given.sort(key=lambda result: (order[result.value("line")], result.value("at"), result.value("entry")))
        answers = tuple(_answer(result, asked[result.value("line")][1].instruction) for result in given)
        found.append(KeptOccasion(form, day, by, answers, tuple(sorted(result.value("entry") for result in given))))
    return tuple(found)


def _answer(result: FieldResult, what: str) -> KeptAnswer:
    answer = result.value("answer")
    words = "; ".join(result.value(name) for name in ("value", "reason", "note") if result.value(name))
    return KeptAnswer(result.value("line"), what, answer if answer in _OWN_WORDS else "", words)


def public_keeping(keeping: Keeping) -> Keeping:
    """Return it without who and without what was typed."""
    return replace(keeping, kept=tuple(replace(each, by="", answers=_without_words(each)) for each in keeping.kept))


def _without_words(kept: KeptOccasion) -> tuple[KeptAnswer, ...]:
    return tuple(replace(answer, words="") for answer in kept.answers if answer.said)
