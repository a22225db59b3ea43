"""The material that the file holds, counted: what is new, by kind, with the circuits that each piece leads to.

Nothing is counted that the file does not hold: a run without a length is a piece without one. What is existing is told apart with why.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, Literal, TypeVar

from permitgen.code.equations.materials import conductors_in_run_ft, with_allowance_ft
from permitgen.evaluation.takeoff_state import NotCounted, device_state, equipment_state, run_state
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_cross_section import PER_LOOP
from permitgen.rules.quantities.conductor_identification import Use, uses_of
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.raceway import Raceway

Kind = TypeVar("Kind", bound=Hashable)
ConductorUse = Use | Literal["grounding electrode conductor", "bonding conductor"] | None
CABLE = "cable"
ROD = "ground rod"


@dataclass(frozen=True, slots=True)
class ConductorKind:
    """What tells one spool from another; ``use`` None where the file does not say (control), ``size`` empty where nobody knows it."""

    use: ConductorUse
    size: str
    material: str
    insulation: str
    is_bare: bool = False


@dataclass(frozen=True, slots=True)
class CableKind:
    """A cable by its kind and its conductors: how many ungrounded, with neutral and ground, each size empty where it has none."""

    kind: str
    ungrounded: int
    size: str
    material: str
    insulation: str
    neutral: str
    ground: str


@dataclass(frozen=True, slots=True)
class RunKind:
    """A raceway by its kind and size; of a riser, that it is one: its length is a part of its run that nobody states."""

    kind: str
    trade_size: str
    sides_in: tuple[float, ...] = ()
    is_riser: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """So many alike of a length, None where it is not stated, for the circuits ``of``, in the run ``run`` (empty where none is stated)."""

    of: tuple[str, ...]
    run: str
    count: int
    length_ft: Value | None


@dataclass(frozen=True, slots=True)
class Lengths(Generic[Kind]):
    """A kind of material by length: its pieces, their sum, and the sum with the allowance; None where no piece has a length."""

    kind: Kind
    pieces: tuple[Piece, ...]
    stated_ft: Value | None
    order_ft: Value | None

    @property
    def is_open(self) -> bool:
        """Whether some piece has no length, so that the sum is not all of it."""
        return any(piece.length_ft is None for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class Takeoff:
    """All that is new, by length or piece by piece, and what is left out with why; ``rods`` are ground rods by their electrode system."""

    conductors: tuple[Lengths[ConductorKind], ...]
    cables: tuple[Lengths[CableKind], ...]
    raceways: tuple[Lengths[RunKind], ...]
    devices: tuple[InstalledDevice, ...]
    equipment: tuple[Equipment, ...]
    rods: tuple[tuple[str, int], ...]
    not_counted: tuple[NotCounted, ...]


def takeoff_of(given: Given) -> Takeoff:
    """Return the material of the system with every size filled in."""
    system = given.system
    allowance = system.material_allowance_percent
    cables, conductors = _wires(given)
    raceways, left = _runs(given)
    device_states = [(each, device_state(system, each)) for each in system.devices.values()]
    item_states = [(each, equipment_state(each)) for each in system.equipment.values()]
    left += [NotCounted(tag, "circuit", "existing") for tag, circuit in system.circuits.items() if circuit.existing]
    left += [NotCounted(each.tag, "device", why) for each, why in device_states if why]
    left += [NotCounted(each.tag, "equipment", why) for each, why in item_states if why]
    return Takeoff(
        conductors=_lengths(conductors, allowance),
        cables=_lengths(cables, allowance),
        raceways=_lengths(raceways, allowance),
        devices=tuple(each for each, why in device_states if not why),
        equipment=tuple(each for each, why in item_states if not why and not isinstance(each, GroundingElectrodeSystem)),
        rods=tuple((each.tag, count) for each in _electrodes(given) if (count := _rod_count(each))),
        not_counted=tuple(left),
    )


def _lengths(pieces: Iterable[tuple[Kind, Piece]], allowance: Value | None) -> tuple[Lengths[Kind], ...]:
    """Return the pieces by kind, kinds in the order in which they are met."""
    found: dict[Kind, list[Piece]] = {}
    for kind, piece in pieces:
        found.setdefault(kind, []).append(piece)
    return tuple(_summed(kind, tuple(alike), allowance) for kind, alike in found.items())


def _summed(kind: Kind, pieces: tuple[Piece, ...], allowance: Value | None) -> Lengths[Kind]:
    stated = [_length_of(piece, piece.length_ft) for piece in pieces if piece.length_ft is not None]
    if not stated:
        return Lengths(kind, pieces, None, None)
    total = sum_of(stated, symbol="L", title="length stated")
    order = with_allowance_ft.derive(stated_ft=total, allowance_percent=allowance) if allowance is not None else total
    return Lengths(kind, pieces, total, order)


def _length_of(piece: Piece, length_ft: Value) -> Value:
    count = Value(float(piece.count), "count", FromSystem(f"alike in {piece.run}"), "n", f"alike in {piece.run}")
    return conductors_in_run_ft.derive(conductors_count=count, run_ft=length_ft)


def _wires(given: Given) -> tuple[list[tuple[CableKind, Piece]], list[tuple[ConductorKind, Piece]]]:
    """Return cables and single conductors of new circuits, what is added to existing ones, then those of control circuits."""
    cables: list[tuple[CableKind, Piece]] = []
    conductors: list[tuple[ConductorKind, Piece]] = []
    for circuit in given.system.circuits.values():
        if circuit.existing:
            added = circuit.fact("added_length")
            conductors += _conductors(given, circuit, None, added) if added is not None else ()
            continue
        runs = [given.system.raceways[tag] for tag in circuit.runs]
        for run in runs:
            if run.is_cable or circuit.conductors.cable_diameter_in is not None:
                kind = _cable_kind(circuit, run.kind if run.is_cable else CABLE)
                cables.append((kind, Piece((circuit.tag,), run.tag, circuit.sets_in(run.tag), run.length_ft)))
            else:
                conductors += _conductors(given, circuit, run, run.length_ft)
        if not runs:
            conductors += _conductors(given, circuit, None, None)
    for control in given.system.controls.values():
        conductors += _of_control(given, control)
    for electrodes in _electrodes(given):
        conductors += _to_electrodes(electrodes)
    return cables, conductors


def _electrodes(given: Given) -> list[GroundingElectrodeSystem]:
    """Return the electrode systems that are new."""
    items = given.system.equipment.values()
    return [item for item in items if isinstance(item, GroundingElectrodeSystem) and not equipment_state(item)]


def _rod_count(electrodes: GroundingElectrodeSystem) -> int:
    named = electrodes.electrodes.count(ROD)
    return max(named, 2) if named and electrodes.second_rod else named


def _to_electrodes(item: GroundingElectrodeSystem) -> Iterator[tuple[ConductorKind, Piece]]:
    """Yield the conductors to electrodes and piping, of which a file states no length."""
    sizes = [size for size in (item.conductor_size, *item.sizes_to_each.values()) if size is not None]
    bonds = [size for size in (item.water_bonding_size, item.gas_bonding_size, *item.electrode_jumpers.values()) if size is not None]
    for size in sizes:
        yield ConductorKind("grounding electrode conductor", str(size), item.conductor_material, ""), Piece((item.tag,), "", 1, None)
    for size in bonds:
        yield ConductorKind("bonding conductor", str(size), item.jumper_material, ""), Piece((item.tag,), "", 1, None)


def _cable_kind(circuit: Circuit, kind: str) -> CableKind:
    conductors = circuit.conductors
    size = str(conductors.size or "")
    return CableKind(
        kind=kind,
        ungrounded=conductors.ungrounded_count,
        size=size,
        material=conductors.material,
        insulation=conductors.insulation,
        neutral=str(conductors.neutral_size or size) if conductors.neutral else "",
        ground=str(conductors.egc_size or "") if conductors.has_wire_egc else "",
    )


def _conductors(given: Given, circuit: Circuit, run: Raceway | None, length: Value | None) -> Iterator[tuple[ConductorKind, Piece]]:
    """Yield ungrounded conductors, neutral and equipment ground of a circuit in a run, None where no run is stated."""
    conductors = circuit.conductors
    tag, sets = run.tag if run is not None else "", circuit.sets_in(run.tag) if run is not None else conductors.sets
    uses = {use.partition(" ")[0]: use for use in uses_of(given, circuit)}
    phase = next(use for use in uses.values() if not use.startswith(("neutral", "ground")))

    def of(use: Use, count: int, size: object, material: str, *, is_bare: bool = False) -> tuple[ConductorKind, Piece]:
        kind = ConductorKind(use, str(size or ""), material, "" if is_bare else conductors.insulation, is_bare)
        return kind, Piece((circuit.tag,), tag, count, length)

    yield of(phase, conductors.ungrounded_count * sets, conductors.size, conductors.material)
    if conductors.neutral:
        yield of(uses["neutral"], sets, conductors.neutral_size or conductors.size, conductors.material)
    if _has_ground_of_its_own(given, circuit):
        use = uses.get("ground", "ground")
        yield of(use, sets, conductors.egc_size, conductors.egc_material, is_bare=conductors.has_bare_egc)


def _has_ground_of_its_own(given: Given, circuit: Circuit) -> bool:
    """Whether a wire grounds the equipment of this circuit alone; of service conductors only where its size is stated."""
    conductors = circuit.conductors
    if not conductors.has_wire_egc or conductors.egc_shared_with:
        return False
    return conductors.egc_size is not None or role(given, circuit) is not CircuitRole.SERVICE


def _of_control(given: Given, control: ControlCircuit) -> Iterator[tuple[ConductorKind, Piece]]:
    """Yield the loop of a control circuit, by its own length where the file states one, else run by run."""
    kind = ConductorKind(None, str(control.size or ""), "copper", control.insulation)
    is_whole = control.length_ft is not None or not control.runs
    if is_whole:
        yield kind, Piece((control.tag,), ", ".join(control.runs), PER_LOOP, control.length_ft)
        return
    for tag in control.runs:
        yield kind, Piece((control.tag,), tag, PER_LOOP, given.system.raceways[tag].length_ft)


def _runs(given: Given) -> tuple[list[tuple[RunKind, Piece]], list[NotCounted]]:
    """Return the new raceways with what lies in them; cables and conductors in free air are no raceway."""
    system = given.system
    found: list[tuple[RunKind, Piece]] = []
    left: list[NotCounted] = []
    for run in system.raceways.values():
        if not run.is_filled:
            continue
        held = (*system.circuits_in_run.get(run.tag, ()), *(c.tag for c in system.controls.values() if run.tag in c.runs))
        why = run_state(system, held)
        if why:
            left.append(NotCounted(run.tag, "raceway", why))
            continue
        sides = tuple(side.number for side in (run.fact("interior_width"), run.fact("interior_depth")) if side is not None)
        found.append((RunKind(run.kind, run.trade_size or "", sides), Piece(held, run.tag, 1, run.length_ft)))
        if run.riser and run.riser != run.kind:
            found.append((RunKind(run.riser, run.trade_size or "", is_riser=True), Piece(held, run.tag, 1, None)))
    return found, left
