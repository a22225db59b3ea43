"""What an inverter converts and how a storage unit is coupled, read off what their circuits lead to where the file does not say."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from permitgen.system.equipment.kinds import KINDS


def inverter_energy(models: Any, tag: str) -> str:
    """Return ``photovoltaic`` or ``energy storage``; empty where neither the file nor a dc circuit tells."""
    item = models.equipment[tag]
    stated: str = item.energy
    kinds = {models.equipment[end].kind for end, _ in _ends_reached(models, tag, lambda terminal: is_dc_terminal(item, terminal))}
    told = "photovoltaic" if "pv_array" in kinds else "energy storage" if "energy_storage_system" in kinds else ""
    return stated or told


def is_dc_terminal(inverter: Any, terminal: str) -> bool:
    """Whether a terminal of an inverter's model is a dc port; where no ports are described, every one but ``ac`` is."""
    if inverter.ports:
        return terminal in inverter.ports and inverter.ports[terminal].kind in ("photovoltaic", "battery")
    return terminal not in ("", "ac")


def storage_coupling(models: Any, tag: str) -> str:
    """Return ``ac`` or ``dc``; empty where neither the file nor a circuit tells."""
    stated: str = models.equipment[tag].coupling
    for end, terminal in () if stated else _ends_reached(models, tag, lambda _terminal: True):
        item = models.equipment[end]
        if item.kind == "inverter":
            return "dc" if is_dc_terminal(item, terminal) else "ac"
        if KINDS[item.kind].is_ac_only:
            return "ac"
    return stated


def _ends_reached(models: Any, tag: str, leaves_by: Any) -> Iterator[tuple[str, str]]:
    """Yield (tag, terminal) of the equipment to which circuits lead, through boxes and switches."""
    waiting, seen = [tag], {tag}
    while waiting:
        here = waiting.pop()
        for circuit in models.circuits.values():
            ends = [end.partition(".")[::2] for end in (circuit.from_, circuit.to)]
            for (near, near_terminal), (far, far_terminal) in (ends, ends[::-1]):
                if near != here or (here == tag and not leaves_by(near_terminal)) or far not in models.equipment or far in seen:
                    continue
                if KINDS[models.equipment[far].kind].leads_on:
                    seen.add(far)
                    waiting.append(far)
                else:
                    yield far, far_terminal
