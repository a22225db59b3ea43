"""The inspection card: one page with the order of the inspection, what to see where, and boxes. What did not pass is the list of work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.field_verdict import FieldVerdict
from permitgen.views.approval import approved_text
from permitgen.views.checklist.blocks import check_of
from permitgen.views.checklist.line import ChecklistSection
from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.gates import gate_text
from permitgen.views.placard import placards_of
from permitgen.views.title import DocumentTitle, title_of
from permitgen.views.vocabulary import verdict_word
from permitgen.views.wording import plural

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.gates import Standing
    from permitgen.evaluation.inspections import WorkItem
    from permitgen.system.approval import Inspection
    from permitgen.views.field_checklist import ChecklistLine, FieldChecklist, LabelToPlace
    from permitgen.views.field_standing import LineState

Numbers = Mapping[tuple[str, str], tuple[int, ...]]
"""The numbers of the label schedule by id and tag of a label."""
PAPERS, PLACARD = "papers", "placard"
ANCHOR = "inspection"
# What is read on a nameplate, with the word for it.
_NAMEPLATE = {
    "busbar": "busbar",
    "contactor_rating": "contactor",
    "main": "main",
    "energy": "",
    "output": "output",
    "modules": "modules:",
    "current": "current",
    "bond": "neutral bond",
}
# What is read of a circuit at the enclosure where it ends, in the order in which it is said.
_CIRCUIT = {"conductor": "", "ground": "EGC ", "device": "on "}


@dataclass(frozen=True, slots=True)
class CardRow:
    """One row: ``id`` is what ``inspections:`` calls it, ``see`` what to see there, ``tags`` whose calculation it leads to.

    ``stands`` says how the field checklist stands there, ``is_open`` that something of it fails; ``found`` is what the inspector did
    not pass, in his words, which only private documents print.
    """

    id: str
    title: str
    place: str
    see: tuple[str, ...]
    tags: tuple[str, ...] = ()
    stands: str = field(default="", metadata=BESIDE)
    is_open: bool = field(default=False, metadata=BESIDE)
    found: tuple[str, ...] = field(default=(), metadata=BESIDE)


@dataclass(frozen=True, slots=True)
class Visit:
    """One inspection; ``by`` is a person, whom only private documents name."""

    date: str
    result: str
    by: str
    office: str

    @property
    def text(self) -> str:
        """The visit on one line."""
        return ", ".join(part for part in (f"{self.date} {self.result}", self.by, self.office) if part)


@dataclass(frozen=True, slots=True)
class InspectorCard:
    """The whole card. ``address`` is that of the record, where calculations are one tap away; empty where the record has none.

    ``visits`` are the inspections so far, ``accepted`` says that one passed and nothing stands against it.
    """

    title: DocumentTitle
    approved: str = field(metadata=BESIDE)
    conditions: tuple[str, ...]
    rows: tuple[CardRow, ...]
    address: str
    gates: tuple[str, ...] = field(metadata=BESIDE)
    visits: tuple[Visit, ...] = field(metadata=BESIDE)
    accepted: str = field(metadata=BESIDE)
    document_id: str = field(default="", metadata=BESIDE)

    def link(self, tag: str = "") -> str:
        """Return where the record has the calculations of a tag; without one, this card; empty where the record has no address."""
        return f"{self.address}#{f'check-{tag}' if tag else ANCHOR}" if self.address else ""


def card_items(checklist: FieldChecklist) -> tuple[str, ...]:
    """Return the names by which an inspection may speak of rows of the card."""
    enclosures = (section.id.removeprefix("at:") for section in checklist.sections if section.id.startswith("at:"))
    return (PAPERS, *enclosures, *dict.fromkeys(line.safety for line in checklist.lines if line.safety), PLACARD)


def inspector_card_of(
    evaluation: Evaluation, checklist: FieldChecklist, states: Sequence[LineState], standing: Standing, labels: Sequence[LabelToPlace] = ()
) -> InspectorCard:
    """Return the card of an installation as it stands; ``states`` are the lines of its checklist, ``labels`` those that it asks for."""
    system = evaluation.system
    revision = system.project.approved_revision
    by_id = {state.line.id: state for state in states}
    numbers = {(label.id, label.tag): label.numbers for label in labels}
    rows = [_papers(evaluation), *_enclosures(checklist, by_id, evaluation, numbers), *_tests(states), *_placard(evaluation)]
    found = _found(standing.work)
    card = InspectorCard(
        title=title_of(evaluation),
        approved=approved_text(system.project),
        conditions=revision.approved.conditions if revision is not None and revision.approved is not None else (),
        rows=tuple(_with_found(row, found.get(row.id, ())) for row in rows),
        address=system.record.address if system.record is not None else "",
        gates=tuple(gate_text(gate) for gate in standing.gates),
        visits=tuple(_visit(each) for each in system.inspections),
        accepted=f"Accepted {standing.accepted_on}" if standing.accepted_on else "",
    )
    return with_document_id("inspection card", card)


def _found(work: Iterable[WorkItem]) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for each in work:
        right = f"; put right {each.item.corrected_on}: {each.item.how or 'not said how'}" if each.is_corrected else ""
        found[each.item.item] = (*found.get(each.item.item, ()), f"{each.inspection.date}: {each.item.what}{right}")
    return found


def _with_found(row: CardRow, found: tuple[str, ...]) -> CardRow:
    return replace(row, found=found, is_open=row.is_open or bool(found))


def _visit(each: Inspection) -> Visit:
    return Visit(each.date, "passed" if each.passed else f"failed, {plural(len(each.failed), 'item')}", each.by, each.office)


def _papers(evaluation: Evaluation) -> CardRow:
    see = ("stamped set on site", "permit card posted", "instructions of the listed equipment at hand")
    # Whether it came back changes no word of what is to be seen.
    stands = "" if evaluation.system.project.is_approved else "no stamped set of this revision in the project"
    return CardRow(PAPERS, "Papers", "", see, stands=stands)


def _enclosures(checklist: FieldChecklist, states: Mapping[str, LineState], evaluation: Evaluation, numbers: Numbers) -> Iterator[CardRow]:
    """Yield a row for each enclosure at which there is something new to see, in the order of the checklist."""
    for section in checklist.sections:
        tag = section.id.removeprefix("at:")
        if not section.id.startswith("at:"):
            continue
        see = tuple(_seen(section, numbers))
        if see:
            stands, is_open = _stands([states[line.id] for line in section.lines if line.id in states])
            name = evaluation.system.equipment[tag].name or tag
            yield CardRow(tag, f"{name} ({tag})" if name != tag else tag, section.intro, see, _tags(section, tag), stands, is_open)


def _tags(section: ChecklistSection, tag: str) -> tuple[str, ...]:
    circuits = [line.tag for line in section.lines if check_of(line) in ("conductor", "device")]
    return tuple(dict.fromkeys((tag, *circuits)))


def _seen(section: ChecklistSection, numbers: Numbers) -> Iterator[str]:
    plate = [f"{_NAMEPLATE[check_of(line)]} {line.permitted}".strip() for line in section.lines if check_of(line) in _NAMEPLATE]
    if plate:
        yield ", ".join(plate)
    yield from (f"{circuit} {said}" for circuit, said in _circuits(section.lines))
    labels = [line for line in section.lines if check_of(line) == "label"]
    placed = sorted({number for line in labels for number in numbers.get((line.id.split(":")[1], line.tag), ())})
    if labels:
        yield f"labels {_ranges(placed)}" if placed else plural(len(labels), "label")
    removed = [line for line in section.lines if check_of(line) == "label-removed"]
    if removed:
        yield f"{plural(len(removed), 'old label')} gone"


def _ranges(numbers: Sequence[int]) -> str:
    """Return numbers in order with stretches drawn together: ``1 to 12, 15``."""
    stretches: list[list[int]] = []
    for number in numbers:
        if stretches and number == stretches[-1][-1] + 1:
            stretches[-1].append(number)
        else:
            stretches.append([number])
    return ", ".join(f"{each[0]} to {each[-1]}" if len(each) > 1 else f"{each[0]}" for each in stretches)


def _circuits(lines: Sequence[ChecklistLine]) -> Iterator[tuple[str, str]]:
    said: dict[str, dict[str, str]] = {}
    for line in lines:
        if check_of(line) in _CIRCUIT and line.permitted:
            said.setdefault(line.tag, {})[check_of(line)] = line.permitted
    for circuit, parts in said.items():
        words = [f"{word}{parts[check]}" for check, word in _CIRCUIT.items() if check in parts]
        yield circuit, ", ".join(words).replace(", on ", " on ")


def _tests(states: Sequence[LineState]) -> Iterator[CardRow]:
    """Yield a row for each kind of safety test, in the order in which the checklist comes to it."""
    kinds: dict[str, list[LineState]] = {}
    for state in states:
        if state.line.safety:
            kinds.setdefault(state.line.safety, []).append(state)
    for kind, of in kinds.items():
        stands, is_open = _stands(of)
        see = tuple(dict.fromkeys(_wanted(state) for state in of if _wanted(state)))
        source = next((state.line.source for state in of if state.line.source), "")
        shown = see if len(see) == 1 else ()
        tags = tuple(dict.fromkeys(state.line.tag for state in of if state.line.tag))
        yield CardRow(kind, f"Test: {kind}", "", (*shown, *([source] if source else [])), tags, stands, is_open)


def _wanted(state: LineState) -> str:
    """Return what is to be found, with the time that it may take."""
    return state.line.expected or state.line.limit


def _placard(evaluation: Evaluation) -> Iterator[CardRow]:
    places = tuple(dict.fromkeys(placard.place for placard in placards_of(evaluation) if placard.place))
    if places:
        yield CardRow(PLACARD, "Directory placard", "; ".join(places), ("steps, sources and map agree with what stands here",))


def _stands(states: Sequence[LineState]) -> tuple[str, bool]:
    """Return how many lines pass, fail, differ or are due, in words, and whether one fails."""
    counts = {verdict: sum(state.judged.verdict is verdict for state in states) for verdict in FieldVerdict}
    due = counts[FieldVerdict.NOT_DONE] + counts[FieldVerdict.COULD_NOT_TEST]
    fails, differs = counts[FieldVerdict.FAILS], counts[FieldVerdict.DIFFERS]
    done = len(states) - due
    parts = [f"{done} of {len(states)} done"]
    parts += [f"{fails} {verdict_word('violated')}"] if fails else []
    parts += [f"{differs} {verdict_word(str(FieldVerdict.DIFFERS))}"] if differs else []
    parts += [f"{due} due"] if due else []
    return ", ".join(parts), bool(fails)


def public_card(card: InspectorCard) -> InspectorCard:
    """Return the card without who came, and without what he wrote."""
    visits = tuple(replace(visit, by="") for visit in card.visits)
    return replace(card, rows=tuple(replace(row, found=()) for row in card.rows), visits=visits)
