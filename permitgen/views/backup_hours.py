"""How long the batteries last, for the owner: by scenario and by room, by name and never by tag."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.backup_hours import backup_basis, hours_at, largest_of, power_of, stated_power
from permitgen.views.sentence_grounds import how_it_stands
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from permitgen.evaluation.backup_hours import BackupBasis
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.load import Load
    from permitgen.system.system import System
    from permitgen.values.value import Value
    from permitgen.views.languages import Phrases

_DECIMALS = 1


def backup_lines(evaluation: Evaluation, panels: Sequence[str], phrases: Phrases, *, in_short: bool = False) -> tuple[str, ...]:
    """Return sentences on the hours of backup of what ``panels`` feed while the utility is away; ``in_short``: not room by room."""
    system = evaluation.system
    staying = [load for load in system.loads.values() if load.panel in panels and load.shed != "island"]
    basis = backup_basis(evaluation.given)
    if basis is None:
        return (phrases.say("backup.no_energy"),)
    of_all = tuple(_of_all(basis, staying, phrases))
    if how_it_stands(evaluation, "backup.all") == "denied":
        of_all = (phrases.say("backup.too_much"),)
    told = of_all[:1] if in_short else (*of_all, *_of_rooms(basis, staying, phrases))
    lines = [*told, *_stated(basis, system, phrases)]
    if not lines:
        return (phrases.say("backup.no_loads"),)
    if set(lines) <= {phrases.say("backup.too_much")}:
        return tuple(lines)
    uncounted = (*_uncounted(system, panels, phrases), *_panels_of_unknown_load(system, panels, phrases))
    if uncounted:
        lines.append(phrases.say("backup.uncounted", names=phrases.listed(uncounted)))
    return (*lines, phrases.say("backup.basis", energy=value_text(basis.energy_kwh), percent=value_text(basis.reaching_percent)))


def _of_all(basis: BackupBasis, staying: list[Load], phrases: Phrases) -> Iterator[str]:
    unknown = tuple(_named(load, phrases) for load in staying if load.power_va is None)
    if unknown:
        yield phrases.say("backup.unknown", names=phrases.listed(unknown))
        return
    together = power_of(staying)
    if together is None:
        return
    yield phrases.say("backup.all", hours=_hours(basis, together, phrases))
    largest = largest_of(staying)
    rest = power_of([load for load in staying if load is not largest])
    if largest is not None and rest is not None:
        yield phrases.say("backup.without", name=_named(largest, phrases), hours=_hours(basis, rest, phrases))


def _of_rooms(basis: BackupBasis, staying: list[Load], phrases: Phrases) -> Iterator[str]:
    rooms: dict[str, list[Load]] = {}
    for load in staying:
        if load.room:
            rooms.setdefault(load.room, []).append(load)
    for room, loads in rooms.items():
        names = phrases.listed(tuple(_named(load, phrases) for load in loads))
        power = power_of(loads)
        if power is not None:
            yield phrases.say("backup.room", room=_capital(phrases.place(room)), names=names, hours=_hours(basis, power, phrases))


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _stated(basis: BackupBasis, system: System, phrases: Phrases) -> Iterator[str]:
    for name, average in system.record.scenarios if system.record is not None else ():
        power = stated_power(average)
        said = phrases.own.get(name, name)
        yield phrases.say("backup.stated", name=said, power=value_text(power), hours=_hours(basis, power, phrases))


def _hours(basis: BackupBasis, power: Value, phrases: Phrases) -> str:
    found = hours_at(basis, power)
    full = value_text(found.full_h, decimals=_DECIMALS)
    if found.kept_h is None:
        return phrases.say("backup.hours", full=full)
    return phrases.say("backup.hours.kept", full=full, kept=value_text(found.kept_h, decimals=_DECIMALS))


def _named(load: Load, phrases: Phrases) -> str:
    return phrases.own.get(load.name, load.name) if load.name else phrases.say("load.unnamed")


def _uncounted(system: System, panels: Sequence[str], phrases: Phrases) -> tuple[str, ...]:
    """Return the vehicle chargers that stay on: how long one takes is the driver's, not the house's."""
    fed = {circuit.finish.tag: circuit.start.tag for circuit in system.circuits.values()}
    return tuple(
        phrases.own.get(item.name, item.name) or item.kind.replace("_", " ")
        for tag, item in system.equipment.items()
        if item.is_utilization_equipment and item.word("shed") != "island" and fed.get(tag, "") in panels
    )


def _panels_of_unknown_load(system: System, panels: Sequence[str], phrases: Phrases) -> tuple[str, ...]:
    """Return the panels that stay on of whose loads none is listed: *everything that stays on* does not speak of them."""
    listed = {load.panel for load in system.loads.values()}
    feeding = {circuit.start.tag for circuit in system.circuits.values() if circuit.finish.tag in panels}
    unknown = (tag for tag in panels if tag in system.known_loads or (tag not in listed and tag not in feeding))
    names = (system.equipment[tag].name or tag for tag in unknown)
    return tuple(phrases.say("backup.rest", panel=phrases.own.get(name, name)) for name in names)
