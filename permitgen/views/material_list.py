"""The material list in words: what is new, by kind, how much of it, and which circuits each quantity leads to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.evaluation.takeoff import CableKind, ConductorKind, Lengths, Piece, RunKind, Takeoff, takeoff_of
from permitgen.values.value import Value
from permitgen.views.circuit_text import device_text
from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.material_equipment import Chosen, MaterialRow, device_rows, equipment_rows, label_rows
from permitgen.views.title import DocumentTitle, title_of
from permitgen.views.wiring_schedules import CONDUCTOR_COLORS, SHORT_COLORS
from permitgen.views.wording import number_text, value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.views.material_equipment import LabelPieces

NOT_STATED = "length not stated"
AnyLengths = Lengths[RunKind] | Lengths[CableKind] | Lengths[ConductorKind]
_NOTHING = "–"
_MATERIALS = {"copper": "Copper", "aluminum": "Aluminum"}
_OTHER_USES = {None: "Control", "grounding electrode conductor": "Grounding electrode", "bonding conductor": "Bonding"}
# What the program calls the choice of a size, by the first word of the use. A neutral follows its circuit, and is not chosen by itself.
_SIZED_AS = {"ground": "equipment grounding conductor", "grounding": "grounding electrode conductor", "neutral": "neutral"}
COUNTED = (
    "Counted is what is new in this file: conductors by circuit and run, raceways by run, devices and equipment by tag. Sizes that the "
    "program chose count as chosen. A length that nobody states is listed as not stated and is in no sum. Fittings, supports, straps, "
    "connectors and what the file does not hold are not counted."
)


@dataclass(frozen=True, slots=True)
class MaterialSection:
    """Rows under a title; ``size`` and ``detail`` head the second and third column; ``by_length`` says that quantities are lengths."""

    title: str
    size: str
    detail: str
    rows: tuple[MaterialRow, ...]
    by_length: bool = False


@dataclass(frozen=True, slots=True)
class MaterialList:
    """All that is to be bought, and ``left_out``: tag, what it is, why it is not counted."""

    title: DocumentTitle
    allowance: str
    sections: tuple[MaterialSection, ...]
    left_out: tuple[tuple[str, str, str], ...]
    document_id: str = field(default="", metadata=BESIDE)


def material_list_of(evaluation: Evaluation, labels: LabelPieces) -> MaterialList:
    """Return the material list; ``labels`` are those that are printed, with their sizes and stock."""
    takeoff = takeoff_of(evaluation.given)
    chosen = frozenset((sizing.what, sizing.tag) for sizing in evaluation.sizings if sizing.chosen)
    sections = (
        MaterialSection("Conductors", "SIZE", "COLOR", tuple(_conductor_rows(takeoff.conductors, chosen)), by_length=True),
        MaterialSection("Cables", "SIZE", "HOLDS", tuple(_cable_rows(takeoff.cables, chosen)), by_length=True),
        MaterialSection("Raceways", "TRADE SIZE", "RUNS", tuple(_raceway_rows(takeoff.raceways, chosen)), by_length=True),
        MaterialSection("Breakers and fuses", "POLES, RATING", "INTERRUPTING", tuple(device_rows(evaluation, takeoff, chosen))),
        *(MaterialSection(title, "SIZE", "RATINGS", rows) for title, rows in equipment_rows(evaluation, takeoff)),
        MaterialSection("Labels, plates and stock", "SIZE", "MATERIAL", tuple(label_rows(labels))),
    )
    view = MaterialList(
        title=title_of(evaluation),
        allowance=_allowance(evaluation.system.material_allowance_percent),
        sections=tuple(section for section in sections if section.rows),
        left_out=tuple(_left_out(evaluation, takeoff)),
    )
    return with_document_id("material list", view)


def _allowance(percent: Value | None) -> str:
    if percent is None:
        return "No allowance is stated (settings: material_allowance); lengths are those along the runs, from enclosure to enclosure."
    return f"Allowance on lengths as stated: {value_text(percent)}, for ends, bends and waste; added in the column TO ORDER."


def _left_out(evaluation: Evaluation, takeoff: Takeoff) -> Iterator[tuple[str, str, str]]:
    system = evaluation.system
    for each in takeoff.not_counted:
        match each.what:
            case "circuit":
                yield each.tag, f"conductors of {system.circuits[each.tag].name}", each.why
            case "raceway":
                yield each.tag, system.raceways[each.tag].kind, each.why
            case "device":
                yield each.tag, device_text(system.devices[each.tag].device), each.why
            case "equipment":
                yield each.tag, system.equipment[each.tag].name, each.why


def _by_length(item: str, size: str, detail: str, lengths: AnyLengths, leads_to: str) -> MaterialRow:
    stated, order = lengths.stated_ft, lengths.order_ft
    return MaterialRow(
        item=item,
        size=size,
        detail=detail,
        quantity=stated.number if stated is not None else None,
        quantity_text=value_text(stated) if stated is not None else NOT_STATED,
        unit="ft",
        order=order.number if order is not None else None,
        order_text=value_text(order) if order is not None else _NOTHING,
        leads_to=leads_to,
        is_open=lengths.is_open,
    )


def _conductor_rows(found: Iterable[Lengths[ConductorKind]], chosen: Chosen) -> Iterator[MaterialRow]:
    for lengths in found:
        kind = lengths.kind
        use, color = (
            (CONDUCTOR_COLORS[kind.use][0], SHORT_COLORS[kind.use]) if kind.use in SHORT_COLORS else (_OTHER_USES[kind.use], _NOTHING)
        )
        material = " ".join(part for part in (_MATERIALS[kind.material], kind.insulation or ("bare" if kind.is_bare else "")) if part)
        said = use if use.startswith("PV") else f"{use[:1].lower()}{use[1:]}"
        size = _size(kind, lengths.pieces, chosen)
        yield _by_length(f"{material}, {said}", size, "bare" if kind.is_bare else color, lengths, _pieces_text(lengths.pieces))


def _cable_rows(found: Iterable[Lengths[CableKind]], chosen: Chosen) -> Iterator[MaterialRow]:
    for lengths in found:
        kind = lengths.kind
        inside = [f"{kind.ungrounded} × {kind.size or 'size not stated'}"]
        inside += [f"neutral {kind.neutral}"] if kind.neutral else []
        inside += [f"ground {kind.ground}"] if kind.ground else []
        item = ", ".join(part for part in (kind.kind, f"{_MATERIALS[kind.material].lower()} {kind.insulation}".strip()) if part)
        yield _by_length(item, _size(kind, lengths.pieces, chosen), ", ".join(inside), lengths, _pieces_text(lengths.pieces))


def _raceway_rows(found: Iterable[Lengths[RunKind]], chosen: Chosen) -> Iterator[MaterialRow]:
    for lengths in found:
        kind = lengths.kind
        sides = " × ".join(f"{number_text(side, 'in')} in" for side in kind.sides_in)
        size = f"{kind.trade_size} in" if kind.trade_size else sides or "size not stated"
        runs = [piece.run for piece in lengths.pieces if ("raceway", piece.run) in chosen and kind.trade_size]
        marked = f"{size}, chosen for {', '.join(runs)}" if runs else size
        parts = [f"{piece.run}: {_length(piece)}" for piece in lengths.pieces]
        item = f"{kind.kind}, riser, a part of its run" if kind.is_riser else kind.kind
        circuits = "; ".join(f"{', '.join(piece.of) or 'no circuit'} in {piece.run}" for piece in lengths.pieces)
        yield _by_length(item, marked, ", ".join(parts), lengths, circuits)


def _size(kind: ConductorKind | CableKind, pieces: Sequence[Piece], chosen: Chosen) -> str:
    """Return a size, and for which circuits the program chose it."""
    use = kind.use if isinstance(kind, ConductorKind) else "ungrounded"
    what = _SIZED_AS.get((use or "").partition(" ")[0], "conductor")
    tags = [tag for tag in dict.fromkeys(tag for piece in pieces for tag in piece.of) if (what, tag) in chosen]
    return (kind.size or "size not stated") + (f", chosen for {', '.join(tags)}" if kind.size and tags else "")


def _pieces_text(pieces: Iterable[Piece]) -> str:
    return "; ".join(
        f"{', '.join(piece.of)}: {piece.count} × {_length(piece)}{f' in {piece.run}' if piece.run else ''}" for piece in pieces
    )


def _length(piece: Piece) -> str:
    return value_text(piece.length_ft) if piece.length_ft is not None else NOT_STATED
