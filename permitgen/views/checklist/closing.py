"""Labels, photos, settings, and who answers for the work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.views.checklist.line import TEXT, ChecklistLine, ChecklistSection, done_line, match_line, place_of, practice

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation


@dataclass(frozen=True, slots=True)
class LabelToPlace:
    """A label as the checklist needs it: its id, what it is called, where it goes, the section that asks for it.

    ``numbers`` are those of the label schedule and the elevations. ``why_false`` is not empty for an old label that is to be taken off.
    """

    id: str
    name: str
    tag: str
    places: tuple[str, ...]
    section: str
    numbers: tuple[int, ...] = ()
    why_false: str = ""

    @property
    def is_practice(self) -> bool:
        """Whether no section asks for it: common practice is never marked as enforceable code."""
        return not self.section or "common practice" in self.section.lower()


def labels(evaluation: Evaluation, required: Sequence[LabelToPlace]) -> ChecklistSection:
    """Return one line a label to place or to take off, and two on what all of them need."""
    lines = [_taken_off(label) if label.why_false else _placed(evaluation, label) for label in required]
    lines.append(
        done_line(
            "labels:durable",
            "",
            "Labels are durable for their location, not handwritten, and cover no other marking",
            "NEC",
            source=practice(evaluation, "warning_label_quality").citation,
        )
    )
    lines.append(
        done_line(
            "labels:scale",
            "",
            "Check bar on the printed label sheet measured: its length is as marked",
            "CP",
            why="“fit to page” shrinks letters below their required height",
        )
    )
    return ChecklistSection("labels", "Labels", "", tuple(lines))


def _placed(evaluation: Evaluation, label: LabelToPlace) -> ChecklistLine:
    number = f"Label {', '.join(map(str, label.numbers))}," if label.numbers else "Label"
    where = place_of(evaluation, label.tag.partition(".")[0])
    elsewhere = [place for place in label.places if place != where]
    return done_line(
        f"label:{label.id}" + (f":{label.tag}" if label.tag else ""),
        label.tag,
        f"{number} “{label.name}”, placed" + (f": {', '.join(elsewhere)}" if elsewhere else ""),
        "CP" if label.is_practice else "NEC",
        source=label.section,
        place=where,
    )


def _taken_off(label: LabelToPlace) -> ChecklistLine:
    return done_line(
        f"label-removed:{label.id}:{label.tag}",
        label.tag,
        f"Old label “{label.name}” removed, or not there" + (f": {', '.join(label.places)}" if label.places else ""),
        "CP",
        why=label.why_false,
    )


def settings(evaluation: Evaluation) -> ChecklistSection:
    """Return the settings as found on the equipment, and firmware."""
    found = [
        match_line(f"setting:{name}", "", f"Setting “{name.replace('_', ' ')}”", f"settings.{name}", value)
        for name, value in evaluation.system.settings.items()
    ]
    firmware = [
        ChecklistLine(
            id=f"firmware:{item.tag}",
            tag=item.tag,
            instruction=f"{item.name}: firmware version",
            rule=TEXT,
            basis="INST",
            place=place_of(evaluation, item.tag),
        )
        for item in evaluation.system.equipment.values()
        if item.has_firmware
    ]
    return ChecklistSection("settings", "Settings and firmware", "No passwords and no network names here.", (*found, *firmware))


_VIEWS = (
    ("open", "open, with the wiring"),
    ("closed", "closed, dead front on, labels readable"),
)


def photos(evaluation: Evaluation) -> ChecklistSection:
    """Return the photos the next electrician will want. Position data is removed from each when it is taken in."""
    return ChecklistSection(
        "photos", "Photos", "No people, no keys, no codes in the picture. Photos stay in the private record.", tuple(_photos(evaluation))
    )


def _photos(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    for item in evaluation.system.equipment.values():
        where = place_of(evaluation, item.tag)
        if item.busbars() or item.kind == "dc_combiner":
            for key, words in _VIEWS:
                yield done_line(f"photo:{item.tag}:{key}", item.tag, f"{item.name}, {words}", "CP", photo=True, place=where)
        elif item.kind == "pv_array":
            yield done_line(
                f"photo:{item.tag}:attachment",
                item.tag,
                f"{item.name}: attachments and wiring under the modules",
                "CP",
                photo=True,
                place=where,
            )
            yield done_line(f"photo:{item.tag}:array", item.tag, f"{item.name}: the whole array", "CP", photo=True, place=where)
        elif item.kind == "energy_storage_system":
            yield done_line(
                f"photo:{item.tag}:spacing",
                item.tag,
                f"{item.name}: with its distances to other units, doors and windows",
                "CP",
                photo=True,
                place=where,
            )
        elif item.kind == "grounding_electrode_system":
            yield done_line(
                f"photo:{item.tag}:electrode", item.tag, f"{item.name}: connection at the electrode", "CP", photo=True, place=where
            )
        elif item.label_is_photographed:
            yield done_line(f"photo:{item.tag}", item.tag, f"{item.name} with its label", "CP", photo=True, place=where)


def sign_off() -> ChecklistSection:
    """Return the last lines: who answers for it, who was told."""
    lines = (
        ChecklistLine(
            id="signed:responsible",
            tag="",
            instruction="Person responsible for this work (name and license; private)",
            rule=TEXT,
            basis="CP",
            is_private=True,
        ),
        done_line(
            "handed:owner",
            "",
            "Owner shown: shutdown steps, what runs in an outage, whom to call; paper copy is in the panel door",
            "CP",
        ),
        done_line(
            "handed:differences",
            "",
            "Every “different from plans” reported to the owner and, where it needs approval, to the authority",
            "CP",
        ),
    )
    return ChecklistSection("hand-over", "Hand over", "", lines)
