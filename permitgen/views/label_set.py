"""Which labels this house needs under this edition, what each says, how many, and where; and which old ones must go."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.asked import labels_asked_for
from permitgen.evaluation.label_facts.existing import BEFORE
from permitgen.evaluation.label_facts.facts import ON_REQUEST, where_it_holds
from permitgen.evaluation.label_facts.subject import Found, LabelSubject, is_same_location, on_equipment
from permitgen.views.document_id import with_document_id
from permitgen.views.emergency import emergency_of
from permitgen.views.label import LabelUse, LabelValueError, LabelView, label_view, wording_for
from permitgen.views.label_context import LabelContext
from permitgen.views.label_diagram import roof_diagram_of
from permitgen.views.label_profiles import marked_as_asked
from permitgen.views.label_spec import NOT, LabelSpec
from permitgen.views.label_specs import load_label_specs
from permitgen.views.label_values import values_for
from permitgen.views.placard import placards_of
from permitgen.views.title import title_of

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.equipment.equipment import Equipment

PRINT, LEAVE_OUT = "print", "leave out"
# Of existing equipment only labels that the code asked for are taken to hang there; others where the project says so.
ASKED_BY_CODE = ("mandated", "or_equivalent", "content")
# The placard is drawn as the directory placard, true to size; it carries what these two ask for.
ON_THE_PLACARD = ("power-source-directory", "as-built-qr")


@dataclass(frozen=True, slots=True)
class LabelNote:
    """A label that is not printed: its id, name, section, where it would go, why, and the tag of the object."""

    id: str
    name: str
    section: str
    place: str
    why: str
    tag: str = ""


@dataclass(frozen=True, slots=True)
class LabelSet:
    """All labels of the house. ``exempt`` are printed on request only; ``remove`` are old labels that have become false."""

    labels: tuple[LabelView, ...]
    on_placard: tuple[LabelNote, ...]
    exempt: tuple[LabelNote, ...]
    remove: tuple[LabelNote, ...]
    not_judged: tuple[LabelNote, ...]
    left_out: tuple[LabelNote, ...]

    @property
    def count(self) -> int:
        """How many pieces are printed in all."""
        return sum(label.quantity for label in self.labels)


class _Builder:
    """Collects the outcome for each specification."""

    def __init__(self, evaluation: Evaluation, folders: Iterable[Path], requested: Iterable[str] = ()) -> None:
        self.requested = frozenset(requested)
        self.evaluation = evaluation
        self.edition = evaluation.given.code.edition.value
        amendments = evaluation.given.code.amendments
        self.specs = marked_as_asked(load_label_specs(folders), amendments)
        self.asked_for = labels_asked_for(evaluation)
        self.struck_by = {name: each.ordinance for each in amendments for name in each.additions.labels.struck}
        emergency = emergency_of(evaluation)
        placards = placards_of(evaluation)
        self.context = LabelContext(evaluation, emergency, placards[0] if placards else None)
        self.diagram = roof_diagram_of(evaluation.system)
        self.title = title_of(evaluation)
        self.known: dict[str, Found] = {}
        self.labels: list[LabelView] = []
        self.notes: dict[str, list[LabelNote]] = {name: [] for name in ("on_placard", "exempt", "remove", "not_judged", "left_out")}

    def holds_on(self, name: str) -> Found:
        """Return where a fact holds, judged once."""
        if name not in self.known:
            self.known[name] = where_it_holds(self.evaluation, name)
        return self.known[name]

    def note(self, kind: str, spec: LabelSpec, subject: LabelSubject | None, why: str) -> None:
        """Remember a label that is not printed."""
        place = subject.place.description if subject is not None and subject.place is not None else ""
        tag = subject.tag if subject is not None else ""
        self.notes[kind].append(LabelNote(spec.id, spec.name, spec.printed_section(self.edition), place, why, tag))

    def add(self, spec: LabelSpec) -> None:
        """Decide on one specification."""
        asked = PRINT if spec.id in self.requested else self.evaluation.system.label_overrides.get(spec.id, "")
        self._removal(spec)
        found = self.holds_on(spec.trigger.removeprefix(NOT))
        if asked == LEAVE_OUT:
            self.note("left_out", spec, None, "left out by the project file")
            return
        if spec.id in self.struck_by and asked != PRINT:
            self.note("left_out", spec, None, f"struck by {self.struck_by[spec.id]}")
            return
        if found is None:
            self.note("not_judged", spec, None, "the project file does not say whether it is required")
            return
        if not self._is_due(spec, asked):
            if found and spec.basis == "exempt":
                self.note("exempt", spec, found[0], "dwellings are exempt")
            return
        if asked == PRINT and not found:
            found = self.holds_on("is_service_disconnect") or ()
        for subject in found:
            self._print(spec, subject)

    def _is_due(self, spec: LabelSpec, asked: str) -> bool:
        if asked == PRINT or spec.id in self.asked_for:
            return True
        if spec.basis == "exempt":
            return False
        editions = {self.edition, self.evaluation.given.code.fire_code.value.replace(" ", "-", 1)}
        has_section = any(spec.section(edition) is not None for edition in editions)
        has_words = any(set(wording.editions) & editions for wording in spec.wordings)
        return has_words and (has_section or spec.basis == "practice")

    def _removal(self, spec: LabelSpec) -> None:
        """Remove rows: labels that the project says hang there, and those that the code asked for there before, false by now."""
        stated = [item for item in self.evaluation.system.equipment.values() if spec.id in item.existing_labels]
        for item in stated:
            is_false = self._is_false_at(spec, item)
            if is_false is None:
                self.note("not_judged", spec, on_equipment(item), "whether the existing label is still correct; read it and compare")
            elif is_false:
                self.note("remove", spec, on_equipment(item), spec.remove_because or "no longer required there")
        for subject in self._hung_before(spec):
            if all(subject.equipment != item.tag for item in stated):
                self.note("remove", spec, subject, spec.remove_because)

    def _hung_before(self, spec: LabelSpec) -> Iterable[LabelSubject]:
        """Existing equipment on which the code asked for the label before, and on which it is false now."""
        if not spec.remove_when or spec.basis not in ASKED_BY_CODE:
            return ()
        name = spec.remove_when.removeprefix(NOT)
        if name != spec.remove_when:
            return BEFORE[name](self.evaluation) if name in BEFORE else ()
        false_now = {subject.tag for subject in self.holds_on(name) or ()}
        equipment = self.evaluation.system.equipment
        due = self.holds_on(spec.trigger.removeprefix(NOT)) or ()
        found = (subject for subject in due if subject.tag in false_now and subject.equipment in equipment)
        return tuple(subject for subject in found if equipment[subject.equipment].status == "existing")

    def _is_false_at(self, spec: LabelSpec, item: Equipment) -> bool | None:
        """Whether a label that hangs on an object is false: its condition to be removed holds, or nothing asks for it there."""
        if spec.remove_when and not spec.remove_when.startswith(NOT):
            changed = self._holds_at(spec.remove_when, spec, item)
            if changed is not False:
                return changed
        due = self._holds_at(spec.trigger.removeprefix(NOT), spec, item)
        return None if due is None else not due

    def _holds_at(self, name: str, spec: LabelSpec, item: Equipment) -> bool | None:
        """Whether a fact holds on an enclosure, or where the label is one a location, on any at that location; None where not known."""
        found = self.holds_on(name) if name not in ON_REQUEST else None
        if found is None:
            return None
        here = on_equipment(item)
        by_location = "location" in spec.object_kind(self.edition)
        return any(other.equipment == item.tag or (by_location and is_same_location(other, here)) for other in found)

    def _print(self, spec: LabelSpec, subject: LabelSubject) -> None:
        if spec.id in ON_THE_PLACARD:
            self.note("on_placard", spec, subject, "printed as the directory placard")
            return
        edition = self.edition if any(self.edition in w.editions for w in spec.wordings) else self._fire_edition(spec)
        if not edition and spec.id in self.asked_for:
            # Who asks for a mark beyond the code in force means the last words that any edition gave it.
            edition = spec.wordings[-1].editions[0]
        wording = wording_for(spec, edition, lambda name: self._holds_for(name, subject)) if edition else None
        if wording is None:
            self.note("not_judged", spec, subject, "the project file does not say which wording applies")
            return
        for values in self._value_sets(spec, subject):
            use = LabelUse(
                edition=edition,
                values=values,
                tag=subject.tag,
                quantity=subject.quantity,
                places=(subject.place.description,) if subject.place is not None else (subject.name,),
                diagram=self.diagram,
                qr_address=self.context.emergency.address if "address" in spec.variables else "",
                project=self.title.number,
                revision=self.title.revision,
            )
            try:
                self.labels.append(with_document_id("label", label_view(spec, wording, use)))
            except LabelValueError as missing:
                self.note("not_judged", spec, subject, str(missing))

    def _fire_edition(self, spec: LabelSpec) -> str:
        book = self.evaluation.given.code.fire_code.value.replace(" ", "-", 1)
        return book if any(book in wording.editions for wording in spec.wordings) else ""

    def _value_sets(self, spec: LabelSpec, subject: LabelSubject) -> list[dict[str, str | tuple[str, ...]]]:
        values = values_for(spec.variables, self.context, subject, spec.id)
        if "polarity" in spec.variables:
            return [{**values, "polarity": polarity} for polarity in ("POSITIVE +", "NEGATIVE -")]
        return [values]

    def _holds_for(self, name: str, subject: LabelSubject) -> bool | None:
        found = self.holds_on(name)
        if found is None:
            return None
        return any(other.tag == subject.tag for other in found)


def _in_order_of_work(labels: Iterable[LabelView], evaluation: Evaluation) -> tuple[LabelView, ...]:
    """Return the labels of one wall together and on it those of one enclosure, as the project file lists them; then those of wiring."""
    equipment = evaluation.system.equipment
    walls = list(dict.fromkeys(wall_of(item) for item in equipment.values()))
    tags = {tag: (walls.index(wall_of(item)), number) for number, (tag, item) in enumerate(equipment.items())}
    return tuple(sorted(labels, key=lambda label: tags.get(label.tag.partition(".")[0], (len(walls), 0))))


def wall_of(item: Equipment) -> tuple[str, ...]:
    """Return the wall of a room or of the outside on which equipment stands: building, space, direction; its own tag where not stated."""
    place = item.place
    if place is None or (not place.space and place.faces is None):
        return (item.tag,)
    return (place.building, place.space, "outdoors" if place.outdoors else "indoors", place.faces.words if place.faces is not None else "")


def label_set_of(evaluation: Evaluation, folders: Iterable[Path] = (), requested: Iterable[str] = ()) -> LabelSet:
    """Return the labels of the house; ``folders`` hold specifications that stand over the shipped ones.

    ``requested`` are ids of labels that somebody asks for beside those that the code does.

    Raises:
        ProblemsError: a specification file is malformed; one message a mistake.
    """
    builder = _Builder(evaluation, folders, requested)
    for spec in builder.specs.values():
        builder.add(spec)
    return LabelSet(
        labels=_in_order_of_work(builder.labels, evaluation),
        on_placard=tuple(builder.notes["on_placard"]),
        exempt=tuple(builder.notes["exempt"]),
        remove=tuple(builder.notes["remove"]),
        not_judged=tuple(builder.notes["not_judged"]),
        left_out=tuple(builder.notes["left_out"]),
    )
