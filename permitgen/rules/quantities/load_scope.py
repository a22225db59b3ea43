"""Which loads hang on a part of the installation, each with its power, kind and leg."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.code.equations.loads import power_of_current_va
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.building_use import is_elsewhere
from permitgen.rules.quantities.circuit_current import circuit_volts, line_to_line
from permitgen.rules.quantities.dwelling_kind import ONE_FAMILY
from permitgen.rules.quantities.dwelling_units import (
    house_has_no_units,
    is_in_floor_area,
    is_of_several_dwellings,
    places_of_unit,
    unit_at,
    whole_units,
)
from permitgen.rules.quantities.load_known_places import is_all_known, known_within, outermost
from permitgen.rules.quantities.load_power import load_power
from permitgen.rules.quantities.vehicle_supply import charging_current
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.utilization import Appliance, EVSupplyEquipment
from permitgen.system.site.building import DwellingUnit
from permitgen.system.walks.behind import nodes_behind

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from permitgen.rules.given import Given
    from permitgen.rules.quantities.dwelling_units import Dwelling
    from permitgen.system.known_load import KnownLoad
    from permitgen.values.value import Value

CATEGORIES = frozenset(
    {
        "general",
        "cooking",
        "dryer",
        "water heater",
        "fixed appliance",
        "motor",
        "space heating",
        "supplemental heat",
        "air conditioning",
        "heat pump",
        "ev supply equipment",
    }
)

MANAGEMENT_SETTING = "load_management_setting"
EITHER_LEG = "either"
COMFORT = ("space heating", "supplemental heat", "air conditioning", "heat pump")


@dataclass(frozen=True, slots=True)
class CountedLoad:
    """One load; ``is_new`` is None where the project does not say.

    ``leg`` is ``L1``, ``L2``, ``both`` or ``either`` (one of them, nobody says which), empty where the project does not say.
    ``is_beside_floor_area`` says of a general load that no floor area of the scope counts it. ``held_by`` is the tag of the nearest
    equipment ahead whose load management limits what lies behind it, empty where there is none.
    """

    tag: str
    name: str
    category: str
    power_va: Value
    leg: str
    is_new: bool | None
    shed: str
    is_beside_floor_area: bool = True
    held_by: str = ""

    @property
    def is_managed(self) -> bool:
        """Whether load management holds it down whenever demand is high: it is shed then, or lies behind a setting."""
        return self.shed == "always" or bool(self.held_by)


@dataclass(frozen=True, slots=True)
class LoadScope:
    """The loads behind ``title``.

    ``is_whole_dwelling`` says that no load of the house is left out; loads in other buildings may be. ``dwellings`` are those whose
    floor area gives the general load here; ``is_one_unit`` says that this is the whole load of one dwelling unit and of no other,
    None where the kind of dwelling is not stated.
    ``charging`` are storage units that take their charge here. ``known`` are loads that are known as one figure; they are not among
    ``loads``. ``is_known`` says that nothing else is there but what the project adds. ``is_of_source`` says that a source is asked for
    the load, not conductors and devices, which take a quarter more of what is continuous.
    """

    title: str
    loads: tuple[CountedLoad, ...]
    charging: tuple[EnergyStorageSystem, ...]
    is_whole_dwelling: bool
    dwellings: tuple[Dwelling, ...] = ()
    is_one_unit: bool | None = False
    known: tuple[KnownLoad, ...] = ()
    is_known: bool = False
    is_of_source: bool = False

    @property
    def is_empty(self) -> bool:
        """Whether the project states no load here, neither listed nor as one figure."""
        return not self.loads and not self.known

    def of(self, *categories: str) -> tuple[CountedLoad, ...]:
        """Return the loads of some categories."""
        return tuple(load for load in self.loads if load.category in categories)

    @property
    def unmanaged(self) -> LoadScope:
        """The scope without the loads that load management holds down."""
        return replace(self, loads=tuple(load for load in self.loads if not load.is_managed))

    def without(self, shed: Collection[str]) -> LoadScope:
        """Return the scope without the loads that are shed in the ways named (``island``, ``always``)."""
        kept = tuple(load for load in self.loads if load.shed not in shed)
        return replace(self, loads=kept)


def scope_on(given: Given, nodes: Collection[str], title: str) -> LoadScope:
    """Return the loads on a set of nodes.

    Raises:
        MissingFactError: the power of a load is not stated, or its category is not one the load calculation knows.
    """
    system = given.system
    known, covered = known_within(given, nodes)
    listed = [tag for tag, load in system.loads.items() if f"{load.panel}.bus" in nodes]
    loads = [_of_load(given, tag) for tag in listed if f"{system.loads[tag].panel}.bus" not in covered or _is_added(given, tag)]
    tags = given.once_for_topology("nodes of loads", lambda: {f"{tag}.input": (n, tag) for n, tag in enumerate(system.equipment)})
    uses = [system.equipment[tag] for _, tag in sorted(tags[node] for node in nodes if node in tags)]
    equipment = [item for item in uses if f"{item.tag}.input" not in covered or _is_new(item.status) is not False]
    loads += [_of_charger(given, item) for item in equipment if isinstance(item, EVSupplyEquipment)]
    loads += [_of_appliance(given, item) for item in equipment if isinstance(item, Appliance)]
    units = given.once_for_topology("storage units", lambda: _storage_units(given))
    storage = [unit for unit in units if f"{unit.tag}.output" in nodes]
    charging = tuple(item for item in storage if item.coupling == "ac" and item.answer("charges_from_utility") is not False)
    everything = given.once_for_topology("loads of the house", lambda: _loads_of_house(given))
    behind = {*listed, *(item.tag for item in uses if item.is_counted_load)}
    is_whole = _is_whole(behind, everything, _number_of_loads(given)) and len(known) == len(outermost(given))
    whole = _dwellings(given, nodes, is_whole=is_whole)
    dwellings = tuple(dwelling for dwelling in whole if not _is_covered(given, dwelling, covered))
    counted = {load.tag for load in loads if load.category == "general" and is_in_floor_area(given, place_of(given, load.tag), dwellings)}
    holders = given.once_for_topology("load management ahead", lambda: _holders(given))
    loads = [replace(load, is_beside_floor_area=load.tag not in counted, held_by=_holder(given, load, holders)) for load in loads]
    return LoadScope(
        title,
        tuple(loads),
        charging,
        is_whole,
        dwellings=dwellings,
        is_one_unit=_is_one_unit(given, behind, whole),
        known=known,
        is_known=bool(known) and is_all_known(given, nodes, covered),
    )


def _holders(given: Given) -> tuple[tuple[str, Collection[str]], ...]:
    """Return the equipment with a setting of load management and what lies behind it, the one with the least behind it first."""
    settings = (item.tag for item in given.system.equipment.values() if item.fact(MANAGEMENT_SETTING) is not None)
    return tuple(sorted(((tag, nodes_behind(given.system, tag)) for tag in settings), key=lambda each: len(each[1])))


def _holder(given: Given, load: CountedLoad, holders: Sequence[tuple[str, Collection[str]]]) -> str:
    listed = given.system.loads.get(load.tag)
    node = f"{listed.panel}.bus" if listed is not None else f"{load.tag}.input"
    return next((tag for tag, behind in holders if node in behind), "")


def is_ahead_of_loads(given: Given, tag: str) -> bool:
    """Whether loads lie behind equipment, so that its setting holds these."""
    behind = nodes_behind(given.system, tag)
    panels = any(f"{load.panel}.bus" in behind for load in given.system.loads.values())
    return panels or any(
        f"{item.tag}.input" in behind for item in given.system.equipment.values() if item.tag != tag and item.is_counted_load
    )


def _dwellings(given: Given, nodes: Collection[str], *, is_whole: bool) -> tuple[Dwelling, ...]:
    """Return the dwellings of which no load is left out on ``nodes``."""
    house = (given.system.site,) if is_whole and house_has_no_units(given) else ()
    return (*house, *whole_units(given, nodes))


def _is_covered(given: Given, dwelling: Dwelling, covered: Collection[str]) -> bool:
    """Whether the load of a dwelling unit is known as one figure, its lighting and receptacles among it."""
    return isinstance(dwelling, DwellingUnit) and places_of_unit(given, dwelling) <= set(covered)


def place_of(given: Given, tag: str) -> str:
    """Return the panel of a listed load, or the equipment itself."""
    return given.system.loads[tag].panel if tag in given.system.loads else tag


def _is_one_unit(given: Given, tags: Collection[str], dwellings: tuple[Dwelling, ...]) -> bool | None:
    """Whether loads are those of one dwelling unit, with what hangs on its buildings that nobody lives in; None where nobody says."""
    places = {place_of(given, tag) for tag in tags}
    if len(dwellings) != 1 or is_of_several_dwellings(given, places):
        return False
    if given.system.site in dwellings:
        kind = given.system.site.stated_dwelling
        return None if not kind else kind in ONE_FAMILY and not any(unit_at(given, place) for place in places)
    return all(unit_at(given, place) in dwellings or is_elsewhere(given, place) for place in places)


def _is_added(given: Given, tag: str) -> bool:
    """Whether a listed load behind a known figure comes on top of it."""
    return given.need(given.system.loads[tag].is_new, f"whether {tag} is new")


def _storage_units(given: Given) -> tuple[EnergyStorageSystem, ...]:
    return tuple(item for item in given.system.equipment.values() if isinstance(item, EnergyStorageSystem))


def _number_of_loads(given: Given) -> int:
    return len(given.system.loads) + sum(item.is_counted_load for item in given.system.equipment.values())


def _loads_of_house(given: Given) -> frozenset[str]:
    """Return the loads that are not known to be in another building, nor in a unit where the house itself is told apart from the units."""
    system = given.system
    items = {tag for tag, item in system.equipment.items() if item.is_counted_load}
    found = {tag for tag in {*system.loads, *items} if not is_elsewhere(given, place_of(given, tag))}
    if house_has_no_units(given):
        found = {tag for tag in found if unit_at(given, place_of(given, tag)) is None}
    return frozenset(found)


def _is_whole(tags: set[str], of_house: frozenset[str], number: int) -> bool:
    return of_house <= tags if of_house else len(tags) == number


def _known(category: str, tag: str) -> str:
    if category not in CATEGORIES:
        raise MissingFactError(
            f'category of {tag} that the load calculation knows ("{category}" is none of: {", ".join(sorted(CATEGORIES))})'
        )
    return category


def _of_load(given: Given, tag: str) -> CountedLoad:
    load = given.system.loads[tag]
    return CountedLoad(
        tag,
        load.name,
        _known(load.category, tag),
        load_power(given, load),
        load.stated_leg,
        load.is_new,
        load.shed,
    )


def _of_charger(given: Given, item: EVSupplyEquipment) -> CountedLoad:
    current = charging_current(given, item)
    power = power_of_current_va.derive(current_a=current, volts_v=line_to_line(given), symbol=f"S_{item.tag}", title=f"power of {item.tag}")
    return CountedLoad(item.tag, item.name, "ev supply equipment", power, "both", _is_new(item.status), item.word("shed") or "none")


def _of_appliance(given: Given, item: Appliance) -> CountedLoad:
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(item.tag, ())]
    one_leg = bool(circuits) and circuits[0].conductors.ungrounded_count == 1
    power = item.power_va
    if power is None:
        current = given.need(item.current_a, f"rated power of {item.tag}")
        volts = circuit_volts(given, circuits[0]) if circuits else line_to_line(given)
        power = power_of_current_va.derive(current_a=current, volts_v=volts, title=f"power of {item.tag}")
    category = _known(item.category, item.tag)
    leg = EITHER_LEG if one_leg else "both"
    return CountedLoad(item.tag, item.name, category, power.named(f"S_{item.tag}"), leg, _is_new(item.status), item.word("shed") or "none")


def _is_new(status: str) -> bool | None:
    return {"new": True, "existing": False, "replaced": False}.get(status)
