"""Turns validated models into a system. The only converter: from here on every number has its unit and its origin."""

from __future__ import annotations

from typing import Any

from permitgen.project.asked_demands import demand_of
from permitgen.project.assumptions import assumptions_of
from permitgen.project.built_to_system import built_of, inspections_of
from permitgen.project.choice_references import MATERIAL_ALLOWANCE, megabytes, percentage
from permitgen.project.cursor import Cursor
from permitgen.project.equipment_to_system import equipment_of
from permitgen.project.measured import Measured
from permitgen.project.messages import Where
from permitgen.project.notes_to_system import described_hardware
from permitgen.project.quantities import QuantityError
from permitgen.project.removed_things import is_to_be_removed, removed_runs
from permitgen.project.sections.asked import AskedModel
from permitgen.project.sections.facts import PLAN_SET, SubmissionModel
from permitgen.project.sections.project_file import ProjectFile
from permitgen.project.site_to_system import plan_of, stated_buildings
from permitgen.project.wiring_to_system import circuit_of, control_of, interlock_of, known_load_of, load_of, power_control_of, raceway_of
from permitgen.reading.reader import ReadFile
from permitgen.system.approval import Approval
from permitgen.system.asked import AskedBefore
from permitgen.system.confirmation import Confirmation
from permitgen.system.grant import Grant
from permitgen.system.known_load import LoadRecord
from permitgen.system.project_facts import (
    Attachment,
    FormFiles,
    Jurisdiction,
    MeasuredDemand,
    Person,
    ProjectFacts,
    RecordFacts,
    ReviewComment,
    Revision,
    Sent,
    Site,
    Submission,
)
from permitgen.system.system import System
from permitgen.values.value import Value


def to_system(models: ProjectFile, file: ReadFile, where: Where) -> System:
    """Build the system that ``models`` describe."""
    root = Cursor(file, where, (), models)
    placed = {tag: equipment_of(root.child("equipment", tag, model=entry), tag, models) for tag, entry in models.equipment.items()}
    equipment, removed = ({tag: item for tag, item in placed.items() if is_to_be_removed(item) is gone} for gone in (False, True))
    wired = {tag: circuit_of(root.child("circuits", tag, model=entry), tag, placed) for tag, entry in models.circuits.items()}
    gone = {tag for tag, entry in models.circuits.items() if entry.to_be_removed}
    runs = removed_runs(models)
    return System(
        project=_project(models),
        jurisdiction=_jurisdiction(root),
        site=_site(root, models),
        equipment=equipment,
        circuits={tag: circuit for tag, circuit in wired.items() if tag not in gone},
        removed=removed,
        removed_circuits={tag: circuit for tag, circuit in wired.items() if tag in gone},
        raceways={tag: raceway_of(root.child("raceways", tag, model=e), tag) for tag, e in models.raceways.items() if tag not in runs},
        controls={tag: control_of(root.child("control", tag, model=entry), tag) for tag, entry in models.control.items()},
        loads={tag: load_of(root.child("loads", tag, model=entry), tag) for tag, entry in models.loads.items()},
        known_loads={tag: known_load_of(root.child("known_loads", tag, model=entry), tag) for tag, entry in models.known_loads.items()},
        power_controls={tag: power_control_of(root.child("power_control", tag, model=c), tag) for tag, c in models.power_control.items()},
        interlocks=tuple(interlock_of(root.child("interlocks", n, model=each)) for n, each in enumerate(models.interlocks)),
        record=_record(root, models),
        built=built_of(root),
        label_overrides=dict(models.labels),
        settings={name: value for name, value in models.settings.items() if name != MATERIAL_ALLOWANCE},
        material_allowance_percent=_material_allowance(root, models),
        charge_kept_percent=_charge_kept(root, models),
        attachments=tuple(Attachment(title=a.title, file=a.file, kind=a.kind) for a in models.attachments),
        sent=tuple(Sent(date=s.date, to=s.to, what=s.what, by=s.by, receipt=s.receipt) for s in models.sent),
        inspections=inspections_of(root),
        forms=tuple(FormFiles(file=f.file, mapping=f.mapping, title=f.title) for f in models.forms),
        assumptions=assumptions_of(models),
        hardware=described_hardware(root, models),
        review_comments=tuple(
            ReviewComment(
                comment=c.comment,
                answer=c.answer,
                sheet=c.sheet,
                by=c.by,
                date=c.date or "",
                keep=demand_of(c.keep) if c.keep is not None else None,
            )
            for c in models.plan_review
        ),
    )


def _material_allowance(root: Cursor, models: ProjectFile) -> Value | None:
    spelled = models.settings.get(MATERIAL_ALLOWANCE)
    if spelled is None:
        return None
    stated = Measured(percentage(spelled), "percent", spelled)
    return root.of(stated, "settings", MATERIAL_ALLOWANCE, title="allowance on lengths of material", symbol="a")


_CHARGE_KEPT = "charge_kept_for_outages"


def _charge_kept(root: Cursor, models: ProjectFile) -> Value | None:
    """Return the setting as a percentage; the setting is what stands on the equipment, and may be worded in another way."""
    spelled = models.settings.get(_CHARGE_KEPT, "")
    try:
        stated = Measured(percentage(spelled), "percent", spelled)
    except QuantityError:
        return None
    return root.of(stated, "settings", _CHARGE_KEPT, title="charge kept for outages", symbol="c")


def _scenarios(root: Cursor, models: ProjectFile) -> tuple[tuple[str, Value], ...]:
    given = models.record.backup_scenarios if models.record is not None else []
    found = []
    for index, each in enumerate(given):
        value = root.child("record", "backup_scenarios", index, model=each).value("average", f"average power, {each.name}", "P")
        if value is not None:
            found.append((each.name, value))
    return tuple(found)


def _project(models: ProjectFile) -> ProjectFacts:
    given = models.project
    return ProjectFacts(
        name=given.name,
        number=given.number,
        address=given.address,
        description=given.description,
        permit_number=given.permit_number,
        revisions=tuple(_revision(r, models.jurisdiction.authority) for r in given.revisions),
        people=tuple(
            Person(role=p.role, name=p.name, company=p.company, license=p.license, phone=p.phone, email=p.email) for p in given.people
        ),
    )


def _revision(given: Any, authority: str) -> Revision:
    stamped = given.approved
    approval = None
    if stamped is not None:
        approval = Approval(
            date=stamped.date,
            by=stamped.by,
            office=stamped.office or authority,
            copy=stamped.copy_,
            permit_number=stamped.permit_number,
            permit_card=stamped.permit_card,
            conditions=tuple(stamped.conditions),
        )
    return Revision(number=given.number, date=given.date, reason=given.reason, by=given.by, file=given.file, approved=approval)


def _jurisdiction(root: Cursor) -> Jurisdiction:
    at = root.child("jurisdiction")
    given: Any = at.model
    return Jurisdiction(
        name=given.name,
        edition=int(given.edition),
        authority=given.authority,
        amendments=given.amendments,
        fire_code=given.fire_code,
        options=tuple(given.options.items()),
        asks_for=tuple(given.asks_for),
        statements=tuple(given.statements),
        contacts=tuple((each.for_, each.who, each.phone) for each in given.contacts),
        submission=_submission(given.submission),
        granted=tuple(
            Grant(rule=g.rule, section=g.section, subject=g.subject, what=g.what, by=g.by, office=g.office, date=g.date, copy=g.copy_)
            for g in given.granted
        ),
        confirmed=tuple(
            Confirmation(reading=c.reading, answer=c.answer, by=c.by, office=c.office, date=c.date, copy=c.copy_) for c in given.confirmed
        ),
        asked=tuple(_asked(at.child("asked", index, model=each), each) for index, each in enumerate(given.asked)),
        at=at.line("edition"),
    )


def _asked(at: Cursor, given: AskedModel) -> AskedBefore:
    return AskedBefore(demand=demand_of(given), asked_in=dict(given.in_), answered_by=dict(given.answered), at=at.line("for"))


def _submission(given: SubmissionModel | None) -> Submission | None:
    if given is None:
        return None
    return Submission(
        names=given.names,
        largest_bytes=megabytes(given.largest_file),
        page_size=given.page_size,
        one_file_a_sheet=given.plan_set != PLAN_SET[0],
        files=tuple(given.files.items()),
    )


def _site(root: Cursor, models: ProjectFile) -> Site:
    at = root.child("site")
    given: Any = at.model
    climate = at.child("climate")
    return Site(
        stated_dwelling=given.dwelling,
        roof_fire_class=given.roof_fire_class,
        floor_area_ft2=at.value("floor_area", "floor area of the dwelling"),
        record_low_c=climate.value("record_low", "lowest expected ambient temperature", "T_min"),
        design_high_c=climate.value("design_high", "design high ambient temperature", "T_a"),
        ground_c=climate.value("ground", "earth temperature"),
        climate_source=given.climate.source,
        plan=plan_of(at, models),
        buildings=stated_buildings(at, models),
        facts=at.facts(frozenset({"floor_area"})),
        answers=at.answers(),
        measured_demand=_measured_demand(at),
    )


# Days of the records that a file may name.
_RECORDS = {"one year": 365, "30 days": 30}


def _days_recorded(demand: Cursor, record: str) -> Value | None:
    if not record:
        return None
    return Value(_RECORDS[record], "count", demand.line("record"), "n", "days of the record of the measured demand")


def _measured_demand(site: Cursor) -> MeasuredDemand | None:
    given: Any = getattr(site.model, "measured_demand", None)
    if given is None:
        return None
    at = site.child("measured_demand")
    return MeasuredDemand(
        peak_a=at.value("peak", "measured maximum demand", "I_peak"),
        peak_va=at.value("peak_power", "measured maximum demand", "S_peak"),
        record=LoadRecord(
            days_count=_days_recorded(at, given.record),
            sources_connected=given.sources_connected,
            seasonal_loads_included=given.seasonal_loads_included,
        ),
        length=given.record,
        source=given.source,
    )


def _record(root: Cursor, models: ProjectFile) -> RecordFacts | None:
    given = models.record
    if given is None:
        return None
    return RecordFacts(
        address=given.address,
        record_id=given.id,
        address_public=bool(given.address_public),
        public=given.public,
        released=given.released,
        emergency_contact=given.emergency_contact,
        custodian=given.custodian,
        scenarios=_scenarios(root, models),
        status=given.status,
        translations=tuple((language, words, said) for language, pairs in given.translations.items() for words, said in pairs.items()),
    )
