"""The electrodes present make a grounding electrode system that stands on more than one rod.

A single rod, pipe or plate has a second electrode unless it measures 25 Ω or less; a water pipe always has another electrode
beside it, because pipes are replaced by plastic.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, not_judged, require, require_at_least, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.grounding_electrodes import is_untouched, kinds_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "grounding-electrodes",
    title="The electrodes present make a grounding electrode system that stands on more than one rod",
    provision="grounding_electrodes",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge the number and kind of electrodes.

    Requires: a second electrode beside a single rod, pipe or plate, or 25 Ω or less; another electrode beside a water pipe, which counts
        from 10 ft of metal in the earth; rods at least 6 ft apart.
    Why: one rod in dry earth may have hundreds of ohms, and then lightning finds other ways.
    Applies to: the grounding electrode system of the building.
    Example that fails: one ground rod of 40 Ω, no second one. Not measured, it is a question: it may need none.
    Example that passes: a concrete-encased electrode and a ground rod.
    """
    if "electrodes" in item.absent:
        return require(fact=False, message=f"{item.tag}: there is no electrode")
    parts = parts_of(lambda: _by_kinds(item, given), lambda: _apart(item, given))
    if not parts:
        parts.append(require(fact=True, message=f"{item.tag}: {' and '.join(item.electrodes)}"))
    return all_of(f"{item.tag}: {' and '.join(item.electrodes)}", parts)


def _by_kinds(item: GroundingElectrodeSystem, given: Given) -> list[Judgement]:
    kinds = kinds_of(item)
    parts = []
    if "water pipe" in kinds:
        others = any(kind != "water pipe" for kind in kinds)
        parts.append(
            require(others, f"{item.tag}: {'another electrode supplements' if others else 'no electrode supplements'} the water pipe")
        )
    if "water pipe" in kinds and not is_untouched(given, item):
        parts += parts_of(lambda: _water_pipe_in_earth(item, given))
    if "rod" in kinds and not set(kinds) & {"concrete-encased", "ring", "structure"}:
        parts.append(_single_rod(item, given, rods=kinds.count("rod")))
    return parts


def _water_pipe_in_earth(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """A water pipe is an electrode only where enough of its metal lies in the earth; a piece of plastic ends what counts."""
    length = given.need(item.fact("water_pipe_in_earth"), f"length of the metal water pipe of {item.tag} in contact with the earth")
    limit = given.provision("grounding_electrodes").value("water_pipe_ft")
    message = f"{item.tag}: {length.length} of metal water pipe in the earth, an electrode from {limit.length}"
    return require_at_least(message, computed=length, limit=limit)


def _apart(item: GroundingElectrodeSystem, given: Given) -> Judgement | None:
    spacing = item.fact("rod_spacing")
    if spacing is None:
        return None
    limit = given.provision("grounding_electrodes").value("electrode_spacing_ft")
    return require_at_least(f"{item.tag}: rods {spacing.length} apart", computed=spacing, limit=limit)


def _single_rod(item: GroundingElectrodeSystem, given: Given, *, rods: int) -> Judgement:
    if rods > 1 or item.second_rod:
        return require(fact=True, message=f"{item.tag}: two rods")
    resistance = item.fact("rod_resistance")
    limit = given.provision("grounding_electrodes").value("single_electrode_ohm")
    role = " supplements the water pipe" if "water pipe" in kinds_of(item) else ""
    if resistance is None:
        ohms = f"resistance of the single rod of {item.tag}"
        return not_judged(ohms if item.second_rod is False else f"second rod of {item.tag}, or its resistance")
    single = require_at_most(f"{item.tag}: a single rod of {resistance.figure} Ω{role}", computed=resistance, limit=limit)
    return (
        single
        if single.holds or item.second_rod is False
        else not_judged(f"second rod of {item.tag}, the single one is above {limit.figure} Ω")
    )
