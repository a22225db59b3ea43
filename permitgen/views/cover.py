"""The cover of the plan set: scope, size, people, codes, statements, and where each item that reviewers ask for is found."""

from __future__ import annotations

from dataclasses import dataclass
from dataclasses import field as dataclass_field
from typing import TYPE_CHECKING

from permitgen.evaluation.granting import is_about
from permitgen.rules.quantities.system_size import pv_power_w, storage_energy_kwh
from permitgen.views.approval import approval_lines
from permitgen.views.cautions import cautions_of
from permitgen.views.document_id import BESIDE
from permitgen.views.one_line_ratings import rating_lines
from permitgen.views.title import title_of
from permitgen.views.vocabulary import option_words, verdict_word
from permitgen.views.wording import DEFERENCE, number_text, value_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from permitgen.code.amendment import Amendment
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.grant import Grant
    from permitgen.system.project_facts import Person, Revision
    from permitgen.system.system import System

# Of a verdict changed at more subjects than these the findings tell the rest: the cover is one sheet.
_MOST_SUBJECTS = 4
TO_CONFIRM = " (to be confirmed, sheet G-003)"


@dataclass(frozen=True, slots=True)
class Cover:
    """The words of the cover. ``revisions`` are number, date, reason, by; ``people`` are role and who.

    ``approval`` says what differs from what was approved; ``field`` what is violated as built or tested, and how the gates stand then.
    """

    heading: str
    address: str
    scope: tuple[str, ...]
    people: tuple[tuple[str, str], ...]
    codes: tuple[str, ...]
    site: tuple[tuple[str, str], ...]
    revisions: tuple[tuple[str, ...], ...] = dataclass_field(metadata=BESIDE)
    statements: tuple[str, ...]
    status: str
    approval: tuple[str, ...] = dataclass_field(default=(), metadata=BESIDE)
    field: tuple[str, ...] = dataclass_field(default=(), metadata=BESIDE)


def cover_of(evaluation: Evaluation, field: tuple[str, ...] = ()) -> Cover:
    """Return the cover of an evaluation; ``field`` is what was found after it was permitted."""
    system = evaluation.system
    title = title_of(evaluation)
    return Cover(
        heading=title.project,
        address=title.address,
        scope=tuple(_scope(system)),
        people=tuple((person.role, _who(person)) for person in system.project.people),
        codes=_codes(evaluation),
        site=tuple(_site(system)),
        revisions=tuple((str(r.number), r.date, _reason(r), r.by) for r in sorted(system.project.revisions, key=lambda r: r.number)),
        statements=(*cautions_of(system), *_unchecked(system), *system.jurisdiction.statements, DEFERENCE),
        status=title.status,
        approval=approval_lines(evaluation),
        field=field,
    )


def _unchecked(system: System) -> Iterator[str]:
    names = [each.tag for each in system.hardware if not each.checked_by]
    if names:
        yield f"Described from data sheets, and not checked by a second person: {', '.join(names)}."


def _reason(revision: Revision) -> str:
    return f"{revision.reason} (approved {revision.approved.date})" if revision.approved is not None else revision.reason


def _scope(system: System) -> list[str]:
    lines = [system.project.description] if system.project.description else []
    power, energy = pv_power_w(system), storage_energy_kwh(system)
    if power is not None:
        lines.append(f"Photovoltaic power: {number_text(power.number / 1000, 'kw')} kW dc")
    if energy is not None:
        lines.append(f"Energy storage: {value_text(energy)} rated energy")
    ranked = [(item.scope_order, item) for item in system.equipment.values() if item.scope_order is not None]
    for _, item in sorted(ranked, key=lambda pair: pair[0]):
        status = "" if item.status == "new" else f" ({item.status})"
        said = item.name.split(", ")
        ratings = ", ".join(part for line in rating_lines(item) for part in line.split(", ") if part not in said)
        lines.append(f"{item.tag}{status}: {item.name}" + (f", {ratings}" if ratings else ""))
    return lines


def _who(person: Person) -> str:
    license_text = f"license {person.license}" if person.license else ""
    return ", ".join(part for part in (person.company, person.name, license_text, person.phone, person.email) if part)


def _codes(evaluation: Evaluation) -> tuple[str, ...]:
    jurisdiction = evaluation.system.jurisdiction
    lines = [evaluation.given.code.edition.book]
    if jurisdiction.fire_code:
        lines.append(jurisdiction.fire_code)
    lines += [_amendment(amendment, evaluation) for amendment in evaluation.given.code.amendments] or ["No local amendments stated"]
    open_points = {each.reading for finding in evaluation.findings for each in finding.readings if each.confirmation is None}
    for name, choice in jurisdiction.options:
        lines.append(f"Local interpretation: {option_words(name, choice)}{TO_CONFIRM if name in open_points else ''}")
    unstated = sorted(open_points - dict(jurisdiction.options).keys())
    lines += [f"Read strictly: {name.replace('_', ' ')}{TO_CONFIRM}" for name in unstated]
    lines += [f"Local interpretation: {option_words(each.reading, each.answer)}, {each.words}" for each in jurisdiction.confirmed]
    lines += [_granted(grant, evaluation) for grant in jurisdiction.granted]
    return tuple(lines)


def _amendment(amendment: Amendment, evaluation: Evaluation) -> str:
    """Name an ordinance, the paper, what it strikes, and each verdict that it changed."""
    name = f"{amendment.ordinance}{f' (number {amendment.number})' if amendment.number else ''}, {amendment.date}"
    paper = f" ({amendment.copy})" if amendment.copy else ""
    code = evaluation.given.code
    struck = [code.provision(each).says for each in amendment.struck if code.provision(each).amended_by == amendment.ordinance]
    changed: dict[str, list[str]] = {}
    for finding in evaluation.findings:
        for change in finding.changed:
            if amendment.ordinance in change.ordinances:
                now, before = verdict_word(str(finding.verdict)), verdict_word(str(change.without))
                changed.setdefault(f"{finding.rule} {now}, without it {before}", []).append(finding.subject)
    verdicts = "; ".join(f"{what}: {_some(subjects)}" for what, subjects in changed.items())
    parts = [*(f"strikes: {says}" for says in struck), *_additions(amendment), f"verdicts changed: {verdicts or 'none'}"]
    return f"Local amendment: {name}{paper}; {'; '.join(parts)}"


def _additions(amendment: Amendment) -> Iterator[str]:
    """Yield what an ordinance states beside changed fields, each thing once."""
    added = amendment.additions
    yield from (f"adds {each.section}: {each.says}" for each in added.requirements)
    yield from (f"changes {each.table}, {' '.join(each.row)}, {each.column}: {each.value}" for each in added.cells)
    yield from (f"multiplies in {each.rule} {each.words}" for each in added.factors)
    labels = added.labels
    marked = [name for profile in labels.profiles for name in profile.labels]
    for words, names in (("asks for the labels", labels.required), ("strikes the labels", labels.struck), ("marks the labels", marked)):
        if names:
            yield f"{words} {', '.join(names)}"
    yield from (f"note: {note}" for note in added.notes)


def _some(subjects: list[str]) -> str:
    rest = len(subjects) - _MOST_SUBJECTS
    return ", ".join(subjects[:_MOST_SUBJECTS]) + (f" and {rest} more" if rest > 0 else "")


def _granted(grant: Grant, evaluation: Evaluation) -> str:
    verdicts = dict.fromkeys(verdict_word(str(finding.verdict)) for finding in evaluation.findings if is_about(grant, finding))
    return f"{grant.of}, {grant.subject}: {', '.join(verdicts)}, {grant.words}"


def _site(system: System) -> list[tuple[str, str]]:
    site = system.site
    rows = [("authority", ", ".join(part for part in (system.jurisdiction.name, system.jurisdiction.authority) if part))]
    rows += [(f"call for {what}", f"{who}, {phone}") for what, who, phone in system.jurisdiction.contacts]
    if system.project.permit_number:
        rows.append(("permit", system.project.permit_number))
    if site.stated_dwelling:
        rows.append(("dwelling", site.stated_dwelling))
    measured = (
        ("floor area", site.floor_area_ft2),
        *((f"floor area of unit {unit.name}", unit.floor_area_ft2) for unit in site.units),
        ("record low", site.record_low_c),
        ("design high", site.design_high_c),
        ("earth temperature", site.ground_c),
    )
    rows += [(name, value_text(value)) for name, value in measured if value is not None]
    if site.climate_source:
        rows.append(("temperatures from", site.climate_source))
    sprinklers = site.answer("sprinklers")
    if sprinklers is not None:
        rows.append(("fire sprinklers", "yes" if sprinklers else "no"))
    return rows
