"""What departments asked for: whether a demand can be looked for, what it becomes, and whether what a project states meets it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, get_args

from pydantic import TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from permitgen.project.fields import Section
from permitgen.project.measured import Measured
from permitgen.project.messages import Location
from permitgen.project.reference_check import Check
from permitgen.project.sections.asked import DemandModel
from permitgen.project.sections.equipment import EquipmentEntry
from permitgen.project.sections.project_file import ProjectFile
from permitgen.project.sections.utilization import LoadModel
from permitgen.project.sections.wiring import CircuitModel, ControlModel, RacewayModel
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, quoted
from permitgen.system.asked import Demand

WAYS = ("states", "shows", "attaches", "answer")
DOCUMENTS = ("placard", "labels", "calculations", "checklist", "fire notice")
# As views.presence names what an installation has; a test keeps both alike.
THINGS = (
    *("photovoltaic", "energy storage", "generator", "vehicle", "array on a roof", "rapid shutdown", "source in parallel"),
    *("backup", "disputed reading"),
)
_SECTIONS: Mapping[str, type[Section]] = {"circuits": CircuitModel, "raceways": RacewayModel, "control": ControlModel, "loads": LoadModel}


def demand_of(given: DemandModel) -> Demand:
    """Return the demand of a model."""
    return Demand(
        about=given.for_,
        states=given.states,
        of=given.of,
        at_least=given.at_least,
        at_most=given.at_most,
        shows=given.shows,
        on=given.on,
        attaches=given.attaches,
        answer=given.answer,
        section=given.section,
        only_with=given.with_,
        not_with=given.without,
    )


def asked_demands(check: Check, sheets: tuple[str, ...]) -> Iterator[Problem]:
    """A demand is looked for in one way that there is; those of a department stand in its jurisdiction file."""
    jurisdiction = check.models.jurisdiction
    at: Location = ("jurisdiction", "asked")
    if jurisdiction.asked and check.file.file_of(check.where(at)) == check.file.file:
        says = "what a department asked for is kept in its jurisdiction file; there, every project of that department is looked through"
        yield check.problem(at, says, at_key=True)
    for index, each in enumerate(jurisdiction.asked):
        yield from _demand(check, (*at, index), each, sheets)
        for name in each.answered.keys() - each.in_.keys():
            where: Location = (*at, index, "answered", name)
            yield check.problem(where, f"it was not asked in {quoted(name)}{did_you_mean(name, each.in_)}", at_key=True)
    for index, comment in enumerate(check.models.plan_review):
        if comment.keep is not None:
            yield from _kept(check, index)
            yield from _demand(check, ("plan_review", index, "keep"), comment.keep, sheets)


def _kept(check: Check, index: int) -> Iterator[Problem]:
    at: Location = ("plan_review", index, "keep")
    missing = [
        (says, wanted)
        for says, wanted, is_there in (
            ("the comment has no date", "date: beside it", check.models.plan_review[index].date),
            ("the project has no number", "project: number:", check.models.project.number),
        )
        if not is_there
    ]
    for says, wanted in missing:
        yield check.problem(at, f"{says}, so that nobody knows when or where this was asked; expected {wanted}", at_key=True)


def _demand(check: Check, at: Location, given: DemandModel, sheets: tuple[str, ...]) -> Iterator[Problem]:
    told = [way for way in WAYS if getattr(given, way)]
    if len(told) != 1:
        listed = f"{len(told)} are told ({', '.join(told)})" if told else "none is told"
        yield check.problem(at, f"a demand is looked for in one way: {', '.join(WAYS)}; {listed}")
    yield from _things(check, at, given)
    if given.shows and not given.on:
        yield check.problem((*at, "shows"), f"expected on: the document that shows it ({', '.join(DOCUMENTS)} or the number of a sheet)")
    if given.on and not given.shows:
        yield check.problem((*at, "on"), "only words that a document shows are looked for on it; expected shows:", at_key=True)
    if given.on and given.on not in (*DOCUMENTS, *sheets):
        hint = did_you_mean(given.on, (*DOCUMENTS, *sheets))
        yield check.problem((*at, "on"), f"no document is called {quoted(given.on)}{hint}; {_listed((*DOCUMENTS, *sheets))}")
    if given.section and not given.answer:
        yield check.problem((*at, "section"), "a section is that of an answer; expected answer:", at_key=True)
    yield from _figures(check, at, given)


def _things(check: Check, at: Location, given: DemandModel) -> Iterator[Problem]:
    for key, names in (("with", given.with_), ("without", given.without)):
        for name in names:
            if name not in THINGS:
                yield check.problem(
                    (*at, key), f"{quoted(name)} is nothing that an installation has{did_you_mean(name, THINGS)}; {_listed(THINGS)}"
                )


def _listed(names: tuple[str, ...]) -> str:
    return f"known: {', '.join(names)}"


def _figures(check: Check, at: Location, given: DemandModel) -> Iterator[Problem]:
    if not given.states:
        for key in ("of", "at_least", "at_most"):
            if getattr(given, key):
                yield check.problem((*at, key), f"{key} says more of a key that is stated; expected states:", at_key=True)
    elif given.of and given.of not in things_with_keys():
        yield check.unknown((*at, "of"), "no kind of equipment and no section is called", given.of, things_with_keys())
    elif isinstance(found := _declared(given.of, given.states), str):
        yield check.problem((*at, "states"), found)
    else:
        limits = [(key, limit_of(given, text)) for key in ("at_least", "at_most") if (text := getattr(given, key))]
        yield from (check.problem((*at, key), limit) for key, limit in limits if isinstance(limit, str))


def _declared(of: str, path: str) -> FieldInfo | str:
    """Return the field at a dotted path of the things named, or of the whole file; what is wrong with it where there is none."""
    model: type[Section] = things_with_keys()[of] if of else ProjectFile
    steps = path.split(".")
    for depth, step in enumerate(steps):
        names = {field.alias or name: field for name, field in model.model_fields.items()}
        if step not in names:
            where = ".".join((*([of] if of else []), *steps[:depth])) or "a project file"
            return f"{where} has no key {quoted(step)}{did_you_mean(step, names)}"
        if depth == len(steps) - 1:
            return names[step]
        below = next(_models_in(names[step].annotation), None)
        if below is None:
            return f"{'.'.join(steps[: depth + 1])} has no keys below it"
        if _is_of_many(names[step].annotation):
            return (
                f"{'.'.join(steps[: depth + 1])} holds several things; name their kind or section with of:, and the key below one of them"
            )
        model = below
    return f"{quoted(path)} is not a key"


def _is_of_many(annotation: Any) -> bool:
    return any(getattr(part, "__origin__", None) in (dict, list) for part in (annotation, *get_args(annotation)))


def _models_in(annotation: Any) -> Iterator[type[Section]]:
    if isinstance(annotation, type) and issubclass(annotation, Section):
        yield annotation
    for part in get_args(annotation):
        yield from _models_in(part)


@cache
def things_with_keys() -> dict[str, type[Section]]:
    """Return what has keys of its own: kinds of equipment, and sections whose entries have tags."""
    kinds = {str(get_args(model.model_fields["kind"].annotation)[0]): model for model in _models_in(EquipmentEntry)}
    return {**kinds, **_SECTIONS}


def limit_of(demand: DemandModel | Demand, text: str) -> float | str:
    """Return a limit in the unit of the key that it limits, or in words what is wrong with it."""
    found = _declared(demand.of, demand.states)
    if isinstance(found, str):
        return found
    try:
        read = _adapter(found).validate_python(text)
    except ValidationError as error:
        said = error.errors()[0]["msg"].removeprefix("Value error, ")
        return f"{quoted(text)} is no limit of {demand.states}: {said}"
    number = number_of(read)
    return number if number is not None else f"{demand.states} is no figure, and has no limit"


def _adapter(field: FieldInfo) -> TypeAdapter[Any]:
    annotation: Any = Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
    return TypeAdapter(annotation)


def number_of(value: object) -> float | None:
    """Return the number of a figure as it was read; the worst of several sources is not chosen here: the first counts. None: no figure."""
    if isinstance(value, Measured):
        return value.number
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


@dataclass(frozen=True, slots=True)
class StatedKey:
    """A key of one thing of a project, in full, and what the project states there: None where nothing, or that it is unknown."""

    path: str
    said: str | None
    number: float | None


def stated_keys(models: ProjectFile, demand: Demand) -> tuple[StatedKey, ...]:
    """Return the key of a demand at each thing that it is asked of, in the order of the file; none where the project has no such thing."""
    steps = demand.states.split(".")
    if not demand.of:
        return (_stated((), models, steps),)
    section = demand.of if demand.of in _SECTIONS else "equipment"
    entries: Mapping[str, Any] = getattr(models, section)
    wanted = things_with_keys()[demand.of]
    return tuple(_stated((section, tag), entry, steps) for tag, entry in entries.items() if isinstance(entry, wanted))


def _stated(above: tuple[str, ...], model: Any, steps: Sequence[str]) -> StatedKey:
    found: Any = model
    for step in steps:
        name = next((name for name, field in type(found).model_fields.items() if (field.alias or name) == step), None) if found else None
        found = getattr(found, name) if name is not None else None
    said = None if found in (None, "", (), []) or found == {} else getattr(found, "text", str(found))
    return StatedKey(".".join((*above, *steps)), said, number_of(found))
