"""E-501: how enclosures are bonded, where neutral meets ground in each mode, and what rapid shutdown controls."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.grounding_bonds import carries_neutral
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.system.walks.circuit_sides import CircuitRole, role_of
from permitgen.system.walks.neutral_bonds import neutral_networks
from permitgen.views.electrode_conductor_text import electrode_conductor_text
from permitgen.views.one_line import Branch, Grounding, Lead, LeadKind, Unit, Way
from permitgen.views.one_line_text import MATERIAL_MARKS, named
from permitgen.views.one_line_tree import Entry, Piece, trees_of
from permitgen.views.one_line_units import bond_of, one_line_of
from permitgen.views.plan_sheets import grounding_title
from permitgen.views.presence import has_rapid_shutdown
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.system import System
    from permitgen.system.walks.neutral_bonds import NeutralNetwork

NEUTRAL, GROUND = "neutral", "ground"
"""On which bar of an enclosure a way lands; the ways of service conductors land on the neutral."""
_KINDS_WITH_BUS = frozenset({"panelboard", "interconnect device", "inverter"})


@dataclass(frozen=True, slots=True)
class GroundingDetails:
    """Everything on the sheet ``title``. ``bonding`` and ``shutdown`` are trees for the drafting of diagrams; rows are tables of words."""

    title: str
    shutdown_title: str
    bonding: tuple[Unit, ...]
    shutdown: tuple[Unit, ...]
    neutral_rows: tuple[tuple[str, str, str], ...]
    shutdown_notes: tuple[str, ...]


def grounding_details_of(evaluation: Evaluation) -> GroundingDetails:
    """Return the words and trees of the sheet."""
    system = evaluation.system
    return GroundingDetails(
        title=grounding_title(evaluation),
        shutdown_title="Array circuits and rapid shutdown" if has_rapid_shutdown(evaluation) else "Array circuits",
        bonding=tuple(_Bonding(evaluation).unit(piece) for piece in trees_of(system) if piece.onward),
        shutdown=_shutdown_trees(evaluation),
        neutral_rows=_neutral_rows(evaluation.given),
        shutdown_notes=_shutdown_notes(evaluation),
    )


@dataclass(frozen=True)
class _Bonding:
    """Writes the tree of enclosures joined by equipment grounding conductors."""

    evaluation: Evaluation

    def unit(self, piece: Piece) -> Unit:
        item = piece.item
        system = self.evaluation.system
        branches = tuple(Branch((self._way(onward.circuits),), self.unit(onward.piece)) for onward in piece.onward if onward.circuits)
        bond = bond_of(item)
        return Unit(
            tag=item.tag,
            kind="bonding",
            name=named(system, item),
            entries=tuple(Way("", node=self._bar([entry])) for entry in piece.entered_by[:1]),
            branches=branches,
            lines=_states(self.evaluation, item.tag, bond),
            bond=bond,
            grounding=_electrodes(system, item.tag),
            symbol=self._bars(piece),
            is_existing=item.status == "existing",
        )

    def _bars(self, piece: Piece) -> str:
        """Return which bars an enclosure is drawn with."""
        if piece.item.is_wired_with_neutral_alone:
            return "neutral"
        circuits = (self.evaluation.system.circuits[tag] for tag in self.evaluation.system.circuits_at.get(piece.tag, ()))
        # A cabinet or a machine has a neutral bar where a circuit brings a neutral.
        has_neutral = bool(piece.item.neutral_bar_at) and any(c.conductors.neutral for c in circuits)
        return "neutral and ground" if has_neutral else "ground"

    def _bar(self, entries: list[Entry]) -> str:
        return NEUTRAL if any(role_of(self.evaluation.system, e.circuit) is CircuitRole.SERVICE for e in entries) else GROUND

    def _way(self, entries: list[Entry]) -> Way:
        circuits = [entry.circuit for entry in entries]
        lines = tuple(dict.fromkeys(line for circuit in circuits for line in self._conductor(circuit)))
        bar = self._bar(entries)
        kind: LeadKind = "power" if bar == NEUTRAL else "ground"
        tags = tuple(c.tag for c in circuits)
        return Way("", (), Lead(tags=tags, kind=kind, full=lines, brief=lines, is_existing=all(c.existing for c in circuits)), bar)

    def _conductor(self, circuit: Circuit) -> tuple[str, ...]:
        """Return what carries fault current back along a circuit."""
        system, conductors = self.evaluation.system, circuit.conductors
        if role_of(system, circuit) is CircuitRole.SERVICE:
            return _grounded_conductor(circuit)
        if conductors.egc_shared_with:
            return (f"with {conductors.egc_shared_with}",)
        if conductors.has_no_egc:
            return ("none",)
        if not conductors.has_wire_egc:
            return (f"raceway {', '.join(circuit.runs)}",)
        if conductors.egc_size is None:
            return ("size open",)
        each = " in each set" if conductors.sets > 1 else ""
        return (f"{conductors.egc_size} {MATERIAL_MARKS[conductors.egc_material]}{each}",)


def _grounded_conductor(circuit: Circuit) -> tuple[str, ...]:
    conductors = circuit.conductors
    if not conductors.neutral:
        return ("neutral not stated" if conductors.neutral is None else "no neutral",)
    return (f"{conductors.neutral_size or conductors.size} {MATERIAL_MARKS[conductors.material]}", "grounded conductor")


def _states(evaluation: Evaluation, tag: str, bond: str) -> tuple[str, ...]:
    """Return how neutral and ground stand to each other in an enclosure; the main bonding jumper where it lands."""
    words = {"bonded": "neutral bonded to ground here", "not bonded": "neutral kept apart", "not stated": "neutral bond not stated"}
    lines = [words[bond]] if bond else []
    for item in evaluation.system.equipment.values():
        if isinstance(item, GroundingElectrodeSystem) and tag in item.lands_at and bond == "bonded":
            size = f"{item.jumper_size} {MATERIAL_MARKS[item.jumper_material]}" if item.jumper_size is not None else ""
            jumper = "as supplied with the equipment" if item.jumper_is_factory else size or "size not stated"
            lines.append(f"bonding jumper {jumper}")
    return tuple(lines)


def _electrodes(system: System, tag: str) -> Grounding | None:
    for item in system.equipment.values():
        if isinstance(item, GroundingElectrodeSystem) and tag in item.lands_at:
            electrodes = [f"two {name}s" if name == "ground rod" and item.second_rod else name for name in item.electrodes]
            return Grounding(f"{electrode_conductor_text(item, tag)}, {item.tag}", tuple(electrodes) or ("electrodes not stated",))
    return None


def _neutral_rows(given: Given) -> tuple[tuple[str, str, str], ...]:
    """Return for each mode and each continuous neutral the enclosures on it and where it is bonded."""
    rows: dict[tuple[str, str], list[str]] = {}
    for mode in given.system.modes:
        for network in neutral_networks(given.system, mode):
            bonded = _bonded_at(given, network)
            if bonded:
                modes = rows.setdefault((", ".join(network.enclosures), bonded), [])
                modes += [str(mode)] if str(mode) not in modes else []
    return tuple((", ".join(modes), enclosures, bonded) for (enclosures, bonded), modes in rows.items())


def _bonded_at(given: Given, network: NeutralNetwork) -> str:
    """Return where a neutral is bonded, or what must be known to say so; empty where no circuit of it has a neutral."""
    try:
        if not carries_neutral(given, network):
            return ""
    except MissingFactError as missing:
        return f"not stated: {'; '.join(missing.names)}"
    return ", ".join(network.bonded) or ("not stated" if network.not_stated else "nowhere")


def _shutdown_trees(evaluation: Evaluation) -> tuple[Unit, ...]:
    """Return the part of the one-line diagram between each array and the busbar or inverter it feeds."""
    found: list[Unit] = []
    for root in one_line_of(evaluation).roots:
        found.extend(_holding_arrays(root))
    return tuple(found)


def _holding_arrays(unit: Unit) -> list[Unit]:
    """Return the lowest units with a busbar that have an array beyond them, cut down to the ways that lead to it."""
    deeper = [kept for branch in unit.branches if branch.unit is not None for kept in _holding_arrays(branch.unit)]
    if deeper or unit.kind not in _KINDS_WITH_BUS:
        return deeper
    kept = _only_arrays(unit)
    return [replace(kept, inside=(), bond="", grounding=None)] if kept is not None else []


def _only_arrays(unit: Unit) -> Unit | None:
    """Return a unit with only what leads to arrays; None where nothing does."""
    if unit.kind == "array":
        return replace(unit, grounding=None)
    branches = []
    for branch in unit.branches:
        beyond = _only_arrays(branch.unit) if branch.unit is not None else None
        if beyond is not None:
            branches.append(replace(branch, unit=beyond))
    return replace(unit, branches=tuple(branches), grounding=None) if branches else None


def _shutdown_notes(evaluation: Evaluation) -> tuple[str, ...]:
    """Return what is controlled, from the provisions of the edition in force, and what starts it here; nothing where nothing is."""
    if not has_rapid_shutdown(evaluation):
        return ()
    code = evaluation.given.code
    boundary, outside, inside = (code.provision(f"rapid_shutdown_{name}") for name in ("array_boundary", "outside_array", "inside_array"))
    controlled = code.provision("rapid_shutdown_controlled_conductors")
    notes = []
    if controlled.is_in_force:
        which = (
            "Every inverter output is"
            if controlled.flag("every_inverter_output")
            else "Inverter outputs inside the array boundary alone are"
        )
        notes.append(f"Dc circuits of the array are controlled. {which} controlled with them ({controlled.citation}).")
    if boundary.is_in_force:
        notes.append(f"Array boundary: {value_text(boundary.value('boundary_ft'))} from the array in all directions ({boundary.citation}).")
    if outside.is_in_force:
        limit, seconds = value_text(outside.value("limit_v")), value_text(outside.value("within_s"))
        entry = value_text(outside.value("entry_ft"))
        notes.append(
            f"Controlled conductors outside the boundary, or more than {entry} inside a building from where they enter: "
            f"at most {limit} within {seconds} of initiation ({outside.citation})."
        )
    if inside.is_in_force:
        limit, seconds = value_text(inside.value("limit_v")), value_text(inside.value("within_s"))
        notes.append(f"Inside the boundary: {inside.term or 'listed system'}, or at most {limit} within {seconds} ({inside.citation}).")
    handles = [h for h in evaluation.system.handles.values() if h.kind == "rapid shutdown initiator"]
    for handle in handles:
        place = handle.place.description if handle.place is not None else "place not stated"
        notes.append(f"{handle.id} {handle.name}, {place}: {handle.action}; stops {', '.join(handle.stops)}.")
    return tuple(notes)
