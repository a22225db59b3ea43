"""Facts about transfer equipment, island operation, generators, and switches with two live sides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.services import main_disconnects
from permitgen.evaluation.label_facts.sources import is_power_source_disconnect, source_disconnect_of
from permitgen.evaluation.label_facts.subject import Fact, Found, each_once, on_equipment, on_handle
from permitgen.rules.generator.disconnect import switch_of
from permitgen.system.equipment.generator import Generator, PowerInlet
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.neutral_bond import BondState
from permitgen.system.walks.array_place import is_small_dwelling
from permitgen.system.walks.line_and_load import live_on_both_sides

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.system import System

_VA_PER_KW = 1000


def islands_the_premises(evaluation: Evaluation) -> Found:
    """Microgrid interconnect devices and transfer switches."""
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if item.transfers)


def is_transfer_switch(evaluation: Evaluation) -> Found:
    """Transfer switches, which are no interconnect devices."""
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if item.kind == "transfer_switch")


def _has_generator(system: System) -> bool:
    return any(source.kind == "generator" for source in system.sources.values())


def is_optional_standby_transfer_equipment(evaluation: Evaluation) -> Found:
    """The device that transfers to a generator, where the edition asks for its rating to be marked at dwellings too."""
    system = evaluation.system
    marking = evaluation.given.code.provision("transfer_equipment_marking")
    at_dwellings = marking.is_in_force and marking.flag("at_dwellings")
    if not _has_generator(system) or (is_small_dwelling(system) and not at_dwellings):
        return ()
    return islands_the_premises(evaluation)


def has_permanent_standby_source(evaluation: Evaluation) -> Found:
    """The service equipment, where a permanently installed generator stands on the site."""
    generators = [item for item in evaluation.system.equipment.values() if isinstance(item, Generator) and not item.is_portable]
    return main_disconnects(evaluation) if generators else ()


def is_generator_emergency_stop(evaluation: Evaluation) -> Found:
    """The stop of a permanently installed generator, where the edition asks for one outside at this house."""
    system = evaluation.system
    stops = tuple(on_handle(system, handle) for handle in system.handles.values() if handle.kind == "generator stop")
    code = evaluation.given.code
    remote = code.provision("generator_remote_stop")
    if not remote.is_in_force or (is_small_dwelling(system) and code.provision("generator_emergency_shutdown").is_in_force):
        return stops
    limit = remote.value("above_kw").number * _VA_PER_KW
    powers = {item.tag: item.output_va for item in system.equipment.values() if isinstance(item, Generator)}
    if any(powers[stop.equipment] is None for stop in stops):
        return None
    return tuple(stop for stop in stops if (power := powers[stop.equipment]) is not None and power.number > limit)


def generator_disconnect_is_behind_cover(evaluation: Evaluation) -> Found:
    """Permanent generators whose only disconnect is inside their enclosure, where the edition permits that (445.18(A), 2023)."""
    permitted = evaluation.given.code.provision("generator_disconnect")
    if permitted.is_in_force and not permitted.flag("inside_housing_permitted"):
        return ()
    items = evaluation.system.equipment.values()
    machines = [item for item in items if isinstance(item, Generator) and not item.is_portable and item.has_disconnect is not False]
    alone = [item for item in machines if switch_of(item, evaluation.given) is None]
    inside = [item for item in alone if item.answer("disconnect_inside_housing") is not False]
    is_known = permitted.is_in_force and all(item.answer("disconnect_inside_housing") for item in inside)
    return tuple(on_equipment(item) for item in inside) if is_known or not inside else None


def is_generator_inlet(evaluation: Evaluation) -> Found:
    """Power inlets; a portable generator for which the project describes none stands for its own."""
    items = evaluation.system.equipment.values()
    inlets = [item for item in items if isinstance(item, PowerInlet)]
    taken = {inlet.generator for inlet in inlets}
    machines = [item for item in items if isinstance(item, Generator) and item.is_portable and item.tag not in taken]
    return tuple(on_equipment(item) for item in (*inlets, *machines))


def _opens_neutral(system: System) -> bool | None:
    """Whether some transfer equipment opens the neutral; None where one of them does not say."""
    answers = [_switches_neutral(item) for item in system.equipment.values() if item.transfers]
    return None if None in answers else any(answers)


def _switches_neutral(item: object) -> bool | None:
    if isinstance(item, MicrogridInterconnectDevice):
        return item.contactor_switches_neutral
    found: bool | None = getattr(item, "switches_neutral", None)
    return found


def transfer_equipment_switches_neutral(evaluation: Evaluation) -> Found:
    """Inlets behind transfer equipment that opens the neutral; None where the equipment does not say."""
    inlets = is_generator_inlet(evaluation) or ()
    opens = _opens_neutral(evaluation.system) if inlets else False
    if opens is None:
        return None
    return inlets if opens else ()


def alternate_source_grounded_through_normal_equipment(evaluation: Evaluation) -> Found:
    """The service equipment, where a generator's neutral is grounded through it because no transfer equipment opens the neutral."""
    if not _has_generator(evaluation.system):
        return ()
    opens = _opens_neutral(evaluation.system)
    if opens is None:
        return None
    return () if opens else main_disconnects(evaluation)


def generator_bonding_modified_in_field(evaluation: Evaluation) -> Found:
    """Generators whose neutral bond was changed from the marked factory state; None where one does not say."""
    machines = [item for item in evaluation.system.equipment.values() if isinstance(item, Generator)]
    changed = {machine.tag: _bond_is_changed(machine) for machine in machines}
    if None in changed.values():
        return None
    return tuple(on_equipment(machine) for machine in machines if changed[machine.tag])


def _bond_is_changed(machine: Generator) -> bool | None:
    """What nobody can change at the machine is as the factory left it."""
    bond = machine.neutral_bond
    if bond is not None and bond.state in (BondState.FACTORY_FIXED, BondState.NONE_POSSIBLE):
        return False
    return machine.answer("bond_changed")


def line_and_load_live_when_open(evaluation: Evaluation) -> Found:
    """Switches, and breakers that are the disconnect of a source, with both sides possibly live while they are open."""
    system = evaluation.system
    kinds = ("disconnect", "source disconnect", "service disconnect", "main breaker", "energy storage disconnect")
    of_sources = [source_disconnect_of(system, source) for source in system.sources.values() if source.is_ac]
    handles = [handle for handle in system.handles.values() if handle.kind in kinds]
    handles += [handle for handle in of_sources if handle is not None and handle not in handles]
    return each_once(on_handle(system, handle) for handle in handles if live_on_both_sides(system, handle.id))


def disconnect_purpose_not_evident(evaluation: Evaluation) -> Found:
    """Switches in an enclosure of their own that no other label names."""
    named = {subject.tag for subject in is_power_source_disconnect(evaluation) or ()}
    items = evaluation.system.equipment.values()
    plain = [item for item in items if item.kind == "disconnect" and getattr(item, "purpose", "") == "maintenance"]
    return tuple(on_equipment(item) for item in plain if item.tag not in named)


def isolating_device_not_rated_to_interrupt(evaluation: Evaluation) -> Found:
    """Switches stated not to be load-break rated."""
    items = evaluation.system.equipment.values()
    return tuple(on_equipment(item) for item in items if getattr(item, "is_load_break", None) is False)


FACTS: dict[str, Fact] = {
    fact.__name__: fact
    for fact in (
        islands_the_premises,
        is_transfer_switch,
        is_optional_standby_transfer_equipment,
        has_permanent_standby_source,
        is_generator_emergency_stop,
        generator_disconnect_is_behind_cover,
        is_generator_inlet,
        transfer_equipment_switches_neutral,
        alternate_source_grounded_through_normal_equipment,
        generator_bonding_modified_in_field,
        line_and_load_live_when_open,
        disconnect_purpose_not_evident,
        isolating_device_not_rated_to_interrupt,
    )
}
