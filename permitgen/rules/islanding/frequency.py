"""The island's highest frequency and the PV inverters' settings belong together: curtail first, then trip."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.energy_storage import zero_output_hz
from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.rule import rule
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.photovoltaic import ModuleInverter, PVArray
from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
    from permitgen.values.value import Value


@rule(
    "island-frequency",
    title="The island's highest frequency and the PV inverters' settings belong together: curtail first, then trip",
    provision="island_frequency",
    judges="microgrid_interconnect_device",
)
def judge(device: MicrogridInterconnectDevice, given: Given) -> Judgement:
    """Advise on the frequencies of an island with PV.

    Requires: PV gives nothing before it trips; it trips at or below the highest frequency that the island goes to.
    Why: a full battery can only push PV back by frequency; PV that does not answer overcharges it or drops the house.
    Applies to: islands of storage with PV on them whose settings are stated.
    Example that fails: droop of 5 percent and a trip at 62 Hz: nothing is given only at 63.04 Hz.
    Example that passes: droop of 2 percent, nothing given at 61.24 Hz.
    """
    inverters = _pv_on_island(device, given)
    if not inverters:
        return does_not_apply(f"{device.tag}: no PV on its island")
    parts = parts_for(inverters.items(), lambda each: _of_inverter(*each, device, given))
    return all_of(f"{device.tag}: PV curtails before it trips, and trips within the island's frequency", parts)


def _pv_on_island(device: MicrogridInterconnectDevice, given: Given) -> dict[str, Inverter | ModuleInverter]:
    reached = given.system.graph.reach([f"{device.tag}.bus"], closed_in(OperatingMode.ISLANDED))
    found: dict[str, Inverter | ModuleInverter] = {}
    for source in given.system.sources.values():
        item = given.system.equipment[source.tag]
        if source.kind != "photovoltaic" or not source.is_ac or source.node not in reached:
            continue
        if isinstance(item, PVArray) and item.module_inverter is not None:
            found[item.tag] = item.module_inverter
        elif isinstance(item, Inverter) and not source.forms_island:
            found[item.tag] = item
    return found


def _of_inverter(tag: str, inverter: Inverter | ModuleInverter, device: MicrogridInterconnectDevice, given: Given) -> list[Judgement]:
    trip = given.need(inverter.trip_hz, f"frequency at which {tag} trips").named("f_trip", f"frequency at which {tag} trips")
    return parts_of(lambda: _trips(tag, trip, device, given), lambda: _curtails(tag, inverter, trip, given))


def _trips(tag: str, trip: Value, device: MicrogridInterconnectDevice, given: Given) -> Judgement:
    title = f"highest frequency of the island of {device.tag}"
    top = given.need(device.fact("island_frequency_high"), title).named("f_max", title)
    message = f"{tag} trips at {trip.figure} Hz, the island goes to {top.figure} Hz"
    return require_at_most(message, computed=trip, limit=top, otherwise=Verdict.CAUTION)


def _curtails(tag: str, inverter: Inverter | ModuleInverter, trip: Value, given: Given) -> Judgement:
    droop = given.need(inverter.droop_percent, f"frequency droop of {tag}").named("k", f"frequency droop of {tag}")
    provision = given.provision("island_frequency")
    zero = zero_output_hz.derive(
        nominal_hz=provision.value("nominal_hz"), dead_band_hz=provision.value("dead_band_hz"), droop_percent=droop, provision=provision
    )
    message = f"{tag} gives nothing at {zero.number:.4g} Hz and trips at {trip.figure} Hz"
    return require_at_most(message, computed=zero, limit=trip, otherwise=Verdict.CAUTION)
