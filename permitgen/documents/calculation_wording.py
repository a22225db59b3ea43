"""Small wordings that the calculation sheet shares between its formats: verdicts with their marks, sections, messages."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from permitgen.views.findings import NOT_MET
from permitgen.views.vocabulary import state_word
from permitgen.views.wording import with_numbers_held, without_book

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.views.calculation_sheet import CalculationSheet
    from permitgen.views.findings import FindingText, MethodLine
    from permitgen.views.title import DocumentTitle

MARKS = {"passes": "✓", "violated": "✗", "caution": "⚠", "not judged": "○", "does not apply": "–", NOT_MET: "✗"}
"""A mark for each verdict, so that none depends on color alone."""

VERDICT_HEADINGS = (("violated", "Fails"), ("not judged", "Not checked (information missing)"), ("caution", "Cautions"))
"""Order and headings of the open findings."""

NOTHING_OPEN = "Every check was made; none fails and none calls for care."
NOTHING_CHOSEN = "Every size is stated in the project file."
NOTHING_ASSUMED = "No value was assumed."
CHOICES_NOTE = (
    "Sizes left blank in the project file. Each is the smallest standard size that passes; "
    "the rule that the next size down fails is listed."
)
ASSUMPTIONS_NOTE = "Not stated in the project file and therefore assumed. State them there to replace them."
READINGS_NOTE = (
    "Where the code can be read in more than one way, or a section number is to be confirmed. "
    "Settle these with the authority having jurisdiction. An asterisk marks a row on which a result of this project rests."
)
STEPS_NOTE = (
    "Steps are numbered through the document. A step that several subjects share is printed in full under the first of them; "
    "afterwards its number leads back to it."
)


def readings_note(sheet: CalculationSheet) -> str:
    """Return how the readings are to be taken, and of how many results the text of the code was read."""
    grades = ", ".join(f"{grade} {count}" for grade, count in sheet.grades)
    return f"{READINGS_NOTE} Text of the code behind the results: {grades}."


def short_section(section: str, sheet: CalculationSheet) -> str:
    """Return a section without the name of the edition, which the column names."""
    return with_numbers_held(without_book(section, sheet.title.edition))


def without_tag(message: str, tag: str) -> str:
    """Return a message without the subject in front (``C7: …``, ``C7@MSP.2: …``), for a place that names it already."""
    head, colon, rest = message.partition(": ")
    return rest if colon and head.partition("@")[0] == tag else message


def part_text(part: MethodLine) -> tuple[str, str]:
    """Return the name of a part and what is said about it; the name is empty where it has none."""
    said = part.message or ("" if part.computed else part.comparison)
    return part.name, said


def shown_parts(message: str, parts: tuple[MethodLine, ...]) -> tuple[MethodLine, ...]:
    """Return the parts worth a line: a single one that says what the message says is none."""
    return () if len(parts) == 1 and parts[0].message == message else parts


def finding_message(finding: FindingText) -> str:
    """Return what a finding says beyond its title, its tag and the facts it misses."""
    message = without_tag(finding.message, finding.subject.split("@")[0])
    is_said = bool(finding.missing) and all(name in message for name in finding.missing)
    return "" if is_said or message == finding.title else message


def open_findings_by_verdict(sheet: CalculationSheet) -> tuple[tuple[str, str, tuple[FindingText, ...]], ...]:
    """Return verdict, heading and findings of each kind that is open."""
    found = ((verdict, heading, tuple(f for f in sheet.open_findings if f.verdict == verdict)) for verdict, heading in VERDICT_HEADINGS)
    return tuple(kind for kind in found if kind[2])


def finding_places(finding: FindingText) -> tuple[str, ...]:
    """Return the places of a finding in the project by their keys, each once: ``equipment.MSP.busbar: 225 A``."""
    places = tuple(dict.fromkeys(place.words for place in finding.places))
    source = finding.source.words if finding.source is not None else ""
    # The source repeats a place with less said about it.
    return places if not source or any(place.startswith(source) for place in places) else (source, *places)


def standing_mark(title: DocumentTitle, counts: Iterable[tuple[str, int]]) -> tuple[Literal["violation", "caution", "passes"], str]:
    """Return the kind of note in which the standing of a calculation is told, and its mark."""
    found = dict(counts)
    if title.has_violations:
        return "violation", MARKS["violated"]
    if found.get("not judged", 0) or found.get("caution", 0):
        return "caution", MARKS["caution"]
    return "passes", MARKS["passes"]


def footer_text(title: DocumentTitle, document_id: str) -> str:
    """Return project number, revision and Document ID, as every page carries them."""
    number = f"Project {title.number}" if title.number else title.project
    return f"{number} · revision {title.revision} · Document ID {document_id}"


def title_facts(title: DocumentTitle, document_id: str) -> tuple[tuple[str, str], ...]:
    """Return the facts of the title block; a fact the project does not state says so."""
    revision = f"{title.revision}, {title.revision_date}" if title.revision_date else title.revision
    facts = (
        ("Project number", title.number),
        ("Address", title.address),
        ("Jurisdiction", title.jurisdiction),
        ("Permit number", title.permit_number),
        ("Contractor", title.contractor),
        ("Code", title.edition),
        ("Based on", state_word(title.state)),
        ("Revision", revision),
        ("Document ID", document_id),
    )
    return tuple((name, value or "not stated") for name, value in facts)
