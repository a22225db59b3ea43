"""The skeleton of the one-line diagram: which unit is entered from which, by which circuits, seen from the utility outward.

Breadth first, in the order of the project file, so that the same system always gives the same tree. Arrays and junction boxes whose
circuits stay apart are cut into one piece for each unit they are reached from; everything else appears once.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.system.equipment.generator import PowerInlet

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.system import System


@dataclass
class Piece:
    """A unit of the tree. ``entered_by`` holds the circuits that reach it, ``closes`` those that would make a loop here.

    ``beside`` are control circuits that arrive together with the power, ``controls`` those that are shown by a reference.
    """

    item: Equipment
    nodes: list[str] = field(default_factory=list)
    entered_by: list[Entry] = field(default_factory=list)
    onward: list[Onward] = field(default_factory=list)
    closes: list[tuple[Circuit, End, End]] = field(default_factory=list)
    controls: list[tuple[ControlCircuit, str]] = field(default_factory=list)
    beside: list[ControlCircuit] = field(default_factory=list)

    @property
    def tag(self) -> str:
        """Tag of the equipment."""
        return self.item.tag


@dataclass(frozen=True)
class Entry:
    """A circuit as it arrives: ``here`` is its end at this piece, ``there`` the end it comes from."""

    circuit: Circuit
    here: End
    there: End


@dataclass
class Onward:
    """A piece reached from this one, the circuits that lead there, and the control circuits that run beside them."""

    piece: Piece
    circuits: list[Entry] = field(default_factory=list)
    controls: list[ControlCircuit] = field(default_factory=list)


def trees_of(system: System) -> list[Piece]:
    """Return the trees that cover all equipment: first those of the utility, then what the utility does not reach."""
    return _Planting(system).trees()


class _Planting:
    def __init__(self, system: System) -> None:
        self.system = system
        self.whole: dict[str, Piece] = {}
        self.cut: dict[tuple[str, int], Piece] = {}
        self.set_owner: dict[str, Piece] = {}
        self.used: set[str] = set()
        self.roots: list[Piece] = []

    def trees(self) -> list[Piece]:
        for tag in self._roots_first():
            if tag in self.whole or any(key[0] == tag for key in self.cut):
                continue
            if self._is_control_only(tag):
                continue
            self._grow(tag)
        self._lay_controls()
        self._plug_in()
        return self.roots

    def _roots_first(self) -> list[str]:
        system = self.system
        drawn = [item for item in system.equipment.values() if item.kind != "grounding_electrode_system"]
        utility = [item.tag for item in drawn if item.kind == "utility_service"]
        counts = {item.tag: len(system.circuits_at.get(item.tag, ())) for item in drawn}
        others = sorted(
            (item.tag for item in drawn if item.kind != "utility_service"),
            key=lambda tag: (-counts[tag], list(system.equipment).index(tag)),
        )
        return utility + others

    def _is_control_only(self, tag: str) -> bool:
        has_control = any(tag in (c.source, c.device) for c in self.system.controls.values())
        return has_control and not self.system.circuits_at.get(tag)

    def _grow(self, tag: str) -> None:
        root = self._new_whole(tag)
        self.roots.append(root)
        for end in (end for c in self.system.circuits.values() for end in c.ends if end.tag == tag):
            self.set_owner[root.item.node_of(end)] = root
        waiting = deque([root])
        while waiting:
            piece = waiting.popleft()
            for circuit in self._unused_at(piece):
                for here, there in self._ends(piece, circuit):
                    reached = self._follow(piece, circuit, here, there)
                    if reached is not None:
                        waiting.append(reached)

    def _new_whole(self, tag: str) -> Piece:
        piece = Piece(self.system.equipment[tag])
        self.whole[tag] = piece
        return piece

    def _unused_at(self, piece: Piece) -> list[Circuit]:
        circuits = (self.system.circuits[tag] for tag in self.system.circuits_at.get(piece.tag, ()))
        return [c for c in circuits if c.tag not in self.used and any(True for _ in self._ends(piece, c))]

    def _ends(self, piece: Piece, circuit: Circuit) -> Iterator[tuple[End, End]]:
        """Yield the end at this piece and the far end; a piece of a cut unit holds only the nodes it was reached on."""
        if circuit.tag in self.used:
            return
        for here, there in (circuit.ends, circuit.ends[::-1]):
            if here.tag != piece.tag or there.tag == piece.tag:
                continue
            if piece.item.circuits_stay_apart and piece.nodes and piece.item.node_of(here) not in piece.nodes:
                continue
            yield here, there
            return

    def _follow(self, piece: Piece, circuit: Circuit, here: End, there: End) -> Piece | None:
        """Take one circuit to its far end; return the piece there if it is new."""
        self.used.add(circuit.tag)
        far = self.system.equipment[there.tag]
        known = self._known(piece, far, there)
        entry = Entry(circuit, there, here)
        if known is None:
            known = Piece(far)
            self._remember(piece, known)
            piece.onward.append(Onward(known, [entry]))
            self._enter(known, entry)
            return known
        onward = next((o for o in piece.onward if o.piece is known), None)
        if onward is not None and self._may_enter_again(known, there):
            onward.circuits.append(entry)
            self._enter(known, entry)
        else:
            piece.closes.append((circuit, here, there))
            known.closes.append((circuit, there, here))
        return None

    def _may_enter_again(self, known: Piece, there: End) -> bool:
        """Two circuits side by side to one unit are two entries; on one node of a cut unit they would be a loop."""
        return not known.item.circuits_stay_apart or known.item.node_of(there) not in known.nodes

    def _known(self, piece: Piece, far: Equipment, there: End) -> Piece | None:
        if not far.circuits_stay_apart:
            return self.whole.get(far.tag)
        owner = self.set_owner.get(far.node_of(there))
        return owner if owner is not None else self.cut.get((far.tag, id(piece)))

    def _remember(self, parent: Piece, piece: Piece) -> None:
        if piece.item.circuits_stay_apart:
            self.cut[(piece.tag, id(parent))] = piece
        else:
            self.whole[piece.tag] = piece

    def _enter(self, piece: Piece, entry: Entry) -> None:
        piece.entered_by.append(entry)
        node = piece.item.node_of(entry.here)
        piece.nodes.append(node)
        if piece.item.circuits_stay_apart:
            self.set_owner[node] = piece

    def _pieces(self) -> Iterator[Piece]:
        waiting = list(self.roots)
        while waiting:
            piece = waiting.pop(0)
            yield piece
            waiting.extend(o.piece for o in piece.onward)

    def _lay_controls(self) -> None:
        """Run control circuits beside the power, or out to units that have no power circuit; others become references."""
        for control in self.system.controls.values():
            places = {piece.tag: piece for piece in reversed(list(self._pieces()))}
            source, device = places.get(control.source), places.get(control.device)
            if source is None and device is None:
                self.roots.append(self._new_whole(control.source))
                source = self.roots[-1]
            if source is not None and device is not None:
                self._beside(control, source, device)
            else:
                self._out_to(control, source, device)

    def _plug_in(self) -> None:
        """Hang a portable generator that has no circuit of its own on the inlet that takes it."""
        places = {piece.tag: piece for piece in self._pieces()}
        for piece in list(places.values()):
            machine = places.get(piece.item.generator) if isinstance(piece.item, PowerInlet) else None
            if machine is not None and machine in self.roots and piece is not machine:
                self.roots.remove(machine)
                piece.onward.append(Onward(machine))

    def _beside(self, control: ControlCircuit, source: Piece, device: Piece) -> None:
        for near, far in ((source, device), (device, source)):
            onward = next((o for o in near.onward if o.piece is far), None)
            if onward is not None and not far.item.circuits_stay_apart:
                onward.controls.append(control)
                far.beside.append(control)
                return
        source.controls.append((control, device.tag))
        device.controls.append((control, source.tag))

    def _out_to(self, control: ControlCircuit, source: Piece | None, device: Piece | None) -> None:
        near = source or device
        if near is None:
            raise ValueError("a control circuit has at least one end on the drawing")
        tag = control.device if source is not None else control.source
        piece = self._new_whole(tag)
        piece.beside.append(control)
        near.onward.append(Onward(piece, [], [control]))
