"""What stands on every sheet of the plan set: title block, revisions, codes, status, cautions; and which sheets there can be."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen import __version__
from permitgen.views.cautions import ENERGIZED, SEVERAL_SWITCHES, has_several_switches
from permitgen.views.document_id import BESIDE
from permitgen.views.presence import has_rapid_shutdown
from permitgen.views.title import NOT_FOR_PERMIT, title_of
from permitgen.views.wording import plural

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.project_facts import Person

# Sheet identification by the US National CAD Standard, Uniform Drawing System: discipline, sheet type, sequence.
SHEETS: dict[str, str] = {
    "G-001": "Cover sheet",
    "G-002": "Symbols and abbreviations",
    "G-003": "Readings to confirm",
    "C-101": "Site plan",
    "A-101": "Roof plan and fire access",
    "A-201": "Equipment elevations",
    "A-401": "Energy storage siting",
    "S-501": "Attachment schedule",
    "E-501": "Grounding and bonding",
    "E-601": "One-line diagram",
    "E-602": "Three-line diagram",
    "E-603": "Conductor, raceway and overcurrent schedules",
    "E-604": "Equipment and panel schedules",
    "E-605": "Calculation summary",
    "E-606": "Load calculation",
    "E-607": "Label schedule",
    "E-608": "Directory placard",
    "Z-001": "Attachments",
}

DISCIPLINES: dict[str, str] = {
    "G": "General",
    "C": "Civil",
    "A": "Architectural",
    "S": "Structural",
    "E": "Electrical",
    "Z": "Attached documents",
}
"""Designators of the same standard; Z, which it leaves to others, for what is attached."""

_GROUNDING_WITH_SHUTDOWN = "Grounding, bonding and rapid shutdown"


def grounding_title(evaluation: Evaluation) -> str:
    """Return the title of the grounding sheet: it speaks of rapid shutdown where an array has or needs it."""
    return _GROUNDING_WITH_SHUTDOWN if has_rapid_shutdown(evaluation) else SHEETS["E-501"]


def sheet_title(evaluation: Evaluation, number: str) -> str:
    """Return the title of a sheet by its number, ``E-603-2`` by that of its first sheet; empty where there is none of that number."""
    first = number if number in SHEETS else number.rpartition("-")[0]
    return grounding_title(evaluation) if first == "E-501" else SHEETS.get(first, "")


@dataclass(frozen=True, slots=True)
class RevisionRow:
    """One line of the revision block."""

    mark: str
    date: str
    description: str
    by: str


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """The words of the title block. ``violation`` is the band of a shut gate; ``status`` says how the rules stand in any case."""

    project: str
    preparer: tuple[str, ...]
    site: tuple[str, ...]
    owner: str
    codes: tuple[str, ...]
    number: str
    permit_number: str
    revisions: tuple[RevisionRow, ...] = field(metadata=BESIDE)
    program: str = field(metadata=BESIDE)
    caution: str
    status: str
    violation: str

    @property
    def management(self) -> tuple[tuple[str, str], ...]:
        """Names and values of the management block; one without a value is left out, but for the line to sign on."""
        newest = self.revisions[-1] if self.revisions else RevisionRow("", "", "", "")
        pairs = (
            ("Project", self.number),
            ("Permit", self.permit_number),
            ("Issued", newest.date),
            ("Revision", newest.mark),
            ("Drawn", newest.by),
            ("Checked", ""),
            ("Program", self.program),
        )
        return tuple((name, value) for name, value in pairs if value or name == "Checked")


def continued(number: str, part: int) -> str:
    """Return the number of a further sheet of the same content: a user designation after the sheet sequence."""
    return number if part == 1 else f"{number}-{part}"


def title_block_of(evaluation: Evaluation) -> TitleBlock:
    """Return the title block of every sheet."""
    system = evaluation.system
    title = title_of(evaluation)
    project = system.project
    owner = next((p for p in project.people if "owner" in p.role), None)
    return TitleBlock(
        project=project.name,
        preparer=_preparer(project.people),
        site=tuple(line for line in (project.address, title.jurisdiction) if line),
        owner=owner.name if owner is not None else "",
        codes=_codes(evaluation),
        revisions=tuple(RevisionRow(str(r.number), r.date, r.reason, r.by) for r in sorted(project.revisions, key=lambda r: r.number)),
        number=project.number,
        permit_number=project.permit_number,
        program=__version__,
        caution=f"{ENERGIZED} {SEVERAL_SWITCHES}" if has_several_switches(system) else ENERGIZED,
        status=f"{title.status} See E-605.",
        violation=_band(evaluation, title.status),
    )


def _band(evaluation: Evaluation, status: str) -> str:
    """Return the band of a set that may not be handed in: its gate is shut, or a document of the package is missing; else nothing."""
    count = sum(finding.is_open for finding in evaluation.findings)
    if evaluation.may_be_permitted and not evaluation.not_made:
        return ""
    return f"NOT FOR PERMIT: {plural(count, 'violation')}, numbered in red. {status} See E-605." if count else f"{NOT_FOR_PERMIT} {status}"


def _preparer(people: tuple[Person, ...]) -> tuple[str, ...]:
    """Return who prepared the plans: a designer if one is named, else the contractor."""
    wanted = ("design", "prepare", "contractor")
    person = next((p for word in wanted for p in people if word in p.role), None)
    if person is None:
        return ("preparer not stated",)
    license_text = f"License {person.license}" if person.license else ""
    return tuple(line for line in (person.company, person.name, license_text, person.phone, person.email) if line)


def _codes(evaluation: Evaluation) -> tuple[str, ...]:
    jurisdiction = evaluation.system.jurisdiction
    lines = [evaluation.given.code.edition.book]
    if jurisdiction.fire_code:
        lines.append(jurisdiction.fire_code)
    if jurisdiction.amendments:
        lines.append(f"with amendments: {', '.join(jurisdiction.amendments)}")
    else:
        lines.append("no local amendments stated")
    return tuple(lines)
