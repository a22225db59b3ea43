"""What else passes at each circuit without asking the office, and what forbids the next: for the phone, on paper, on a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.comparison import DifferenceClass, class_in
from permitgen.evaluation.limit_search import Aspect, Choice, Passing
from permitgen.evaluation.limits import LONGEST_FT, SHORTEST_FT
from permitgen.rules.judgement import Verdict
from permitgen.values.value import Value
from permitgen.views.document_id import BESIDE
from permitgen.views.vocabulary import verdict_word
from permitgen.views.wording import number_text, value_text, with_unit

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.evaluation.limits import CircuitLimits, Limit
    from permitgen.system.system import System

TITLE = "What else passes without asking the office"
CAUTIONS = (
    "Each choice was tried alone, with everything else as drawn. Two changes together were not tried.",
    "Everything that does not stand here needs the office, and so does a circuit of which anything was built in another way.",
    "Enter what was built. A changed rating may need other labels.",
    "That the equipment takes it, by its instructions and its marking, is to be seen at the equipment.",
)
_EXISTING = "Exists: nothing is chosen here."
_NOTHING_TO_CHOOSE = "Nothing here could be tried."
# From so many on, choices in order are named by the first and the last of them; all between were tried.
_MANY = 4
_WHAT = {
    Aspect.RATING: "{tag} breaker or fuse",
    Aspect.CONDUCTOR: "Conductors",
    Aspect.TRADE_SIZE: "{tag} trade size",
    Aspect.KIND: "{tag} kind of raceway",
    Aspect.LENGTH: "{tag} length",
}
# The last step of each key of the project file says what a difference there asks for.
_PATHS = {
    Aspect.RATING: "circuits.{tag}.overcurrent.rating",
    Aspect.CONDUCTOR: "circuits.{tag}.conductors.size",
    Aspect.TRADE_SIZE: "raceways.{tag}.trade_size",
    Aspect.KIND: "raceways.{tag}.kind",
    Aspect.LENGTH: "raceways.{tag}.length",
}


@dataclass(frozen=True, slots=True)
class FoundLimits:
    """A state that was evaluated, and the limits found in it."""

    evaluation: Evaluation
    circuits: tuple[CircuitLimits, ...]


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One aspect. ``passes`` is only to be entered; ``with_approval`` passes too, but changes what was approved; ``refused`` say why.

    ``said_at`` is the tag of a card before that says the same of a device or a run that both circuits have; paper says it once.
    """

    what: str
    now: str
    passes: str
    with_approval: str
    refused: tuple[str, ...]
    said_at: str = ""


@dataclass(frozen=True, slots=True)
class LimitCard:
    """A circuit; ``state`` is empty where its limits are the same as permitted and as built.

    ``violated`` are sentences that stand before everything else.
    """

    tag: str
    name: str
    state: str
    violated: tuple[str, ...]
    note: str
    lines: tuple[LimitLine, ...]


@dataclass(frozen=True, slots=True)
class LimitsPage:
    """The limits of all circuits in the order of the file. ``revision`` is that of the plans on which all of it rests."""

    title: str
    revision: str = field(metadata=BESIDE)
    cautions: tuple[str, ...]
    cards: tuple[LimitCard, ...]


def limits_page(permitted: FoundLimits, built: FoundLimits | None = None) -> LimitsPage:
    """Return the page; a circuit whose limits differ between the states has a card for each of them."""
    newest = permitted.evaluation.system.project.revision
    revision = f"Revision {newest.number} of {newest.date}" if newest is not None else "No revision"
    states = (permitted,) if built is None else (permitted, built)
    tags = dict.fromkeys(limits.tag for state in states for limits in state.circuits)
    cards = tuple(card for tag in tags for card in _cards(tag, states))
    return LimitsPage(TITLE, revision, CAUTIONS, tuple(_said_once(cards)))


def _cards(tag: str, states: Sequence[FoundLimits]) -> Iterable[LimitCard]:
    """Yield one card where all states say the same of a circuit, else the card of each state in which it is."""
    cards = [(state, _card(state.evaluation.system, each)) for state in states for each in state.circuits if each.tag == tag]
    if len(cards) == len(states) and all(card == cards[0][1] for _, card in cards):
        yield cards[0][1]
    else:
        yield from (replace(card, state=f"as {state.evaluation.state}") for state, card in cards)


def _said_once(cards: Iterable[LimitCard]) -> Iterable[LimitCard]:
    first: dict[LimitLine, str] = {}
    for card in cards:
        lines = [replace(line, said_at=first[line]) if line in first and _is_shared(line) else line for line in card.lines]
        for line in card.lines:
            first.setdefault(line, card.tag)
        yield replace(card, lines=tuple(lines))


def _is_shared(line: LimitLine) -> bool:
    """Whether a line names the thing it is about, so that the same line elsewhere is about the same thing."""
    return line.what != _WHAT[Aspect.CONDUCTOR]


def _card(system: System, limits: CircuitLimits) -> LimitCard:
    lines = tuple(_line(system, limit) for limit in limits.limits)
    note = _EXISTING if limits.existing else "" if lines else _NOTHING_TO_CHOOSE
    violated = tuple(
        f"{verdict_word(str(finding.verdict))}: {finding.judgement.message} ({finding.section or finding.citation})"
        for finding in limits.violated
    )
    return LimitCard(limits.tag, system.circuits[limits.tag].name, "", violated, note, lines)


def _line(system: System, limit: Limit) -> LimitLine:
    now = choice_text(limit.aspect, limit.now)
    needs = [_needs_approval(system, limit, passing.choice) for passing in limit.passes]
    free = [passing for passing, approval in zip(limit.passes, needs, strict=True) if not approval]
    approved = [passing for passing, approval in zip(limit.passes, needs, strict=True) if approval]
    passes = _length_text(limit) if limit.aspect is Aspect.LENGTH else _list_text(limit, free)
    with_approval = "" if limit.aspect is Aspect.LENGTH else _list_text(limit, approved)
    if limit.aspect is Aspect.LENGTH and approved and limit.passes:
        passes, with_approval = f"{now} only", passes
    return LimitLine(_WHAT[limit.aspect].format(tag=limit.tag), now, passes, with_approval, tuple(_refused_texts(limit)))


def _needs_approval(system: System, limit: Limit, choice: Choice) -> bool:
    now, other = choice_text(limit.aspect, limit.now), choice_text(limit.aspect, choice)
    path = _PATHS[limit.aspect].format(tag=limit.tag)
    return now != other and class_in(system, path, now, other) is DifferenceClass.NEEDS_APPROVAL


def choice_text(aspect: Aspect, choice: Choice) -> str:
    """Return a choice as the project file and the documents write it: ``45 A``, ``8 AWG``, ``1-1/4 in``, ``EMT``, ``61 ft``."""
    if isinstance(choice, Value):
        return value_text(choice)
    return f"{choice} in" if aspect is Aspect.TRADE_SIZE else str(choice)


def _list_text(limit: Limit, passing: Sequence[Passing]) -> str:
    texts = [_passing_text(limit, each) for each in passing]
    if limit.aspect is Aspect.TRADE_SIZE and len(texts) >= _MANY:
        return f"{texts[0]} to {texts[-1]}"
    only = " only" if len(limit.passes) == 1 and texts and limit.refused_now is None else ""
    return f"{', '.join(texts)}{only}"


def _passing_text(limit: Limit, passing: Passing) -> str:
    ground = f" with EGC {passing.ground}" if passing.ground is not None else ""
    return f"{choice_text(limit.aspect, passing.choice)}{ground}"


def _length_text(limit: Limit) -> str:
    if not limit.passes:
        return ""
    shortest, longest = (passing.choice for passing in (limit.passes[0], limit.passes[-1]))
    most = choice_text(limit.aspect, longest)
    tried = "" if limit.above is not None else f", no longer one than {with_unit(number_text(LONGEST_FT, 'ft'), 'ft')} was tried"
    least = "up to" if isinstance(shortest, Value) and shortest.number <= SHORTEST_FT else f"{choice_text(limit.aspect, shortest)} to"
    return f"{least} {most}{tried}"


def _refused_texts(limit: Limit) -> Iterable[str]:
    """Yield what is refused with why, choices that the same sentence refuses together."""
    if limit.not_judged is not None:
        yield _why(limit, limit.not_judged)
    if limit.refused_now is not None:
        yield f"{verdict_word(str(limit.refused_now.by.verdict))} as drawn: {_why(limit, limit.refused_now.by)}"
    together: dict[str, list[str]] = {}
    for refused in (limit.below, limit.above, *limit.others):
        if refused is not None and refused != limit.refused_now:
            together.setdefault(_why(limit, refused.by), []).append(choice_text(limit.aspect, refused.choice))
    yield from (f"not {', '.join(choices)}: {why}" for why, choices in together.items())


def _why(limit: Limit, finding: Finding) -> str:
    """Return what speaks against a choice in short, with its section; it begins with its tag where that is another than the limit's."""
    message = finding.judgement.message
    if finding.judgement.is_of_unread_text:
        return message.partition(";")[0]
    if finding.subject.partition("@")[0] == limit.tag:
        message = message.removeprefix(f"{finding.subject}: ").removeprefix(f"{limit.tag}: ")
    word = "caution, " if finding.verdict is Verdict.CAUTION else ""
    return f"{word}{message} ({finding.section or finding.citation})"
