"""How many current-carrying conductors share a run."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from permitgen.rules.quantities.circuit_current import line_to_line, line_to_neutral
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.raceway import Raceway

_PER_CONTROL = 2
_PER_CABLE = 2
_BUNDLED = {"NM-B cable": "nm_cable_ampacity", "SER cable": "se_cable_uses", "SEU cable": "se_cable_uses"}


def current_carrying_count(given: Given, run: Raceway) -> Value:
    """Return the number of current-carrying conductors in a run: of each circuit, those of the parallel sets that lie in it.

    The neutral of a 3-wire 120/240 V circuit, one that only senses voltage, and equipment grounding conductors are not counted;
    the neutral of a 2-wire circuit is, and that of two legs of a wye. Cables in one run are bundled, and their conductors add
    up, unless the file says that they are kept apart, those of parallel sets too; so are conductors in free air. Class 1
    conductors count where their load is more than a tenth of their ampacity, or is not stated.
    """
    return given.once_for_topology(("count", run.tag), lambda: _count(given, run))


def _count(given: Given, run: Raceway) -> Value:
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[run.tag]]
    if run.answer("spaced") and not run.is_filled:
        title = f"current-carrying conductors of one circuit in {run.tag}, kept apart from others"
        number = 1 if run.is_free_air else max((_of_one_set(given, circuit) for circuit in circuits), default=1)
        return Value(float(number), "count", FromSystem(f"counted on one circuit in {run.tag}"), "n", title)
    controls = [control for control in given.system.controls.values() if run.tag in control.runs]
    number = sum(_of_one_set(given, circuit) * circuit.sets_in(run.tag) for circuit in circuits) + sum(
        _PER_CONTROL for control in controls if _counts(given, control)
    )
    names = ", ".join(circuit.tag for circuit in circuits) or "no circuit"
    title = f"current-carrying conductors in {run.tag}"
    own = Value(float(max(number, 1)), "count", FromSystem(f"counted on {names}"), "n", title)
    others = run.contains_other_current_carrying
    return own if others is None else sum_of([own, others], symbol="n", title=title)


def _of_one_set(given: Given, circuit: Circuit) -> int:
    conductors = circuit.conductors
    senses_only = conductors.neutral_senses_voltage_only
    neutral_counts = conductors.has_neutral and not senses_only and (conductors.ungrounded_count == 1 or is_wye(given))
    return conductors.ungrounded_count + int(neutral_counts)


def is_bundled_in_insulation(given: Given, run: Raceway) -> bool:
    """Whether more cables than two lie together in thermal insulation, or in an opening sealed with it, so that no length is short.

    A cable whose conductors the file only counts is taken to have two of them.

    Raises:
        MissingFactError: whether so many cables lie in insulation is not stated.
    """
    provision = _BUNDLED.get(run.kind)
    if provision is None or run.answer("spaced"):
        return False
    own = sum(given.system.circuits[tag].sets_in(run.tag) for tag in given.system.circuits_in_run[run.tag])
    others = run.contains_other_current_carrying
    cables = own + (0 if others is None else ceil(others.number / _PER_CABLE))
    if cables <= given.provision(provision).value("bundled_cables_count").number:
        return False
    return given.need(run.answer("thermal_insulation"), f"whether {run.tag} lies in thermal insulation or a sealed opening")


def is_wye(given: Given) -> bool:
    """Whether two legs and neutral come from a wye (208Y/120 V): its neutral carries current although both legs are equal."""
    return abs(line_to_line(given).number - 2 * line_to_neutral(given).number) > 1.0


def _counts(given: Given, control: ControlCircuit) -> bool:
    """Class 2 wiring is no power wiring; Class 1 counts by its load (of 14 AWG, the ampacity without factors is 20 A)."""
    if control.source_class == "2" and not control.is_reclassified:
        return False
    if control.current_a is None or control.size is None:
        return True
    provision = given.provision("class_1_count_adjustment")
    table = given.table("conductor_ampacity")
    ampacity = table.number_at(control.size, "copper_75c") or table.number_at(control.size, "copper_90c")
    return ampacity is None or control.current_a.number > provision.value("load_percent").number / 100 * ampacity
