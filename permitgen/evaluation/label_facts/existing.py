"""Facts about existing equipment: what it was before this project, and what changed there, so that a label on it is false now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.services import main_disconnects
from permitgen.evaluation.label_facts.subject import Fact, Found, LabelSubject, on_equipment
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.sources_on_busbar import supply_path

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.link import Link
    from permitgen.system.system import System


def _existing(system: System) -> tuple[Equipment, ...]:
    return tuple(item for item in system.equipment.values() if item.status == "existing")


def was_service_disconnect(evaluation: Evaluation) -> tuple[LabelSubject, ...]:
    """Return existing panels with a main breaker, and existing switches, that were the first ones behind the utility.

    Everything that can be opened between them and the utility is new; what took the place of something (``replaced``) was there before.
    """
    system = evaluation.system
    now = {subject.equipment for subject in main_disconnects(evaluation)}
    return tuple(on_equipment(item) for item in _existing(system) if item.tag not in now and _was_first(system, item))


def _was_first(system: System, item: Equipment) -> bool:
    device = getattr(item, "main", None) or (item if item.kind == "disconnect" else None)
    if device is None:
        return False
    nodes = [f"{item.tag}.{name}" for name in ("main", "supply", "line") if name in item.terminals]
    path = supply_path(system, nodes[0], OperatingMode.WITH_UTILITY) if nodes else ()
    ahead = {system.handles[link.handle].tag for link in path if link.handle} - {item.tag}
    return _reaches_utility(system, path) and bool(ahead) and all(system.equipment[tag].status == "new" for tag in ahead)


def _reaches_utility(system: System, path: Sequence[Link]) -> bool:
    return bool(path) and bool({path[-1].first, path[-1].second} & set(system.utility_nodes))


def panel_circuits_changed(evaluation: Evaluation) -> Found:
    """Existing panelboards on whose busbar a new circuit lands."""
    changed = _lands_new(evaluation.system, on_breakers=True)
    return tuple(on_equipment(item) for item in _existing(evaluation.system) if isinstance(item, Panelboard) and item.tag in changed)


def panel_supply_changed(evaluation: Evaluation) -> Found:
    """Existing panelboards with a new circuit on their main terminals."""
    changed = _lands_new(evaluation.system, on_breakers=False)
    return tuple(on_equipment(item) for item in _existing(evaluation.system) if isinstance(item, Panelboard) and item.tag in changed)


def _lands_new(system: System, *, on_breakers: bool) -> set[str]:
    """Tags at which a new circuit lands, on a breaker or on the main terminals."""
    ends = [end for circuit in system.circuits.values() if not circuit.existing for end in circuit.ends]
    supplied = {item.tag: item.supply_terminal for item in system.equipment.values() if isinstance(item, Panelboard)}
    return {end.tag for end in ends if (end.position is not None if on_breakers else end.terminal == supplied.get(end.tag, "main"))}


def neutral_bond_moved(evaluation: Evaluation) -> Found:
    """Existing equipment that was the service disconnect, from which the bond is taken away."""
    system = evaluation.system
    found = was_service_disconnect(evaluation)
    bonds = {subject.tag: system.equipment[subject.tag].neutral_bond for subject in found}
    if None in bonds.values():
        return None
    return tuple(subject for subject in found if (bond := bonds[subject.tag]) is not None and not bond.state.is_bonded)


# Where a label hung before this project, by the fact that asks for it: only what the drawing shows without doubt.
BEFORE = {"is_service_disconnect": was_service_disconnect}

FACTS: dict[str, Fact] = {fact.__name__: fact for fact in (panel_circuits_changed, panel_supply_changed, neutral_bond_moved)}
