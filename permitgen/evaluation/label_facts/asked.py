"""Marks that an amendment, the fire code as adopted or the utility asks for: named under ``jurisdiction: asks_for`` or by an ordinance."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.services import main_disconnects
from permitgen.evaluation.label_facts.sources import is_interactive_point_of_interconnection
from permitgen.evaluation.label_facts.subject import Fact, Found, on_equipment
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem

if TYPE_CHECKING:
    from collections.abc import Callable

    from permitgen.evaluation.evaluation import Evaluation


def _storage(evaluation: Evaluation) -> Found:
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if isinstance(item, EnergyStorageSystem))


def labels_asked_for(evaluation: Evaluation) -> frozenset[str]:
    """Return the labels that somebody asks for beyond the code: the project file says so, or an ordinance does."""
    by_ordinance = (name for amendment in evaluation.given.code.amendments for name in amendment.additions.labels.required)
    return frozenset((*evaluation.system.jurisdiction.asks_for, *by_ordinance))


def _asked(label: str, where: Callable[[Evaluation], Found]) -> Fact:
    return lambda evaluation: where(evaluation) if label in labels_asked_for(evaluation) else ()


FACTS: dict[str, Fact] = {
    "amendment_asks_for_premises_sign": _asked("local-premises-sign", main_disconnects),
    "fire_code_asks_for_ess_sign": _asked("ess-room-sign", _storage),
    "fire_code_asks_for_installer_sign": _asked("fire-service-installer-info", main_disconnects),
    "fire_code_asks_for_main_disconnect_mark": _asked("fire-code-main-disconnect", main_disconnects),
    "utility_asks_for_ac_disconnect": _asked("utility-ac-disconnect", is_interactive_point_of_interconnection),
}
