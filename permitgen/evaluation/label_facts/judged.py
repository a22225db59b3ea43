"""Facts that a rule has already decided: a label reads the rule's own finding, so that both can never say different things."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.provision import ABSENT
from permitgen.evaluation.label_facts.services import main_disconnects
from permitgen.evaluation.label_facts.subject import Fact, Found, each_once, on_equipment, on_handle
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.building_use import is_of_small_dwelling, is_small_dwelling_at
from permitgen.rules.quantities.single_120_supply import sources_of_120_volts
from permitgen.rules.quantities.siting_buildings import outside_supplies
from permitgen.rules.service.outside_dwelling import emergency_disconnect_of
from permitgen.system.equipment.dc_combiner import DCCombiner
from permitgen.system.equipment.disconnect import TransferSwitch
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.system.walks.dc_circuits import dc_nodes, inverters_fed
from permitgen.system.walks.rapid_shutdown import arrays_of
from permitgen.system.walks.source_switches import link_of, separating_handles
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.handle import Handle
    from permitgen.system.system import System


def overcurrent_devices_are_series_rated(evaluation: Evaluation) -> Found:
    """Enclosures with a device whose fault current only a tested series combination covers (110.22, 240.86).

    None where a panel that states such a combination has a device of which it is not known.
    """
    devices, equipment = evaluation.system.devices, evaluation.system.equipment
    found = {f: equipment[devices[f.subject].enclosure] for f in evaluation.findings_of("interrupting-rating")}
    if any(f.verdict is Verdict.NOT_JUDGED and item.fact("series_rating") is not None for f, item in found.items()):
        return None
    held = [item for f, item in found.items() if f.judgement.method == "series combination" and f.judgement.holds]
    return each_once(on_equipment(item) for item in held)


def island_supply_is_120_volts_only(evaluation: Evaluation) -> Found:
    """Panels that the island supplies with 120 V only (710.15(C))."""
    system, given = evaluation.system, evaluation.given
    found = [bus for bus in system.busbars.values() if sources_of_120_volts(given, bus)]
    return each_once(on_equipment(system.equipment[bus.tag]) for bus in found)


def ess_disconnect_out_of_sight(evaluation: Evaluation) -> Found:
    """Storage units whose disconnect is neither in the unit nor in sight of it (706.15)."""
    equipment = evaluation.system.equipment
    found = evaluation.findings_of("ess-disconnect")
    if any(finding.verdict is Verdict.NOT_JUDGED for finding in found):
        return None
    return tuple(on_equipment(equipment[f.subject]) for f in found if f.judgement.holds and f.judgement.method == "lockable")


def is_feeder_emergency_disconnect(evaluation: Evaluation) -> Found:
    """The disconnects outdoors of dwellings that a feeder supplies, where the edition asks for an emergency disconnect there (225.41).

    None where the project does not say whether the buildings are apart, or whether a disconnect stands outdoors and at hand.
    """
    asked_for = evaluation.given.code.provision("outside_emergency_disconnect")
    if asked_for.status == ABSENT:
        return ()
    given = evaluation.given
    supplies = [supply for supply in outside_supplies(given) if supply.building and is_small_dwelling_at(given, supply.building)]
    if supplies and (not asked_for.is_in_force or not all(supply.drawn for supply in supplies)):
        return None
    try:
        found = [emergency_disconnect_of(given, supply) for supply in supplies]
    except MissingFactError:
        return None
    return each_once(on_equipment(item) for item in found if item is not None)


def dc_distribution_is_ungrounded(evaluation: Evaluation) -> Found:
    """Dc combiners and inverters whose dc circuits are stated to be ungrounded; None where an inverter does not say.

    The mark belongs on the dc panelboard: on the combiner where the batteries of an inverter meet in one, else on the inverter.
    """
    inverters = [item for item in evaluation.system.equipment.values() if isinstance(item, Inverter) and item.dc_inputs]
    if any(not item.word("dc_grounding") for item in inverters):
        return None
    ungrounded = [item for item in inverters if item.word("dc_grounding") == "ungrounded"]
    return each_once(on_equipment(found) for item in ungrounded for found in (_combiners_of(evaluation.system, item) or (item,)))


def _combiners_of(system: System, inverter: Inverter) -> tuple[Equipment, ...]:
    nodes = {node for name in inverter.dc_inputs for node in dc_nodes(system, f"{inverter.tag}.{name}")}
    return tuple(item for item in system.equipment.values() if isinstance(item, DCCombiner) and item.bus_node in nodes)


def pv_array_is_solidly_grounded_bipolar(evaluation: Evaluation) -> Found:
    """Bipolar arrays on an inverter whose dc circuits are solidly grounded (690.31)."""
    bipolar = [array for array in arrays_of(evaluation.system) if array.answer("bipolar")]
    return tuple(on_equipment(array) for array in bipolar if _is_solidly_grounded(evaluation, array))


def _is_solidly_grounded(evaluation: Evaluation, array: PVArray) -> bool:
    fed = [inverter for name in array.strings for inverter in inverters_fed(evaluation.system, f"{array.tag}.{name}")]
    return any(inverter.word("dc_grounding") == "solidly grounded" for inverter in fed)


def has_stationary_battery(evaluation: Evaluation) -> Found:
    """Batteries that are no listed storage system (Article 480); None where a dc-coupled one does not say."""
    units = [item for item in evaluation.system.equipment.values() if isinstance(item, EnergyStorageSystem) and item.coupling == "dc"]
    if any(unit.is_listed_system is None for unit in units):
        return None
    return tuple(on_equipment(unit) for unit in units if not unit.is_listed_system)


def is_stationary_battery_emergency_disconnect(evaluation: Evaluation) -> Found:
    """The disconnects of such batteries at a dwelling (480.7(B)); fuses, which are drawn and not switched, are none."""
    system, batteries = evaluation.system, has_stationary_battery(evaluation)
    if batteries is None:
        return None
    tags = {subject.equipment for subject in batteries if is_of_small_dwelling(evaluation.given, subject.equipment) is not False}
    sources = tuple(source for source in system.sources.values() if source.tag in tags)
    handles = [handle for source in sources for handle in separating_handles(system, (source,))]
    switches = [handle for handle in handles if not _is_fuse(system, handle)]
    return each_once(on_handle(system, handle) for handle in switches)


def _is_fuse(system: System, handle: Handle) -> bool:
    link = link_of(system, handle.id)
    return link is not None and link.device is not None and link.device.kind == "fuse" and handle.id not in system.equipment


def premises_have_more_than_one_voltage_system(evaluation: Evaluation) -> Found:
    """The service disconnects, where the utility serves the premises with different voltages (210.5(C), 215.12(C))."""
    services = [item for item in evaluation.system.equipment.values() if isinstance(item, UtilityService)]
    volts = {item.line_to_line_v.number for item in services if item.line_to_line_v is not None}
    return main_disconnects(evaluation) if len(volts) > 1 else ()


def owner_switches_island_by_hand(evaluation: Evaluation) -> Found:
    """Transfer switches that somebody must throw; None where one does not say."""
    switches = [item for item in evaluation.system.equipment.values() if isinstance(item, TransferSwitch)]
    if any(item.is_automatic is None for item in switches):
        return None
    return tuple(on_equipment(item) for item in switches if not item.is_automatic)


FACTS: dict[str, Fact] = {
    "dc_distribution_is_ungrounded": dc_distribution_is_ungrounded,
    "ess_disconnect_out_of_sight": ess_disconnect_out_of_sight,
    "has_stationary_battery": has_stationary_battery,
    "is_feeder_emergency_disconnect": is_feeder_emergency_disconnect,
    "is_stationary_battery_emergency_disconnect": is_stationary_battery_emergency_disconnect,
    "island_supply_is_120_volts_only": island_supply_is_120_volts_only,
    "overcurrent_devices_are_series_rated": overcurrent_devices_are_series_rated,
    "owner_switches_island_by_hand": owner_switches_island_by_hand,
    "premises_have_more_than_one_voltage_system": premises_have_more_than_one_voltage_system,
    "pv_array_is_solidly_grounded_bipolar": pv_array_is_solidly_grounded_bipolar,
    # A combination that the program lets pass is a tested one: nothing else is read from the file.
    "series_rating_is_tested": overcurrent_devices_are_series_rated,
}
