"""The as-built record: one public object that anyone may read, and a private one for the owner and the contractor.

What is public is decided in ``record_public``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.field_verdict import FieldVerdict
from permitgen.evaluation.gates import Gate, Standing, standing_of
from permitgen.system.project_facts import IN_SERVICE
from permitgen.views.approval import approved_text
from permitgen.views.cautions import cautions_of
from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.document_list import ListedDocument
from permitgen.views.emergency import Emergency, emergency_of
from permitgen.views.field_checklist import FieldChecklist, LabelToPlace
from permitgen.views.field_checklist import view_of as checklist_of
from permitgen.views.field_standing import line_states, occasion_states, tested_lines
from permitgen.views.findings import OPEN, FindingText, finding_text
from permitgen.views.inspector_card import InspectorCard, inspector_card_of
from permitgen.views.languages import LANGUAGES
from permitgen.views.one_line import OneLine
from permitgen.views.one_line_units import one_line_of
from permitgen.views.record_identity import RecordIdentity, identity_of
from permitgen.views.record_keeping import YEARLY, Keeping, keeping_of
from permitgen.views.record_owner import OwnerText, owner_text
from permitgen.views.record_privacy import name_words, secrets_of, without_private
from permitgen.views.record_private import PrivateRecord, private_record_of
from permitgen.views.record_public import PARTS, public_part
from permitgen.views.record_results import ResultRow, commissioning_day, result_rows
from permitgen.views.record_revisions import RevisionRow, revision_rows
from permitgen.views.record_schedule import CheckGroup, CircuitLine, check_groups, circuit_lines
from permitgen.views.title import status_of
from permitgen.views.wording import DEFERENCE, value_text

if TYPE_CHECKING:
    from permitgen.evaluation.comparison import Comparison
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class Rating:
    """One rating of a part: words, number and unit for programs, text for people."""

    name: str
    number: float
    unit: str
    text: str


@dataclass(frozen=True, slots=True)
class PartRow:
    """One piece of equipment as built."""

    tag: str
    name: str
    kind: str
    place: str
    status: str
    ratings: tuple[Rating, ...]
    neutral_bond: str


@dataclass(frozen=True, slots=True)
class DifferenceRow:
    """One difference between permitted and built, with its class and what the rules say of it.

    ``said_by`` tells who says so (``file``, ``field``, ``settlement``), ``line`` the line of the checklist that the field answered.
    """

    path: str
    tag: str
    permitted: str
    built: str
    reason: str
    date: str
    kind: str
    approved: str
    findings: tuple[str, ...]
    is_superseded: bool
    said_by: str
    line: str
    is_readable: bool


@dataclass(frozen=True, slots=True)
class RecordDocument:
    """A document of the package with its digest."""

    name: str
    sha256: str
    bytes: int


@dataclass(frozen=True, slots=True)
class PublicRecord:
    """Everything anyone may read. ``parts`` says which parts the owner made public; the emergency part always is.

    ``gates`` are the gates as they stand and ``failed`` the tests that failed; ``approved`` says which revision was approved,
    ``inspected`` what did not pass an inspection, ``card`` what the inspector is shown.

    ``listed`` are the Document IDs that are good today, of everything but the record itself.
    """

    identity: RecordIdentity
    emergency: Emergency
    one_line: OneLine | None
    owner: tuple[OwnerText, ...]
    parts: tuple[str, ...]
    equipment: tuple[PartRow, ...]
    circuits: tuple[CircuitLine, ...]
    checks: tuple[CheckGroup, ...]
    counts: tuple[tuple[str, int], ...]
    open_findings: tuple[FindingText, ...]
    worse: tuple[FindingText, ...]
    approved: str
    gates: tuple[Gate, ...]
    failed: tuple[FindingText, ...]
    inspected: tuple[FindingText, ...]
    card: InspectorCard | None = field(metadata=BESIDE)
    differences: tuple[DifferenceRow, ...]
    results: tuple[ResultRow, ...]
    settings: tuple[tuple[str, str], ...]
    revisions: tuple[RevisionRow, ...]
    keeping: Keeping
    documents: tuple[RecordDocument, ...] = field(metadata=BESIDE)
    listed: tuple[ListedDocument, ...] = field(metadata=BESIDE)
    status: str
    cautions: tuple[str, ...]
    deference: str
    document_id: str = field(default="", metadata=BESIDE)

    @property
    def torque(self) -> tuple[ResultRow, ...]:
        """The torque log."""
        return tuple(row for row in self.results if row.id.startswith("torque:"))

    @property
    def tests(self) -> tuple[ResultRow, ...]:
        """Every other line that was answered or measured."""
        return tuple(row for row in self.results if not row.id.startswith("torque:"))

    @property
    def result_counts(self) -> tuple[tuple[str, int], ...]:
        """How many lines of the checklist stand how."""
        verdicts = [row.verdict for row in self.results]
        return tuple((str(verdict), verdicts.count(str(verdict))) for verdict in FieldVerdict if str(verdict) in verdicts)


@dataclass(frozen=True, slots=True)
class Record:
    """Both objects."""

    public: PublicRecord
    private: PrivateRecord


def record_of(
    comparison: Comparison,
    *,
    required_labels: Sequence[LabelToPlace] = (),
    listed: Sequence[ListedDocument] = (),
) -> Record:
    """Return the record of an installation, no files listed; ``listed`` are the Document IDs that are good today."""
    checklist = checklist_of(comparison.permitted, "", required_labels)
    system = comparison.built.system
    states = line_states(checklist, system.results)
    standing = standing_of(comparison, tested_lines((*states, *occasion_states(checklist, system.results))))
    card = inspector_card_of(comparison.permitted, checklist, states, standing, required_labels)
    whole = _whole(comparison, checklist, standing, tuple(listed), card)
    words = name_words(system)
    contact = (system.record.emergency_contact,) if system.record is not None and system.record.emergency_contact else ()
    secrets = secrets_of(system)
    public = without_private(public_part(whole, comparison.built.system.record), secrets, contact, words=words)
    # Places stand on the placard for everyone to read: single words of a name are not taken out of them.
    shown = emergency_of(comparison.built, names_streets=_tells_address(comparison), denied=standing.denied)
    emergency = without_private(shown, secrets, contact)
    public = replace(public, emergency=emergency)
    private = with_document_id("private record", private_record_of(comparison, whole))
    return Record(with_document_id("record", public), private)


def _tells_address(comparison: Comparison) -> bool:
    record = comparison.built.system.record
    return record is not None and record.address_public


def with_documents(record: Record, documents: tuple[RecordDocument, ...]) -> Record:
    """Return the record with the files handed in beside it; they change no Document ID."""
    private = replace(record.private, public=replace(record.private.public, documents=documents))
    return Record(replace(record.public, documents=documents), private)


def _whole(
    comparison: Comparison, checklist: FieldChecklist, standing: Standing, listed: tuple[ListedDocument, ...], card: InspectorCard
) -> PublicRecord:
    """Return the record before anything is taken out."""
    built = comparison.built
    system = built.system
    emergency = emergency_of(built, denied=standing.denied)
    may_energize = standing.gate("energize").is_open and emergency.status == IN_SERVICE
    book = built.given.code.edition.book
    commissioned = commissioning_day(system.results)
    keeping = keeping_of(system, checklist, commissioned)
    checked = keeping.last(YEARLY)
    return PublicRecord(
        identity=identity_of(comparison, commissioned, is_tested=may_energize, accepted_on=standing.accepted_on),
        emergency=emergency,
        one_line=one_line_of(built),
        owner=tuple(
            owner_text(built, emergency.texts[language], commissioned, may_energize=may_energize, checked=checked) for language in LANGUAGES
        ),
        parts=PARTS,
        equipment=tuple(_part(item) for item in system.equipment.values()),
        circuits=circuit_lines(built),
        checks=check_groups(built),
        counts=tuple((str(verdict), count) for verdict, count in built.counts.items()),
        open_findings=tuple(finding_text(f, book) for f in (*comparison.permitted.approval, *built.findings) if f.verdict in OPEN),
        worse=tuple(finding_text(f, book, "built") for f in standing.built),
        approved=approved_text(system.project),
        gates=standing.gates,
        failed=tuple(finding_text(f, book, "tested") for f in standing.failed),
        inspected=tuple(finding_text(f, book, "inspected") for f in standing.inspected),
        card=card,
        differences=_differences(comparison),
        results=result_rows(checklist, system.results),
        settings=tuple(system.settings.items()),
        revisions=revision_rows(comparison.permitted.system.project.revisions),
        keeping=keeping,
        documents=(),
        listed=listed,
        status=status_of(built),
        cautions=cautions_of(system),
        deference=DEFERENCE,
    )


def _part(item: Equipment) -> PartRow:
    named = ((name, getattr(item, name, None)) for name in _RATING_WORDS)
    ratings = [_rating(name, value) for name, value in named if value is not None]
    main = getattr(item, "main", None)
    if main is not None and main.rating_a is not None:
        ratings.append(_rating("main_breaker", main.rating_a))
    place = item.place.description if item.place is not None else ""
    bond = item.neutral_bond.state.value if item.neutral_bond is not None else ""
    return PartRow(item.tag, item.name, item.kind.replace("_", " "), place, item.status, tuple(ratings), bond)


_RATING_WORDS = {
    "busbar_rating_a": "busbar",
    "contactor_rating_a": "contactor",
    "output_a": "output current",
    "output_va": "output power",
    "energy_kwh": "rated energy",
    "units": "units",
    "unit_energy_kwh": "rated energy of one unit",
    "rating_a": "rating",
    "current_a": "rated current",
    "module_count": "modules",
    "main_breaker": "main breaker",
}


def _rating(name: str, value: Value) -> Rating:
    return Rating(_RATING_WORDS[name], value.number, value.unit, value_text(value))


def _differences(comparison: Comparison) -> tuple[DifferenceRow, ...]:
    return tuple(
        DifferenceRow(
            path=d.path,
            tag=d.tag,
            permitted=d.permitted,
            built=d.built,
            reason=d.reason,
            date=d.date,
            kind=str(d.kind),
            approved=d.approved_by,
            findings=d.findings,
            is_superseded=d.is_superseded,
            said_by=d.said_by,
            line=d.at.path if d.at is not None and d.said_by == "field" else "",
            is_readable=d.is_readable,
        )
        for d in comparison.differences
    )
