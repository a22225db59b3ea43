"""While islanded the storage can absorb all PV that lies on the island."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.energy_storage import absorbable_pv_a
from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, require_at_most
from permitgen.rules.rule import rule
from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


@rule(
    "pv-to-storage-ratio",
    title="While islanded the storage can absorb all PV that lies on the island",
    provision="listed_and_instructed",
    judges="microgrid_interconnect_device",
)
def judge(device: MicrogridInterconnectDevice, given: Given) -> Judgement:
    """Advise on the PV of an island against its battery inverters.

    Requires: PV output on the island ≤ the ratio of the catalog × output of the battery inverters.
    Why: at full sun all load can drop at once; until the PV curtails, the batteries must take everything.
    Applies to: interconnect devices whose instructions state a ratio; one unit out of service is told beside it.
    Example that fails: 60 A of PV, 48 A of storage, ratio 1.0.
    Example that passes: 35 A of PV there.
    """
    ratio = device.fact("pv_per_storage")
    if ratio is None:
        return does_not_apply(f"the instructions of {device.tag} state no ratio of PV to storage")
    reached = given.system.graph.reach([f"{device.tag}.bus"], closed_in(OperatingMode.ISLANDED))
    on_island = [s for s in given.system.sources.values() if s.is_ac and s.node in reached]
    storage = [s for s in on_island if s.kind == "energy storage"]
    solar = [s for s in on_island if s.kind == "photovoltaic"]
    if not storage or not solar:
        return does_not_apply(f"{device.tag}: no PV beside storage on its island")
    pv, battery = _sum(given, solar, "I_PV", "PV on the island"), _sum(given, storage, "I_ESS", "battery inverters of the island")
    provision = given.provision("listed_and_instructed")
    limit = absorbable_pv_a.derive(
        ratio_factor=ratio.named("r", "PV to storage by the instructions"), storage_a=battery, provision=provision
    )
    message = f"{device.tag}: {pv.number:.4g} A of PV on the island, its storage absorbs {limit.number:.4g} A"
    judgement = require_at_most(message, computed=pv, limit=limit, otherwise=Verdict.CAUTION)
    return replace(judgement, doubt=_one_unit_off(given, storage, pv, ratio))


def _sum(given: Given, sources: list[PowerSource], symbol: str, title: str) -> Value:
    outputs = [given.need(s.output_a, f"output current of {s.id}").named(f"I_{s.id}") for s in sources]
    return sum_of(outputs, symbol=symbol, title=title)


def _one_unit_off(given: Given, storage: list[PowerSource], pv: Value, ratio: Value) -> str:
    outputs = sorted(given.need(s.output_a, f"output current of {s.id}").number for s in storage)
    left = ratio.number * sum(outputs[:-1])
    if len(outputs) < 2 or pv.number <= left * (1 + 1e-9):
        return ""
    return f"with one storage unit out of service only {left:.4g} A are absorbed; hold the PV back while a unit is off"
