"""The owner's part of the record, in plain words and in each language: what is there, what to do, what to check when."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from permitgen.system.equipment.disconnect import RapidShutdownInitiator
from permitgen.system.equipment.generator import Generator
from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.batteries import batteries_among
from permitgen.system.walks.generator_start import starts_by_itself
from permitgen.system.walks.isolation import shutdown_steps, steps_that_end
from permitgen.system.walks.rapid_shutdown import initiators
from permitgen.system.walks.sources_only import is_distribution
from permitgen.views.backup_hours import backup_lines
from permitgen.views.document_id import BESIDE
from permitgen.views.presence import things_of
from permitgen.views.sentence_grounds import proven_key
from permitgen.views.shed_loads import shed_in_island

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.system import System
    from permitgen.views.emergency import EmergencyStep, EmergencyText
    from permitgen.views.languages import Phrases
    from permitgen.views.presence import Thing


@dataclass(frozen=True, slots=True)
class Answer:
    """One question of the owner, with sentences and, where order matters, steps.

    ``is_urgent``: it is asked when there is no network.
    ``in_short`` is what the paper says in place of ``sentences``, empty where it says them all.
    """

    question: str
    sentences: tuple[str, ...]
    steps: tuple[str, ...] = ()
    is_urgent: bool = field(default=True, metadata=BESIDE)
    in_short: tuple[str, ...] = field(default=(), metadata=BESIDE)


@dataclass(frozen=True, slots=True)
class MaintenanceRow:
    """One thing to check: how often, and the next date where commissioning is recorded, else empty."""

    task: str
    every: str
    months: int
    next: str


@dataclass(frozen=True, slots=True)
class OwnerText:
    """The owner's part in one language."""

    language: str
    phrases: Phrases
    have: tuple[str, ...]
    answers: tuple[Answer, ...]
    maintenance: tuple[MaintenanceRow, ...]


def owner_text(evaluation: Evaluation, emergency: EmergencyText, commissioned: str, *, may_energize: bool, checked: str = "") -> OwnerText:
    """Return the owner's part in the language of ``emergency``; ``commissioned`` is a day (year-month-day) or empty.

    ``checked`` is the day of the last yearly check that came back, empty where none did.

    Steps to switch on are shown only where ``may_energize``: while the gate FOR ENERGIZING is open.
    """
    phrases = emergency.phrases
    return OwnerText(
        language=emergency.language,
        phrases=phrases,
        have=_have(evaluation, phrases),
        answers=_answers(evaluation, emergency, may_energize=may_energize),
        maintenance=_maintenance(_to_look_after(evaluation), phrases, commissioned, checked),
    )


def _have(evaluation: Evaluation, phrases: Phrases) -> tuple[str, ...]:
    system = evaluation.system
    lines: dict[str, None] = {}
    for item in system.equipment.values():
        place = phrases.place(item.place.description) if item.place is not None and item.place.description else phrases.say("place.unknown")
        kinds = {source.kind for source in system.sources.values() if source.tag == item.tag} - {"utility"}
        if "energy storage" in kinds and not batteries_among(system, (item.tag,)):
            kinds = kinds - {"energy storage"} | {"battery inverter"}
        for kind in sorted(kinds):
            lines[phrases.say(f"owner.have.{kind}", name=_name(item.name, item.tag, phrases), place=place)] = None
        if item.kind == "microgrid_interconnect_device":
            lines[phrases.say(proven_key(evaluation, "owner.have.island"), place=place)] = None
        if isinstance(item, RapidShutdownInitiator):
            what = proven_key(evaluation, "owner.have.initiator") if item.shuts_down else "owner.have.storage stop"
            lines[phrases.say(what, place=place)] = None
    return tuple(lines)


def _name(name: str, tag: str, phrases: Phrases) -> str:
    """Names of equipment are the project's own words; an English name tells a reader of another language more than a tag."""
    return phrases.own.get(name, name or tag)


def backed_up_panels(system: System, mode: OperatingMode = OperatingMode.ISLANDED) -> tuple[str, ...]:
    """Return the tags of the panels that sources keep live in an island, or on the generator, found on the graph."""
    if mode not in system.modes:
        return ()
    forming = _FORMING[mode]
    starts = [s.node for s in system.sources.values() if s.forms_island and s.kind in forming]
    reached = system.graph.reach(starts, closed_in(mode))
    with_loads = {load.panel for load in system.loads.values()} | set(system.known_loads)
    return tuple(
        bus.tag
        for bus in system.busbars.values()
        if bus.node in reached and (bus.tag in with_loads or is_distribution(system, system.equipment[bus.tag]))
    )


_FORMING = {
    OperatingMode.ISLANDED: ("energy storage", "photovoltaic", "vehicle"),
    OperatingMode.ON_GENERATOR: ("generator",),
}


def _answers(evaluation: Evaluation, emergency: EmergencyText, *, may_energize: bool) -> tuple[Answer, ...]:
    system, phrases, things = evaluation.system, emergency.phrases, things_of(evaluation)
    plain = "" if "energy storage" in things else ".plain"
    on = (phrases.say("owner.a.on"),) if may_energize else (phrases.say("owner.a.on.shut"),)
    answers = [
        Answer(phrases.say("owner.q.outage"), _outage(evaluation, phrases)),
        *_backup(evaluation, phrases),
        Answer(phrases.say("owner.q.off"), (phrases.say("owner.a.off"),), is_urgent=False),
        Answer(phrases.say("owner.q.on"), on, _on_again(system, emergency) if may_energize else ()),
        Answer(phrases.say("owner.q.alarm"), (phrases.say(f"owner.a.alarm{plain}"), phrases.say("owner.a.alarm.call"))),
    ]
    needed = {handle.id for handle in steps_that_end(system, shutdown_steps(system), "photovoltaic")}
    solar = tuple(str(step.number) for step in emergency.steps if step.handle in needed)
    if solar:
        where = "roof" if "array on a roof" in things else "array"
        answers.append(Answer(phrases.say(f"owner.q.{where}"), (phrases.say("owner.a.roof", steps=_steps(solar, phrases)),)))
    answers.append(Answer(phrases.say("owner.q.flood"), (phrases.say(f"owner.a.flood{plain}"),)))
    answers += [Answer(phrases.say(f"owner.q.{key}"), (phrases.say(f"owner.a.{key}"),), is_urgent=False) for key in ("call", "sale")]
    return tuple(answers)


def _steps(numbers: tuple[str, ...], phrases: Phrases) -> str:
    return phrases.choose(*(["steps.one"] if len(numbers) == 1 else []), "steps", numbers=phrases.listed(numbers))


def _outage(evaluation: Evaluation, phrases: Phrases) -> tuple[str, ...]:
    system = evaluation.system
    panels, switched = backed_up_panels(system), backed_up_panels(system, OperatingMode.ON_GENERATOR)
    if not panels and not switched:
        return (phrases.say(proven_key(evaluation, "owner.a.no_island")),)
    if not panels:
        key = proven_key(evaluation, "owner.a.outage.switched")
        return (phrases.say(key, panels=_listed(system, switched, phrases)), *_generators(evaluation, phrases))
    lines = [phrases.say(proven_key(evaluation, "owner.a.outage"), panels=_listed(system, panels, phrases))]
    shed = tuple(_name(name, tag, phrases) for tag, name in shed_in_island(system, panels))
    if shed:
        lines.append(phrases.say("owner.a.outage.shed", loads=phrases.listed(shed)))
    storage = [s.node for s in system.sources.values() if s.kind == "energy storage"]
    if storage:
        lines.append(phrases.say("owner.a.outage.save"))
    if _solar_reaches(system, storage):
        lines.append(phrases.say("owner.a.outage.recharge"))
    return (*lines, *_generators(evaluation, phrases))


def _backup(evaluation: Evaluation, phrases: Phrases) -> tuple[Answer, ...]:
    """How long the batteries last, where batteries keep something on."""
    panels = backed_up_panels(evaluation.system)
    if not panels or "energy storage" not in things_of(evaluation):
        return ()
    short = backup_lines(evaluation, panels, phrases, in_short=True)
    return (Answer(phrases.say("backup.q"), backup_lines(evaluation, panels, phrases), in_short=short),)


def _listed(system: System, panels: tuple[str, ...], phrases: Phrases) -> str:
    return phrases.listed(tuple(_name(system.equipment[tag].name, tag, phrases) for tag in panels))


def _solar_reaches(system: System, storage: list[str]) -> bool:
    """Whether solar reaches the storage while the utility is away."""
    reached = system.graph.reach(storage, closed_in(OperatingMode.ISLANDED))
    return any(source.kind == "photovoltaic" and source.node in reached for source in system.sources.values())


def _generators(evaluation: Evaluation, phrases: Phrases) -> tuple[str, ...]:
    """A machine that is switched over by hand does not start by itself."""
    generators = [item for item in evaluation.system.equipment.values() if isinstance(item, Generator)]
    lines = []
    if any(not item.is_portable for item in generators) and starts_by_itself(evaluation.system):
        lines.append(phrases.say("owner.a.outage.generator"))
    if any(item.is_portable for item in generators):
        lines.append(phrases.say("owner.a.outage.generator.portable"))
    return tuple(lines)


def _on_again(system: System, emergency: EmergencyText) -> tuple[str, ...]:
    """The emergency steps backwards: the service first, the generator last. A stop is reset, it is not turned on."""
    generator = [step for step in emergency.steps if ".stop" in step.handle]
    others = [step for step in reversed(emergency.steps) if step not in generator]
    return tuple(f"{_again(system, step, emergency.phrases)} – {step.place}" for step in (*others, *generator))


def _again(system: System, step: EmergencyStep, phrases: Phrases) -> str:
    handle = system.handles[step.handle]
    kind = "storage stop" if step.object == phrases.say("object.storage stop") else handle.kind
    return phrases.choose(f"again.{kind}", "again.default", object=step.object)


YEAR = 12
# Task, months between, what must be there (empty: always).
_TASKS: tuple[tuple[str, int, Thing | Literal[""]], ...] = (
    ("look", YEAR, ""),
    ("labels", YEAR, ""),
    ("code", YEAR, ""),
    ("vents", YEAR, "energy storage"),
    ("shutdown", YEAR, "rapid shutdown"),
    ("exercise", 1, "generator"),
    ("generator", YEAR, "generator"),
    ("thermal", 60, ""),
)


def _to_look_after(evaluation: Evaluation) -> frozenset[Thing]:
    """Return what the installation has that somebody checks: a rapid shutdown without a switch for it has nothing to be tested."""
    things = things_of(evaluation)
    return things if initiators(evaluation.system) else things - {"rapid shutdown"}


def _maintenance(things: frozenset[Thing], phrases: Phrases, commissioned: str, checked: str) -> tuple[MaintenanceRow, ...]:
    from_check = checked or commissioned
    return tuple(
        MaintenanceRow(
            task=phrases.say(f"owner.task.{task}"),
            every=phrases.say(f"owner.every.{months}"),
            months=months,
            next=next_date(from_check if months == YEAR else commissioned, YEAR if task == "thermal" else months) if commissioned else "",
        )
        for task, months, thing in _TASKS
        if not thing or thing in things
    )


def next_date(day: str, months: int) -> str:
    """Return the day ``months`` later, year-month-day; the 29th to 31st become the 28th, which every month has."""
    year, month, date = (int(part) for part in day.split("-"))
    index = year * 12 + month - 1 + months
    return f"{index // 12:04d}-{index % 12 + 1:02d}-{min(date, 28) if date > 28 else date:02d}"
