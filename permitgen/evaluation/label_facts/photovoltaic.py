"""Facts about PV systems: their disconnects, dc circuits, and rapid shutdown."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.services import service_locations_of_pv
from permitgen.evaluation.label_facts.subject import Fact, Found, LabelSubject, each_once, on_equipment, on_handle
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.array_buildings import touches_building
from permitgen.rules.quantities.siting_buildings import building_of
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.system.walks.circuit_sides import CircuitRole, role_of
from permitgen.system.walks.dc_circuits import strings_joined
from permitgen.system.walks.pv_disconnects import inverters_of, pv_disconnects
from permitgen.system.walks.rapid_shutdown import arrays_of, initiators
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.raceway import Raceway
    from permitgen.system.system import System

_INCHES_PER_FOOT = 12
_FEET_PER_MARKING = 10


def is_pv_system_disconnect(evaluation: Evaluation) -> Found:
    """The handles that part each PV system from all other wiring, else the switch in its inverter; None where that is not stated."""
    system = evaluation.system
    found: list[LabelSubject] = []
    for array in arrays_of(system):
        handles = pv_disconnects(system, array)
        found += [on_handle(system, handle) for handle in handles]
        inverters = () if handles else inverters_of(system, array)
        answers = [inverter.answer("dc_disconnect") for inverter in inverters]
        if None in answers:
            return None
        found += [on_equipment(inverter) for inverter, answer in zip(inverters, answers, strict=True) if answer]
    return each_once(found)


def pv_system_has_dc_circuits(evaluation: Evaluation) -> Found:
    """Where the dc voltage of each PV system is marked: at its inverters, else at the equipment its branches land on.

    The dc leads of modules with microinverters are dc circuits too, unless modules and inverters are listed as ac modules. An
    edition that asks for the marking at dc disconnects only does not reach them.
    """
    marking = evaluation.given.code.provision("pv_voltage_marking")
    at_disconnects_only = marking.is_in_force and marking.flag("at_dc_disconnects_only")
    marked = [array for array in arrays_of(evaluation.system) if array.strings or not at_disconnects_only]
    tags = dict.fromkeys(tag for array in marked for tag in dc_marking_places(evaluation.system, array))
    return tuple(on_equipment(evaluation.system.equipment[tag]) for tag in tags)


def dc_marking_places(system: System, array: PVArray) -> tuple[str, ...]:
    """Return the tags of the equipment that bears the dc voltage of an array: its inverters, else where its branches land."""
    if array.strings:
        return tuple(item.tag for item in inverters_of(system, array)) or (array.tag,)
    if array.module_inverter is None or array.module_inverter.is_ac_module:
        return ()
    return tuple(item.tag for item in _distribution_of(system, array))


def _distribution_of(system: System, array: PVArray) -> tuple[Equipment, ...]:
    """Return the first equipment with a busbar on the way from the array's branches."""
    nodes = {bus.node: bus.tag for bus in system.busbars.values()}
    found = system.graph.reach([f"{array.tag}.{name}" for name in array.branches], lambda _: True)
    return next(((system.equipment[nodes[node]],) for node in found if node in nodes), ())


def _pv_dc_circuits(system: System) -> Iterator[Circuit]:
    """Yield the dc circuits of PV; those of a battery are none."""
    return (circuit for circuit in system.circuits.values() if circuit.is_dc and role_of(system, circuit) is CircuitRole.PV_DC)


def exposed_pv_dc_wiring_on_or_in_building(evaluation: Evaluation) -> Found:
    """Runs and boxes of PV dc circuits on or in a building: one marking for every ten feet.

    None where a run's length is not given, or nobody says whether it is at a building. Single conductors in free air within the array
    tell by their place what they are; what lies in the earth is not exposed.
    """
    system = evaluation.system
    found: list[LabelSubject] = []
    for circuit in _pv_dc_circuits(system):
        in_the_field = _is_of_arrays_in_the_field(system, circuit)
        boxes = [system.equipment[end.tag] for end in circuit.ends if system.equipment[end.tag].kind == "junction_box"]
        found += [on_equipment(box) for box in boxes if not (in_the_field and _stands_in_the_open(evaluation, box))]
        for tag in circuit.runs:
            run = system.raceways[tag]
            if run.is_free_air or run.exposed is False or run.underground:
                continue
            there = _is_at_building(run) if in_the_field else True
            if there is False:
                continue
            if there is None or run.length_ft is None:
                return None
            inches = round(run.length_ft.number * _INCHES_PER_FOOT, 6)
            count = max(1, int(-(-inches // (_FEET_PER_MARKING * _INCHES_PER_FOOT))))
            found.append(LabelSubject(tag, f"{run.kind} {tag}, {run.location}".rstrip(", "), None, count))
    return each_once(found)


def pv_dc_circuits_embedded_in_roofing(evaluation: Evaluation) -> Found:
    """Runs of PV dc circuits that lie within the roofing; None where one may and nobody says.

    What is in plain view, above the roof, under the modules, in free air, inside or in the earth does not.
    """
    system = evaluation.system
    runs = {tag: system.raceways[tag] for circuit in _pv_dc_circuits(system) for tag in circuit.runs}
    answers = {tag: _is_embedded(run) for tag, run in runs.items()}
    if None in answers.values():
        return None
    return tuple(LabelSubject(tag, f"{runs[tag].kind} {tag}, {runs[tag].location}".rstrip(", "), None) for tag in runs if answers[tag])


def _is_embedded(run: Raceway) -> bool | None:
    if (stated := run.answer("embedded_in_roofing")) is not None:
        return stated
    elsewhere = run.is_free_air or run.above_roof_in is not None or run.answer("within_array") or run.exposed
    return False if elsewhere or run.inside or run.underground or run.wet is False else None


def _is_of_arrays_in_the_field(system: System, circuit: Circuit) -> bool:
    """Whether a circuit comes from arrays that stand on no building: then only what runs at one is marked."""
    tags = {source.tag for source in strings_joined(system, f"{circuit.tag}.start")}
    arrays = [array for array in arrays_of(system) if array.tag in tags]
    return bool(arrays) and all(is_array_on_building(array) is False for array in arrays)


def _is_at_building(run: Raceway) -> bool | None:
    if run.inside or run.on_building or run.above_roof_in is not None:
        return True
    return run.inside


def _stands_in_the_open(evaluation: Evaluation, box: Equipment) -> bool:
    try:
        return box.place is not None and bool(box.place.outdoors) and not building_of(evaluation.given, box.tag)
    except MissingFactError:
        return False


def pv_dc_conductors_at_terminations(evaluation: Evaluation) -> Found:
    """Both ends of every PV dc circuit."""
    return tuple(LabelSubject(circuit.tag, circuit.name, None, 4) for circuit in _pv_dc_circuits(evaluation.system))


def pv_circuits_on_or_in_building(evaluation: Evaluation) -> Found:
    """The service locations to which PV connects, where its circuits are on or in a building; None where an array does not say.

    What the code frees from rapid shutdown does not count: nothing there would shut down.
    """
    free = {found.subject for found in evaluation.findings_of("rapid-shutdown-required") if found.verdict is Verdict.DOES_NOT_APPLY}
    answers = [touches_building(evaluation.given, array) for array in arrays_of(evaluation.system) if array.tag not in free]
    if any(answers):
        return service_locations_of_pv(evaluation)
    return None if None in answers else ()


def is_rapid_shutdown_initiator(evaluation: Evaluation) -> Found:
    """Devices that start rapid shutdown, a service or PV disconnect in that role among them."""
    return tuple(on_equipment(initiator.item) for initiator in initiators(evaluation.system) if initiator.arrays)


def rapid_shutdown_controls_array(evaluation: Evaluation) -> Found:
    """The service locations, where every array is controlled inside its boundary; None where an array does not say."""
    arrays = arrays_of(evaluation.system)
    known = [
        array.module_inverter is not None or array.is_hazard_control_listed or array.modules_per_shutdown_unit is not None
        for array in arrays
    ]
    return service_locations_of_pv(evaluation) if arrays and all(known) else None


def pv_systems_differ_in_rapid_shutdown(evaluation: Evaluation) -> Found:
    """The service locations, where some array has an initiator and some array has none."""
    system = evaluation.system
    covered = {tag for initiator in initiators(system) for tag in initiator.arrays}
    on_building = [array for array in arrays_of(system) if touches_building(evaluation.given, array)]
    with_one = [array for array in on_building if array.tag in covered]
    return service_locations_of_pv(evaluation) if with_one and len(with_one) < len(on_building) else ()


def pv_systems_remote_from_each_other(evaluation: Evaluation) -> Found:
    """The PV disconnects, where arrays stand on different buildings."""
    buildings = {array.on_building for array in arrays_of(evaluation.system)}
    return is_pv_system_disconnect(evaluation) if len(buildings) > 1 else ()


FACTS: dict[str, Fact] = {
    fact.__name__: fact
    for fact in (
        is_pv_system_disconnect,
        pv_system_has_dc_circuits,
        exposed_pv_dc_wiring_on_or_in_building,
        pv_dc_circuits_embedded_in_roofing,
        pv_dc_conductors_at_terminations,
        pv_circuits_on_or_in_building,
        is_rapid_shutdown_initiator,
        rapid_shutdown_controls_array,
        pv_systems_differ_in_rapid_shutdown,
        pv_systems_remote_from_each_other,
    )
}
