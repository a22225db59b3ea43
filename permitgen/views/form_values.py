"""The values that a mapping of a form may name: a closed list, each finished text, or yes or no for a box to tick."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, get_args

from permitgen.rules.quantities.system_size import pv_power_w, storage_energy_kwh
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.views.circuit_text import conductor_text, device_text, ground_text, runs_text
from permitgen.views.findings import numbers_of
from permitgen.views.one_line_ratings import rating_lines
from permitgen.views.presence import Thing, things_of
from permitgen.views.schedules import compared_numbers
from permitgen.views.title import title_of
from permitgen.views.vocabulary import verdict_word
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.project_facts import Person
    from permitgen.values.value import Value

Given = str | bool | None
"""What a value gives: a text, yes or no, or None where the project does not state it."""
_NOTHING = ("", "–")


@dataclass(frozen=True, slots=True)
class FormValue:
    """A value by its name (capitals stand for a tag, a role, the id of a finding), what it is, and whether it is yes or no."""

    name: str
    meaning: str
    is_yes_or_no: bool = False


def _plain(text: str) -> Given:
    """Return a text for paper of others: with ordinary spaces, None where it says nothing."""
    return None if text in _NOTHING else text.replace("\u00a0", " ")


def _text(value: Value | None) -> Given:
    return None if value is None else _plain(value_text(value))


_PROJECT: Mapping[str, tuple[str, Callable[[Evaluation], Given]]] = {
    "project.name": ("name of the project", lambda e: _plain(e.system.project.name)),
    "project.number": ("number of the project", lambda e: _plain(e.system.project.number)),
    "project.description": ("what the work is, in one sentence", lambda e: _plain(e.system.project.description)),
    "project.permit_number": ("number of the permit", lambda e: _plain(e.system.project.permit_number)),
    "project.revision": ("number of the newest revision", lambda e: _plain(title_of(e).revision)),
    "project.revision_date": ("day of the newest revision", lambda e: _plain(title_of(e).revision_date)),
    "project.contractor": ("company of the contractor, else the name", lambda e: _plain(title_of(e).contractor)),
    "site.address": ("address of the site", lambda e: _plain(e.system.project.address)),
    "site.dwelling": ("kind of dwelling, as the file says it", lambda e: _plain(e.system.site.stated_dwelling)),
    "site.floor_area": ("floor area of the dwelling", lambda e: _text(e.system.site.floor_area_ft2)),
    "site.roof_fire_class": ("fire class that the roof must have", lambda e: _plain(e.system.site.roof_fire_class)),
    "jurisdiction.name": ("name of the jurisdiction", lambda e: _plain(e.system.jurisdiction.name)),
    "jurisdiction.authority": ("office that reviews", lambda e: _plain(e.system.jurisdiction.authority)),
    "jurisdiction.edition": ("edition of the electrical code in force", lambda e: _plain(e.given.code.edition.book)),
    "jurisdiction.fire_code": ("fire code or residential code in force", lambda e: _plain(e.system.jurisdiction.fire_code)),
    "utility.voltage": ("voltages at the service point", lambda e: _plain(_voltage(e))),
    "utility.available_fault_current": (
        "available fault current at the service point",
        lambda e: _text(_utility(e).available_fault_current_a),
    ),
    "utility.fault_current_source": ("who states the available fault current", lambda e: _plain(_utility(e).fault_current_source)),
    "system.pv_power": ("dc power of all arrays together", lambda e: _text(pv_power_w(e.system))),
    "system.storage_energy": ("rated energy of all storage together", lambda e: _text(storage_energy_kwh(e.system))),
    "system.status": ("how the checks stand, in one sentence", lambda e: _plain(title_of(e).status)),
}
_PERSON: Mapping[str, tuple[str, Callable[[Person], Given]]] = {
    "name": ("name of the person with that role", lambda p: _plain(p.name)),
    "company": ("company", lambda p: _plain(p.company)),
    "license": ("license", lambda p: _plain(p.license)),
    "phone": ("telephone", lambda p: _plain(p.phone)),
    "email": ("mail address", lambda p: _plain(p.email)),
}
_EQUIPMENT: Mapping[str, tuple[str, Callable[[Equipment], Given]]] = {
    "name": ("name", lambda item: _plain(item.name)),
    "model": ("model", lambda item: _plain(item.model)),
    "ratings": ("ratings as the one-line diagram prints them", lambda item: _plain(", ".join(rating_lines(item)))),
    "place": ("where it is", lambda item: _plain(item.place.description) if item.place is not None else None),
    "status": ("new, existing or removed", lambda item: _plain(item.status)),
    "enclosure": ("type of its enclosure", lambda item: _plain(item.enclosure_type)),
    "short_circuit_rating": ("short-circuit current rating", lambda item: _text(item.short_circuit_rating_ka)),
}
_CIRCUIT: Mapping[str, tuple[str, Callable[[Evaluation, Circuit], Given]]] = {
    "name": ("name", lambda _e, c: _plain(c.name)),
    "from": ("where it begins", lambda _e, c: _plain(str(c.start))),
    "to": ("where it ends", lambda _e, c: _plain(str(c.finish))),
    "conductors": ("its conductors", lambda _e, c: _plain(conductor_text(c)) if c.conductors.size is not None else None),
    "ground": ("its equipment ground", lambda _e, c: _plain(ground_text(c.conductors))),
    "device": ("the devices at its ends", lambda _e, c: _plain(", ".join(device_text(d) for d in (c.start_device, c.finish_device) if d))),
    "runs": ("its raceways and cables", lambda e, c: _plain(runs_text(e.system, c))),
    "current": ("current that its conductors must carry", lambda e, c: _plain(compared_numbers(e, "conductor-ampacity", c.tag)[1])),
    "ampacity": ("ampacity of its conductors after all factors", lambda e, c: _plain(compared_numbers(e, "conductor-ampacity", c.tag)[0])),
    "voltage_drop": ("its voltage drop", lambda e, c: _plain(compared_numbers(e, "voltage-drop", c.tag)[0])),
}
_FINDING: Mapping[str, tuple[str, Callable[[Finding], Given]]] = {
    "computed": ("the first number that the rule compared", lambda f: _plain(numbers_of(f.judgement)[0] or "")),
    "limit": ("the number that it was compared with", lambda f: _plain(numbers_of(f.judgement)[1] or "")),
    "verdict": ("how it was judged", lambda f: _plain(verdict_word(str(f.verdict)))),
}


def _utility(evaluation: Evaluation) -> UtilityService:
    found = (item for item in evaluation.system.equipment.values() if isinstance(item, UtilityService))
    return next(found, UtilityService(tag="", name=""))


def _voltage(evaluation: Evaluation) -> str:
    service = _utility(evaluation)
    between = [value for value in (service.line_to_neutral_v, service.line_to_line_v) if value is not None]
    return " and ".join(value_text(value) for value in between)


def documented_values() -> tuple[FormValue, ...]:
    """Return every value that there is, for people who write a mapping."""
    plain = [FormValue(name, meaning) for name, (meaning, _) in _PROJECT.items()]
    things = [FormValue(f"has.{thing}", f"whether there is {thing}", is_yes_or_no=True) for thing in get_args(Thing)]
    families: tuple[tuple[str, Mapping[str, tuple[str, object]], str], ...] = (
        ("people.ROLE", _PERSON, "of a person of project: people"),
        ("equipment.TAG", _EQUIPMENT, "of a piece of equipment"),
        ("circuit.TAG", _CIRCUIT, "of a circuit"),
        ("check.ID", _FINDING, "of a finding, by its id in findings.json"),
    )
    tagged = [FormValue(f"{head}.{key}", f"{words[0]}, {of}") for head, family, of in families for key, words in family.items()]
    return (*plain, *tagged, *things)


def values_by_name(evaluation: Evaluation) -> Mapping[str, Callable[[], Given]]:
    """Return every value of one project by its whole name, each worked out when it is asked for."""
    system = evaluation.system
    found: dict[str, Callable[[], Given]] = {}
    for name, (_, give) in _PROJECT.items():
        found[name] = lambda give=give: give(evaluation)  # type: ignore[misc]
    things = things_of(evaluation)
    for thing in get_args(Thing):
        found[f"has.{thing}"] = lambda thing=thing: thing in things  # type: ignore[misc]
    _add(found, "people", ((person.role, (person,)) for person in system.project.people), _PERSON)
    _add(found, "equipment", ((tag, (item,)) for tag, item in system.equipment.items()), _EQUIPMENT)
    _add(found, "circuit", ((tag, (evaluation, circuit)) for tag, circuit in system.circuits.items()), _CIRCUIT)
    _add(found, "check", ((finding.id, (finding,)) for finding in evaluation.findings), _FINDING)
    return found


def _add(
    found: dict[str, Callable[[], Given]],
    head: str,
    of: Iterable[tuple[str, tuple[object, ...]]],
    family: Mapping[str, tuple[str, Callable[..., Given]]],
) -> None:
    for tag, given in of:
        for key, (_, give) in family.items():
            found.setdefault(f"{head}.{tag}.{key}", lambda give=give, given=given: give(*given))  # type: ignore[misc]
