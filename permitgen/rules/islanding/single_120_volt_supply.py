"""A 120 V island source feeds a 120/240 V panel only without 240 V outlets and multiwire circuits, below the neutral busbar."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, at_least, does_not_apply, not_judged, require
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.single_120_supply import sources_of_120_volts
from permitgen.rules.rule import rule
from permitgen.system.panel_rows import panel_rows, tells_all_loads
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.circuit import Circuit
    from permitgen.system.power_source import PowerSource


@rule(
    "single-120-supply",
    title="A 120 V island source feeds a 120/240 V panel only without 240 V outlets and multiwire circuits, below the neutral busbar",
    provision="single_120_volt_island_supply",
    judges="busbar",
)
def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge a panel that the island supplies with 120 V only.

    Requires: no 240 V outlet, no multiwire branch circuit, and the sum of the sources less than the neutral busbar's rating.
    Why: in a multiwire circuit on one 120 V source both legs add up in the neutral instead of cancelling.
    Applies to: panels whose island sources all give 120 V.
    Example that fails: two 120 V inverters of 100 A on a neutral busbar of 200 A.
    Example that passes: one of 100 A on it, with 120 V circuits only.
    """
    sources = sources_of_120_volts(given, busbar)
    if not sources:
        return does_not_apply(f"{busbar.tag}: it feeds no loads, or its island is not supplied with 120 V only")
    return all_of(f"{busbar.tag}: 120 V circuits only, sources below its neutral busbar", list(_parts(busbar, sources, given)))


def _parts(busbar: Busbar, sources: tuple[PowerSource, ...], given: Given) -> Iterator[Judgement]:
    two_pole = [c.tag for c in _branches(busbar, given) if c.conductors.ungrounded_count > 1 and not c.conductors.has_neutral]
    two_pole += [load.tag for load in given.system.loads.values() if load.panel == busbar.tag and load.leg == "both"]
    two_pole += [
        row.tag for row in panel_rows(given.system, busbar.tag) if row.is_further and row.device is not None and row.device.poles > 1
    ]
    multiwire = [c.tag for c in _branches(busbar, given) if c.conductors.ungrounded_count > 1 and c.conductors.has_neutral]
    yield require(not two_pole, f"{busbar.tag} feeds {'240 V: ' + ', '.join(two_pole) if two_pole else 'no 240 V outlet'}")
    yield require(
        not multiwire, f"{busbar.tag} feeds {'multiwire circuits: ' + ', '.join(multiwire) if multiwire else 'no multiwire circuit'}"
    )
    if not tells_all_loads(given.system, busbar.tag):
        yield not_judged(f"all breakers of {busbar.tag}, to show that none is of a 240 V outlet or a multiwire circuit")
    yield from parts_of(lambda: _below_neutral(busbar, sources, given))


def _branches(busbar: Busbar, given: Given) -> list[Circuit]:
    circuits = given.system.circuits.values()
    return [c for c in circuits if c.start.tag == busbar.tag and given.system.equipment[c.finish.tag].is_utilization_equipment]


def _below_neutral(busbar: Busbar, sources: tuple[PowerSource, ...], given: Given) -> Judgement:
    """The sum must be less than the rating: equality does not do."""
    outputs = [given.need(source.output_a, f"output current of {source.id}").named(f"I_{source.id}") for source in sources]
    total = sum_of(outputs, symbol="ΣI", title=f"120 V sources of {busbar.tag}")
    stated = given.system.equipment[busbar.tag].fact("neutral_bus")
    neutral = given.need(stated, f"rating of the neutral busbar of {busbar.tag}").named(
        "B_N", f"rating of the neutral busbar of {busbar.tag}"
    )
    message = f"{busbar.tag}: sources of {total.figure} A, less than the neutral busbar of {neutral.figure} A asked for"
    verdict = Verdict.VIOLATED if at_least(total, neutral) else Verdict.PASSES
    return Judgement(verdict, message, computed=total, limit=neutral, relation="<")
