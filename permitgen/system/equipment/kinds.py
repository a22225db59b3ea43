"""Every kind of equipment by the name that a project file gives it, and so what each kind can do before any is built."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from permitgen.system.equipment import (
    dc_combiner,
    disconnect,
    energy_storage_system,
    generator,
    grounding_electrode_system,
    inverter,
    meter_main,
    microgrid_interconnect_device,
    panelboard,
    pass_through,
    photovoltaic,
    utility_service,
    utilization,
)
from permitgen.system.equipment.equipment import Equipment

KINDS: Mapping[str, type[Equipment]] = MappingProxyType(
    {
        each.kind: each
        for each in (
            utility_service.UtilityService,
            pass_through.Meter,
            pass_through.JunctionBox,
            panelboard.Panelboard,
            meter_main.MeterMain,
            dc_combiner.DCCombiner,
            microgrid_interconnect_device.MicrogridInterconnectDevice,
            photovoltaic.PVArray,
            inverter.Inverter,
            energy_storage_system.EnergyStorageSystem,
            generator.Generator,
            generator.PowerInlet,
            disconnect.Disconnect,
            disconnect.TransferSwitch,
            disconnect.RapidShutdownInitiator,
            utilization.EVSupplyEquipment,
            utilization.Appliance,
            utilization.EnergyMonitor,
            grounding_electrode_system.GroundingElectrodeSystem,
        )
    }
)
