"""Verdicts, and the three-valued logic by which several become one.

A verdict is never bare: it carries the two numbers compared, or the fact that is missing, or the reason it does not apply.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum, IntEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.system import System
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value

# Comparisons at a limit use one relative tolerance, because 0.83 × 40 is 33.199999999999996 in floating point and a
# bare <= would decide the exact limit by accident.
TOLERANCE = 1e-9

UNREAD = "confirmed text of"


class Verdict(Enum):
    """How a requirement stands."""

    PASSES = "passes"
    VIOLATED = "violated"
    CAUTION = "caution"
    NOT_JUDGED = "not judged"
    DOES_NOT_APPLY = "does not apply"

    def __str__(self) -> str:
        return self.value


class RemedyKind(IntEnum):
    """What a change costs, the least intrusive first: another place, less of it, or something else."""

    MOVE = 0
    SMALLER = 1
    OTHER = 2


@dataclass(frozen=True, slots=True, eq=False)
class Remedy:
    """A change that might pass; the evaluation tries it before anyone is told of it.

    It changes what is planned (size, position, device, route, how many), never a fact: a distance, rating, listing, test, what exists.
    ``of`` names the one choice of which several remedies offer less and less, the most first: where one passes, those after it say nothing
    more. Empty where there is but one.
    """

    text: str
    change: Callable[[System], System]
    kind: RemedyKind = RemedyKind.OTHER
    of: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Judgement:
    """A verdict with what it rests on.

    ``computed relation limit`` is the comparison (``relation`` is ``≤``, ``≥`` or ``=``, as required). ``missing`` names facts,
    ``because`` a reason. ``method`` names one way of several; ``parts`` are the ways or parts this verdict was made from.
    ``combined`` says how: ``any`` of several ways, or ``all`` of several parts.
    ``section`` and ``provision`` are filled in from the rule where left empty. ``whatever`` names the unknown numbers that were tried
    over all they can be, and that do not change the verdict.
    """

    verdict: Verdict
    message: str
    computed: Value | None = None
    limit: Value | None = None
    relation: str = ""
    missing: tuple[str, ...] = ()
    because: str = ""
    method: str = ""
    provision: str = ""
    section: str = ""
    parts: tuple[Judgement, ...] = ()
    values: tuple[Value, ...] = ()
    places: tuple[ProjectLine, ...] = ()
    remedies: tuple[Remedy, ...] = field(default=())
    doubt: str = ""
    whatever: tuple[str, ...] = ()
    combined: str = ""

    @property
    def holds(self) -> bool:
        """Whether the requirement is met; a caution counts as met."""
        return self.verdict in (Verdict.PASSES, Verdict.CAUTION)

    def nested(self) -> Iterator[Judgement]:
        """Yield this judgement and every part of it, parts of parts too."""
        yield self
        for part in self.parts:
            yield from part.nested()

    def all_values(self) -> tuple[Value, ...]:
        """Return every value that this judgement and its parts, however deep, rest on, each once."""
        found: dict[int, Value] = {}
        for one in self.nested():
            for value in (one.computed, one.limit, *one.values):
                if value is not None:
                    found.setdefault(id(value), value)
        return tuple(found.values())

    @property
    def is_of_unread_text(self) -> bool:
        """Whether nothing was judged because the text of the edition was not read for this program."""
        return self.verdict is Verdict.NOT_JUDGED and any(name.startswith(UNREAD) for name in self.missing)

    def under(self, provision: object, *, doubt: str = "") -> Judgement:
        """Return the same judgement with the id and section of ``provision``, and with ``doubt`` where one is given.

        Every finding passes here, so the fields are copied one by one: ``replace`` takes several times as long.
        """
        id_, section = getattr(provision, "id", ""), getattr(provision, "section", "")
        if (self.provision, self.section) == (id_, section) and not doubt:
            return self
        changed = object.__new__(Judgement)
        for name in Judgement.__slots__:
            object.__setattr__(changed, name, getattr(self, name))
        object.__setattr__(changed, "provision", id_)
        object.__setattr__(changed, "section", section)
        if doubt:
            object.__setattr__(changed, "doubt", doubt)
        return changed


def at_most(computed: Value, limit: Value) -> bool:
    """Whether ``computed`` does not exceed ``limit``; equality passes."""
    return computed.number <= limit.number + TOLERANCE * max(abs(computed.number), abs(limit.number))


def at_least(computed: Value, limit: Value) -> bool:
    """Whether ``computed`` is not below ``limit``; equality passes."""
    return at_most(limit, computed)


def require_at_most(message: str, *, computed: Value, limit: Value, otherwise: Verdict = Verdict.VIOLATED, **more: object) -> Judgement:
    """Judge ``computed ≤ limit``; ``otherwise`` is the verdict when it is not (a caution where the code only advises)."""
    verdict = Verdict.PASSES if at_most(computed, limit) else otherwise
    return Judgement(verdict, message, computed=computed, limit=limit, relation="≤", **more)  # type: ignore[arg-type]


def require_at_least(message: str, *, computed: Value, limit: Value, otherwise: Verdict = Verdict.VIOLATED, **more: object) -> Judgement:
    """Judge ``computed ≥ limit``."""
    verdict = Verdict.PASSES if at_least(computed, limit) else otherwise
    return Judgement(verdict, message, computed=computed, limit=limit, relation="≥", **more)  # type: ignore[arg-type]


def require(fact: bool | None, message: str, *, missing: str = "", otherwise: Verdict = Verdict.VIOLATED, **more: object) -> Judgement:  # noqa: FBT001
    """Judge a yes/no fact that the message names; None means that the project does not say, and ``missing`` names it."""
    if fact is None:
        return not_judged(missing)
    return Judgement(Verdict.PASSES if fact else otherwise, message, **more)  # type: ignore[arg-type]


def not_judged(*missing: str) -> Judgement:
    """Return *not judged*, naming each fact that is missing."""
    return Judgement(Verdict.NOT_JUDGED, f"not checked: state {', '.join(missing)}", missing=tuple(missing))


def does_not_apply(because: str) -> Judgement:
    """Return *does not apply* with its reason."""
    return Judgement(Verdict.DOES_NOT_APPLY, because, because=because)


def any_of(message: str, methods: Sequence[Judgement]) -> Judgement:
    """Return the verdict on a requirement that one of several methods satisfies.

    Passes if one passes (saying which); else not judged if one is not judged; else violated, showing every method that applies,
    nearest first; does not apply if none applies.
    """
    applicable = [m for m in methods if m.verdict is not Verdict.DOES_NOT_APPLY]
    holding = [m for m in applicable if m.holds]
    if holding:
        best = next((m for m in holding if m.verdict is Verdict.PASSES), holding[0])
        return replace(best, message=_led_by(message, best.message), parts=tuple(methods), combined="any")
    if not applicable:
        return replace(does_not_apply(methods[0].because if methods else "no method applies"), parts=tuple(methods), combined="any")
    unknown = [m for m in applicable if m.verdict is Verdict.NOT_JUDGED]
    if unknown:
        missing = tuple(dict.fromkeys(name for m in unknown for name in m.missing))
        return replace(not_judged(*missing), parts=tuple(methods), combined="any")
    nearest = sorted(applicable, key=_excess)
    first = nearest[0]
    remedies = tuple(r for m in nearest for r in m.remedies)
    text = _led_by(message, first.message)
    return replace(first, verdict=Verdict.VIOLATED, message=text, parts=tuple(methods), combined="any", remedies=remedies)


def either_way(readings: Sequence[Judgement], *missing: str) -> Judgement:
    """Return the verdict that every reading of an unstated fact gives, by the reading nearest to its limit.

    *Not judged*, naming what is missing, where the readings differ.
    """
    if len({reading.verdict for reading in readings}) > 1:
        return replace(not_judged(*missing), parts=tuple(readings))
    return nearest_to_limit(readings)


def nearest_to_limit(judgements: Sequence[Judgement]) -> Judgement:
    """Return the judgement whose numbers lie nearest to their limit: of those that pass the tightest, of those violated the mildest."""
    return min(judgements, key=_tightness)


def farthest_from_limit(judgements: Sequence[Judgement]) -> Judgement:
    """Return the judgement whose numbers miss their limit by the most."""
    return min(judgements, key=lambda judgement: -_excess(judgement))


def _led_by(message: str, detail: str) -> str:
    """Return ``detail`` behind ``message``; a tag that both begin with is said once."""
    tag = message.replace(",", ":").split(":", 1)[0]
    return f"{message}: {detail.removeprefix(f'{tag}: ')}"


def all_of(message: str, parts: Sequence[Judgement]) -> Judgement:
    """Return the verdict on a requirement of several parts.

    Violated if one is violated, and says of each that is; else not judged if one is not judged; else passes if one passes; does not apply
    if none applies.
    """
    for verdict in (Verdict.VIOLATED, Verdict.NOT_JUDGED, Verdict.CAUTION, Verdict.PASSES):
        found = [part for part in parts if part.verdict is verdict]
        if found:
            worst = nearest_to_limit(found) if verdict is Verdict.PASSES else farthest_from_limit(found)
            text = worst.message if len(parts) == 1 or verdict is not Verdict.PASSES else message
            if verdict is Verdict.VIOLATED:
                text = _all_said(worst, found)
            missing = tuple(dict.fromkeys(name for p in found for name in p.missing))
            remedies = tuple(r for p in found for r in p.remedies)
            return replace(worst, message=text, parts=tuple(parts), combined="all", missing=missing, remedies=remedies)
    return replace(does_not_apply(parts[0].because if parts else "nothing to check"), parts=tuple(parts), combined="all")


def _all_said(worst: Judgement, violated: Sequence[Judgement]) -> str:
    """Return the sentences of all that is violated, the worst first: whoever mends one must know of the others.

    What another part says in the same words, of another operating mode, is said once.
    """
    tag, _, sentence = worst.message.partition(": ")
    said = [sentence or tag]
    for part in violated:
        text = part.message.removeprefix(f"{tag}: ")
        if not any(text.endswith(each) for each in said):
            said.append(text)
    return "; ".join((worst.message, *said[1:]))


def one_or_all_of(message: str, parts: Sequence[Judgement]) -> Judgement:
    """Return the one part there is as it stands, else what ``all_of`` returns."""
    return parts[0] if len(parts) == 1 else all_of(message, parts)


def _tightness(judgement: Judgement) -> tuple[bool, float]:
    """Order of parts that pass: those with numbers first, the one nearest to its limit before the others."""
    return (judgement.computed is None, _excess(judgement))


def _excess(judgement: Judgement) -> float:
    """How far a comparison misses its limit, as a share of the limit; for ordering only, and so without the noise of a sine."""
    computed, limit = judgement.computed, judgement.limit
    if computed is None or limit is None or limit.number == 0:
        return float("inf") if judgement.verdict is Verdict.VIOLATED else 0.0
    return round(abs(computed.number - limit.number) / abs(limit.number), 9)
