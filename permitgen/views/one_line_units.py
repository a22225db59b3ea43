"""Fills the skeleton of the one-line diagram with text: units, ways, notes, modes. ``one_line_of`` is the door."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.generator import Generator
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.panel_rows import panel_rows
from permitgen.system.walks.isolation import shutdown_steps
from permitgen.views.electrode_conductor_text import electrode_conductor_text
from permitgen.views.findings import numbers_of, shown_relation
from permitgen.views.one_line import BondKind, Branch, Grounding, OneLine, Part, StepOn, SupplyEnd, Unit, UnitKind, Way
from permitgen.views.one_line_modes import modes_of
from permitgen.views.one_line_notes import notes_of
from permitgen.views.one_line_ratings import control_lines, interlock_lines, rating_lines
from permitgen.views.one_line_stated import marks_at, stated_of
from permitgen.views.one_line_text import named, place_text
from permitgen.views.one_line_tree import Entry, Onward, Piece, trees_of
from permitgen.views.one_line_ways import NEUTRAL_NAME, Wiring
from permitgen.views.wording import number_text, plural, value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.equipment.equipment import Equipment

# Which branch comes first where nothing else orders them: what carries the dwelling's supply, then sources, then loads.
_ORDER: tuple[UnitKind, ...] = (
    "interconnect device",
    "transfer switch",
    "panelboard",
    "disconnect",
    "meter",
    "junction",
    "storage",
    "inverter",
    "array",
    "generator",
    "power inlet",
    "vehicle supply",
    "appliance",
    "energy_monitor",
    "initiator",
)


def one_line_of(evaluation: Evaluation) -> OneLine:
    """Return the one-line diagram of an evaluated system."""
    writer = _Writer(evaluation, {h.id: str(n) for n, h in enumerate(shutdown_steps(evaluation.system).steps, start=1)})
    roots = tuple(writer.unit(piece) for piece in trees_of(evaluation.system))
    return OneLine(roots=roots, modes=modes_of(evaluation.system), notes=notes_of(evaluation), stated=stated_of(evaluation.system))


@dataclass(frozen=True)
class _Writer:
    evaluation: Evaluation
    steps: dict[str, str]

    @property
    def wiring(self) -> Wiring:
        return Wiring(self.evaluation.system, self.steps)

    def unit(self, piece: Piece) -> Unit:
        """Return a unit with everything beyond it."""
        item = piece.item
        step, step_on = self._step(item)
        return Unit(
            tag=item.tag,
            kind=item.drawn_as,
            name=named(self.evaluation.system, item),
            entries=self._entries(piece),
            branches=self._branches(piece),
            lines=(*rating_lines(item), *control_lines(item, self.evaluation.system), *interlock_lines(item, self.evaluation.system)),
            place=place_text(item),
            inside=self._inside(item),
            step=step,
            step_on=step_on,
            bond=bond_of(item),
            grounding=self._grounding(item),
            supply_end=_supply_end(item),
            is_existing=item.status == "existing",
            parts=self._own_parts(item),
            symbol=_symbol(item),
        )

    def _entries(self, piece: Piece) -> tuple[Way, ...]:
        item = piece.item
        entered = [self.wiring.way(item, entry.circuit, entry.here, None) for entry in piece.entered_by]
        return (*(self._named(item, way) for way in entered), *self._control_entries(piece))

    def _control_entries(self, piece: Piece) -> tuple[Way, ...]:
        return (self.wiring.control_way(tuple(piece.beside), with_lead=False),) if piece.beside else ()

    def _named(self, item: Equipment, way: Way) -> Way:
        """Add to a way of an array how many units or modules it joins."""
        if not isinstance(item, PVArray):
            return way
        counts = {**item.branches, **item.strings}
        count = counts.get(way.terminal)
        if count is None:
            return way
        what = "unit" if way.terminal in item.branches else "in series"
        number = number_text(count.number, "count")
        note = f"{plural(int(count.number), what)}" if what == "unit" else f"{number} {what}"
        return replace(way, note=note)

    def _branches(self, piece: Piece) -> tuple[Branch, ...]:
        item = piece.item
        found = [(_place_in_order(item, onward), self._branch(piece, onward)) for onward in piece.onward]
        found.extend(
            (_end_order(item, here.position, here.terminal), self._reference(item, circuit, here, str(there)))
            for circuit, here, there in piece.closes
        )
        found.sort(key=lambda pair: pair[0])
        branches = [branch for _, branch in found]
        branches.extend(self._control_reference(control, other) for control, other in piece.controls)
        if isinstance(item, MicrogridInterconnectDevice) and item.autotransformer is not None:
            at = 1 if item.supply_end != "bottom" else len(branches)
            branches.insert(min(at, len(branches)), self._autotransformer(item))
        loads = self._loads(item)
        return (*branches, *([loads] if loads is not None else []))

    def _branch(self, piece: Piece, onward: Onward) -> Branch:
        ways = [self._way_out(piece, entry) for entry in onward.circuits]
        if onward.controls:
            ways.append(self.wiring.control_way(tuple(onward.controls), with_lead=True))
        unit = self.unit(onward.piece)
        if not ways:
            ways.append(self.wiring.cord_way(with_lead=True))
            unit = replace(unit, entries=(self.wiring.cord_way(with_lead=False),))
        return Branch(tuple(ways), unit)

    def _way_out(self, piece: Piece, entry: Entry) -> Way:
        return self.wiring.way(piece.item, entry.circuit, entry.there, self.wiring.lead(entry.circuit, entry.there))

    def _reference(self, item: Equipment, circuit: Circuit, here: End, there: str) -> Branch:
        return Branch((self.wiring.way(item, circuit, here, self.wiring.lead(circuit, here)),), None, f"to {there}")

    def _control_reference(self, control: ControlCircuit, other: str) -> Branch:
        return Branch((self.wiring.control_way((control,), with_lead=True),), None, f"to {other}")

    def _autotransformer(self, item: MicrogridInterconnectDevice) -> Branch:
        former = item.autotransformer
        if former is None:
            raise TypeError("the device has no autotransformer")
        handle = f"{item.tag}.autotransformer"
        breaker = (replace(self.wiring.breaker(former.device, handle), rating=""),) if former.device is not None else ()
        rating = (value_text(former.neutral_a) + " neutral",) if former.neutral_a is not None else ()
        room_for_step = ("",) if breaker and breaker[0].step else ()
        part = Part("autotransformer", "", (*room_for_step, "AUTOTRANSFORMER", *rating))
        return Branch((Way("", (*breaker, part), None, f"{item.tag}.bus", conductors=("L1", "L2", NEUTRAL_NAME)),))

    def _loads(self, item: Equipment) -> Branch | None:
        system = self.evaluation.system
        number = sum(load.panel == item.tag for load in system.loads.values())
        number += sum(row.is_further for row in panel_rows(system, item.tag))
        if not number:
            return None
        name = plural(number, "branch-circuit load")
        wires = ("L1", "L2", NEUTRAL_NAME)
        unit = Unit(tag="", kind="loads", name=name, entries=(Way("", conductors=wires),), lines=(f"listed on E-604, panel {item.tag}",))
        return Branch((Way("", (), None, f"{item.tag}.bus", conductors=wires),), unit)

    def _step(self, item: Equipment) -> tuple[str, StepOn]:
        on: dict[StepOn, str] = {"unit": item.tag, "switch": f"{item.tag}.disconnect", "stop": f"{item.tag}.stop"}
        return next(((self.steps[handle], where) for where, handle in on.items() if handle in self.steps), ("", "unit"))

    def _inside(self, item: Equipment) -> tuple[str, ...]:
        """Return what a reviewer looks for at a busbar: the method by which its sources are allowed, with both numbers."""
        lines = []
        for finding in self.evaluation.of(item.tag):
            if finding.rule != "busbar-sources" or finding.verdict is Verdict.DOES_NOT_APPLY:
                continue
            computed, limit = numbers_of(finding.judgement)
            comparison = f"{computed} {shown_relation(finding.judgement)} {limit}" if computed and limit else ""
            lines += [finding.judgement.method, comparison, finding.section]
            if finding.verdict is not Verdict.PASSES:
                lines.append(str(finding.verdict).upper())
        return tuple(line for line in lines if line)

    def _grounding(self, item: Equipment) -> Grounding | None:
        for system in self.evaluation.system.equipment.values():
            if isinstance(system, GroundingElectrodeSystem) and item.tag in system.lands_at:
                electrodes = [f"2 {e}s" if e == "ground rod" and system.second_rod else e for e in system.electrodes]
                return Grounding(electrode_conductor_text(system, item.tag), tuple(electrodes) or ("electrodes not stated",))
        return None

    def _own_parts(self, item: Equipment) -> tuple[Part, ...]:
        """Return devices inside a source or a switch: a generator's breaker, a storage unit's switch, a switch's own fuse."""
        if isinstance(item, Generator) and item.device is not None:
            return (self.wiring.breaker(item.device, f"{item.tag}.breaker"),)
        if isinstance(item, EnergyStorageSystem) and item.has_disconnect:
            return (Part("switch", step=self.steps.get(f"{item.tag}.disconnect", "")),)
        opens_neutral = bool(getattr(item, "switches_neutral", False))
        device = getattr(item, "device", None)
        if device is not None:
            return (replace(self.wiring.breaker(device, item.tag), opens_neutral=opens_neutral),)
        held = marks_at(self.evaluation.system.interlocks, item.tag)
        return (Part("switch", below=held, opens_neutral=opens_neutral),) if isinstance(item, Disconnect) else ()


def bond_of(item: Equipment) -> BondKind:
    """Return how neutral and ground stand to each other in an enclosure; empty for equipment that has no neutral bar."""
    if not item.neutral_bar_at or (item.is_switch and item.neutral_bond is None):
        return ""
    if item.neutral_bond is None:
        return "not stated"
    return "bonded" if item.neutral_bond.state.is_bonded else "not bonded"


def _supply_end(item: Equipment) -> SupplyEnd:
    found = getattr(item, "supply_end", "top")
    return "bottom" if found == "bottom" else "center" if found == "center" else "top"


def _symbol(item: Equipment) -> str:
    """Return which of several symbols of its kind a unit is drawn with."""
    if isinstance(item, PVArray):
        return "microinverter" if item.module_inverter is not None else "converter" if item.converter is not None else ""
    if isinstance(item, EnergyStorageSystem):
        return item.coupling
    return ""


def _end_order(item: Equipment, position: int | None, terminal: str) -> tuple[float, ...]:
    """Positions count from the top in two columns; named terminals stand in the order of the catalog, loads first."""
    if position is not None:
        return (1, (position + 1) // 2, position)
    fixed = {"load": 0, "main": 0, "feed_through": 99}
    if terminal in fixed:
        return (fixed[terminal], 0, 0)
    names = list(item.terminals)
    after_ac = 2 if isinstance(item, Inverter) and item.is_dc_at(terminal) and item.ports else 1
    return (after_ac, names.index(terminal) if terminal in names else len(names), 0)


def _place_in_order(item: Equipment, onward: Onward) -> tuple[float, ...]:
    kind = onward.piece.item.drawn_as
    rank = _ORDER.index(kind) if kind in _ORDER else len(_ORDER)
    if not onward.circuits:
        return (50, rank, 0)
    first = min(_end_order(item, entry.there.position, entry.there.terminal) for entry in onward.circuits)
    return first if item.is_cabinet_with_bus or item.kind == "inverter" else (rank, *first)
