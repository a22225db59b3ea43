"""Facts about the project, the jurisdiction, the site and the record that are not equipment."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from permitgen.system.site.building import DwellingUnit, StatedBuilding
from permitgen.system.site.plan import Plan
from permitgen.values.missing_fact import stated

if TYPE_CHECKING:
    from permitgen.system.approval import Approval
    from permitgen.system.asked import AskedBefore, Demand
    from permitgen.system.confirmation import Confirmation
    from permitgen.system.grant import Grant
    from permitgen.system.known_load import LoadRecord
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One revision of the permit documents; ``file`` is the project file as it then was, empty where it was not kept.

    ``approved`` is the stamped set, None as long as it did not come back.
    """

    number: int
    date: str
    reason: str
    by: str = ""
    file: str = ""
    approved: Approval | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody with a role in the project; names and numbers are private unless the record says otherwise."""

    role: str
    name: str = ""
    company: str = ""
    license: str = ""
    phone: str = ""
    email: str = ""
    public: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ProjectFacts:
    """The title block's facts."""

    name: str
    number: str = ""
    address: str = ""
    description: str = ""
    permit_number: str = ""
    revisions: tuple[Revision, ...] = ()
    people: tuple[Person, ...] = ()

    @property
    def key(self) -> str:
        """What tells this project from others in field results: its number, else its name."""
        return self.number or self.name

    @property
    def revision(self) -> Revision | None:
        """The newest revision."""
        return max(self.revisions, key=lambda r: r.number) if self.revisions else None

    @property
    def revision_before(self) -> Revision | None:
        """The revision before the newest."""
        ordered = sorted(self.revisions, key=lambda r: r.number)
        return ordered[-2] if len(ordered) > 1 else None

    @property
    def approved_revision(self) -> Revision | None:
        """The newest revision whose stamped set is in the project; None where none is."""
        return max((r for r in self.revisions if r.approved is not None), key=lambda r: r.number, default=None)

    @property
    def is_approved(self) -> bool:
        """Whether the newest revision is the approved one."""
        return self.revision is not None and self.revision is self.approved_revision


@dataclass(frozen=True, slots=True, kw_only=True)
class Submission:
    """How papers are handed in: pattern of the names, largest file in bytes, size of the sheets or empty, documents by file."""

    names: str
    largest_bytes: int
    page_size: str = ""
    one_file_a_sheet: bool = False
    files: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """What was sent where and when, as a person says it."""

    date: str
    to: str
    what: str
    by: str = ""
    receipt: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Jurisdiction:
    """Who reviews, under which code, and how disputed readings are taken (strict where not stated).

    ``confirmed`` are answers of the authority to such points in writing; they go before ``options``.
    ``asks_for`` are the ids of labels that the authority, the fire service or the utility wants beyond what the code asks for.
    ``statements`` are those that the department requires on the cover, ``contacts`` what one calls for, whom, and the number.
    ``asked`` is what the department asked for in earlier projects.
    """

    name: str
    edition: int
    authority: str = ""
    amendments: tuple[str, ...] = ()
    fire_code: str = ""
    options: tuple[tuple[str, str], ...] = ()
    asks_for: tuple[str, ...] = ()
    statements: tuple[str, ...] = ()
    contacts: tuple[tuple[str, str, str], ...] = ()
    granted: tuple[Grant, ...] = ()
    submission: Submission | None = None
    confirmed: tuple[Confirmation, ...] = ()
    asked: tuple[AskedBefore, ...] = ()
    at: ProjectLine | None = None

    def option(self, name: str, default: str) -> str:
        """Return the reading confirmed or chosen for a disputed point, else the strict one."""
        confirmation = self.confirmation(name)
        return confirmation.answer if confirmation is not None else dict(self.options).get(name, default)

    def confirmation(self, name: str) -> Confirmation | None:
        """Return what the authority answered in writing to a disputed point, None where nobody asked it."""
        return next((each for each in self.confirmed if each.reading == name), None)

    def read_as(self, name: str, choice: str) -> Jurisdiction:
        """Return the jurisdiction as one that reads a disputed point so; an empty choice leaves it open."""
        others = tuple(each for each in self.options if each[0] != name)
        options = (*others, (name, choice)) if choice else others
        return replace(self, options=options, confirmed=tuple(each for each in self.confirmed if each.reading != name))


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredDemand:
    """Measured maximum demand of an existing service, as current or as power; ``length`` tells its record: ``one year``, ``30 days``."""

    peak_a: Value | None = None
    peak_va: Value | None = None
    record: LoadRecord
    length: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Climate and dwelling facts. Temperatures in °C; ``plan`` is what the site plan draws.

    ``buildings`` is what the project says of buildings and structures beside their outlines.
    ``roof_fire_class`` is the class that the building code asks of the roof, ``none required`` where it asks for none.
    """

    stated_dwelling: str = ""
    roof_fire_class: str = ""
    floor_area_ft2: Value | None = None
    record_low_c: Value | None = None
    climate_source: str = ""
    design_high_c: Value | None = None
    ground_c: Value | None = None
    plan: Plan = field(default_factory=Plan)
    buildings: tuple[StatedBuilding, ...] = ()
    facts: tuple[tuple[str, Value], ...] = ()
    answers: tuple[tuple[str, bool], ...] = ()
    measured_demand: MeasuredDemand | None = None

    @property
    def dwelling(self) -> str:
        """The kind of dwelling.

        Raises:
            MissingFactError: the project does not state it.
        """
        return stated(self.stated_dwelling or None, "kind of dwelling")

    @property
    def units(self) -> tuple[DwellingUnit, ...]:
        """The dwelling units that the project tells apart, building by building."""
        return tuple(unit for building in self.buildings for unit in building.units)

    def stated_building(self, name: str) -> StatedBuilding:
        """Return what the project says of a building; an empty statement where it says nothing."""
        return next((stated for stated in self.buildings if stated.name == name), StatedBuilding(name=name))

    def fact(self, name: str) -> Value | None:
        """Return a further measured fact (``small_appliance_circuits``), or None where the project does not state it."""
        return dict(self.facts).get(name)

    def answer(self, name: str) -> bool | None:
        """Return a yes-or-no fact (``existing_dwelling``, ``sprinklers``), or None where the project does not state it."""
        return dict(self.answers).get(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A fact that the project does not state and that is taken as the trade understands silence: what, as which, and why."""

    title: str
    taken: str
    reason: str


ATTACHMENT_KINDS = ("specification sheet", "evidence of listing", "installation instructions", "structural letter", "utility letter")
"""What plan-check lists ask to be attached."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A PDF that goes with the plan set; ``file`` is its path inside the project folder.

    ``kind`` is one of ``ATTACHMENT_KINDS``, empty where nobody says what it is.
    """

    title: str
    file: str
    kind: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormFiles:
    """A form to be filled: its file and that of its mapping inside the project folder."""

    file: str
    mapping: str
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewComment:
    """A comment of the plan reviewer, the answer to it, and what of it is to be looked for in later projects (``keep``)."""

    comment: str
    answer: str = ""
    sheet: str = ""
    by: str = ""
    date: str = ""
    keep: Demand | None = None


IN_SERVICE = "in service"


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordFacts:
    """The public address of the as-built record and what may stand in it.

    ``custodian`` is who keeps it and takes results in, as the record prints it; ``scenarios`` are names with the average power of what
    then runs.
    ``released`` are lines of the checklist, or keys, whose words typed in the field may be public.
    ``status`` is ``in service``, ``do not energize`` or ``removed``; ``translations`` are (language, words of the project,
    their translation) for places and names that the program cannot translate itself.
    """

    address: str = ""
    record_id: str = ""
    address_public: bool = False
    public: tuple[str, ...] = ()
    released: tuple[str, ...] = ()
    emergency_contact: str = ""
    custodian: str = ""
    scenarios: tuple[tuple[str, Value], ...] = ()
    status: str = IN_SERVICE
    translations: tuple[tuple[str, str, str], ...] = ()
