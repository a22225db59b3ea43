"""The rows of the material list that are counted piece by piece: devices, boxes, equipment, labels."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.pass_through import JunctionBox
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.views.circuit_text import device_text
from permitgen.views.one_line_ratings import rating_lines
from permitgen.views.wording import number_text, value_text, with_unit

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.takeoff import Takeoff
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.views.label import LabelView
    from permitgen.views.placard import Placard

Chosen = frozenset[tuple[str, str]]
"""What the program chose the size of, with its tag."""
_NOTHING = "–"
_NOT_STATED = "not stated"


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """A line: how much of what, and where it goes. ``quantity`` None where nobody states it; ``order`` is it with the allowance.

    ``is_open`` says that a part of it has no length, and is in no sum.
    """

    item: str
    size: str
    detail: str
    quantity: float | None
    quantity_text: str
    unit: str
    order: float | None
    order_text: str
    leads_to: str
    is_open: bool = False


@dataclass(frozen=True, slots=True)
class LabelPieces:
    """The labels as they are set, each with width and height in inches, those that fit on no sheet, and the plates.

    ``sheets`` says how many sheets of ``stock`` carry the labels.
    """

    labels: tuple[tuple[LabelView, float, float], ...]
    too_large: tuple[LabelView, ...]
    sheets: int
    stock: str
    plates: tuple[Placard, ...]


def counted(item: str, size: str, detail: str, count: int | None, leads_to: str) -> MaterialRow:
    """Return a row that counts pieces; None where nobody says how many."""
    number = float(count) if count is not None else None
    text = number_text(number, "count") if number is not None else _NOT_STATED
    return MaterialRow(item, size, detail, number, text, "each", number, text, leads_to, is_open=number is None)


def device_rows(evaluation: Evaluation, takeoff: Takeoff, chosen: Chosen) -> Iterator[MaterialRow]:
    """Yield breakers and fuses by rating, poles and interrupting rating; a set of fuses counts pole by pole."""
    found: dict[tuple[str, str, str], list[InstalledDevice]] = {}
    for each in takeoff.devices:
        found.setdefault(_device_words(each.device), []).append(each)
    for (item, size, detail), alike in found.items():
        count = sum(each.device.poles if each.device.kind == "fuse" else 1 for each in alike)
        tags = [each.tag for each in alike if ("overcurrent device", each.tag) in chosen]
        marked = f"{size}, chosen for {', '.join(tags)}" if tags else size
        yield counted(item, marked, detail, count, "; ".join(_serves(evaluation, each) for each in alike))


def _device_words(device: OvercurrentDevice) -> tuple[str, str, str]:
    kind = "Fuse" if device.kind == "fuse" else "Circuit breaker"
    space = f", {device.space} size" if device.space != "full" else ""
    voltage = f", {device.marked_voltage}" if device.marked_voltage else ""
    rating = device.interrupting_rating_ka
    return f"{kind}{space}{voltage}", device_text(device).removesuffix(" fuse"), value_text(rating) if rating is not None else _NOT_STATED


def _serves(evaluation: Evaluation, each: InstalledDevice) -> str:
    name = each.name or (evaluation.system.circuits[each.circuit].name if each.circuit else "")
    handle = evaluation.system.handles.get(each.tag)
    said = name or (handle.name if handle is not None else "")
    tag = f"{each.tag} ({each.circuit})" if each.circuit and each.circuit != each.tag else each.tag
    return f"{tag} {said}".strip()


def equipment_rows(evaluation: Evaluation, takeoff: Takeoff) -> Iterator[tuple[str, tuple[MaterialRow, ...]]]:
    """Yield the titles with their rows: boxes, enclosures and equipment, the parts of arrays, electrodes."""
    boxes = [item for item in takeoff.equipment if isinstance(item, JunctionBox)]
    arrays = [item for item in takeoff.equipment if isinstance(item, PVArray)]
    others = [item for item in takeoff.equipment if item not in boxes and item not in arrays]
    circuits = {item.tag: evaluation.system.circuits_at.get(item.tag, ()) for item in takeoff.equipment}
    surge = [row for item in takeoff.equipment if (row := _surge(item)) is not None]
    yield "Boxes", tuple(_alike(boxes, circuits))
    yield "Enclosures and equipment", (*_alike(others, circuits), *surge)
    yield "Arrays", tuple(row for array in arrays for row in _parts_of(array, circuits[array.tag]))
    yield "Electrodes", tuple(counted("Ground rod", _NOTHING, _NOTHING, count, tag) for tag, count in takeoff.rods)


def _alike(items: Sequence[Equipment], circuits: Mapping[str, Sequence[str]]) -> Iterator[MaterialRow]:
    """Yield one row for equipment of one kind, size and ratings; what differs in name alone keeps its tag behind it."""
    found: dict[tuple[str, str, str], list[Equipment]] = {}
    for item in items:
        name = item.model or item.kind.replace("_", " ")
        lines = [line for line in rating_lines(item) if line != item.model and not line.startswith("type ")]
        found.setdefault((name, _outside(item), ", ".join(lines)), []).append(item)
    for (name, size, ratings), alike in found.items():
        counts = [item.unit_count if isinstance(item, EnergyStorageSystem) else 1 for item in alike]
        known = [count for count in counts if count is not None]
        total = sum(known) if len(known) == len(counts) else None
        leads_to = "; ".join(_where(item, circuits[item.tag]) for item in alike)
        label = name if name != alike[0].kind.replace("_", " ") or len(alike) > 1 else alike[0].name
        yield counted(label[:1].upper() + label[1:], size, ratings or _NOTHING, total, leads_to)


def _where(item: Equipment, circuits: Iterable[str]) -> str:
    joined = ", ".join(circuits)
    return f"{item.tag} {item.name}{f' ({joined})' if joined else ''}"


def _outside(item: Equipment) -> str:
    sides = [item.fact(name) for name in ("width", "height", "depth")]
    known = [number_text(side.number, side.unit) for side in sides if side is not None]
    size = with_unit(" × ".join(known), "in") if len(known) == len(sides) else ""
    volume = item.fact("volume")
    words = (size, value_text(volume) if volume is not None else "", f"Type {item.enclosure_type}" if item.enclosure_type else "")
    return ", ".join(word for word in words if word) or _NOTHING


def _surge(item: Equipment) -> MaterialRow | None:
    kind = item.word("surge_protection")
    if not kind or kind.casefold() == "none":
        return None
    discharge, rating = item.fact("surge_discharge"), item.fact("surge_short_circuit_rating")
    detail = ", ".join(f"{value_text(value)} {word}" for value, word in ((discharge, "discharge"), (rating, "SCCR")) if value is not None)
    return counted(f"Surge-protective device, {kind}", _NOTHING, detail or _NOTHING, 1, f"in {item.tag}")


def _parts_of(array: PVArray, circuits: Iterable[str]) -> Iterator[MaterialRow]:
    """Yield modules, inverters or converters at the modules, and attachments, as the file counts them."""
    leads_to = _where(array, circuits)
    modules = int(array.all_modules.number) if array.all_modules is not None else None
    if array.module is not None:
        power = value_text(array.module.power_w) if array.module.power_w is not None else _NOTHING
        yield counted(array.module.name, _module_size(array), power, modules, leads_to)
    if array.module_inverter is not None and array.branches:
        branches = ", ".join(f"{name}: {number_text(units.number, units.unit)}" for name, units in array.branches.items())
        units = sum(int(units.number) for units in array.branches.values())
        yield counted(array.module_inverter.name, _NOTHING, f"by branch {branches}", units, leads_to)
    if array.converter is not None:
        yield counted(array.converter.name, _NOTHING, "one at each module", modules, leads_to)
    attachments = array.fact("attachments")
    if attachments is not None:
        words = ", ".join(word for word in (array.word("flashing"), array.word("fastener")) if word)
        yield counted("Roof attachment", _NOTHING, words or _NOTHING, int(attachments.number), leads_to)


def _module_size(array: PVArray) -> str:
    sides = [side for side in (array.module.length_in, array.module.width_in) if side is not None] if array.module is not None else []
    return with_unit(" × ".join(number_text(side.number, side.unit) for side in sides), "in") if sides else _NOTHING


def label_rows(pieces: LabelPieces) -> Iterator[MaterialRow]:
    """Yield each label with its pieces, the sheets of stock that carry them, and the plates."""
    sizes = [(label, " × ".join(number_text(side, "in", decimals=1) for side in sides)) for label, *sides in pieces.labels]
    rows = [(label, with_unit(text, "in")) for label, text in sizes] + [(label, "fits on no sheet") for label in pieces.too_large]
    for label, size in rows:
        material = label.material_note.partition(" with ")[0].partition(",")[0].partition(";")[0] or _NOTHING
        leads_to = label.tag if label.tag and label.quantity == 1 else "; ".join(part for part in (label.tag, *label.places) if part)
        yield counted(label.name, size, material, label.quantity, leads_to or _NOTHING)
    if pieces.sheets:
        yield counted(f"Stock for labels.pdf, sheets of {pieces.stock}", pieces.stock, "as the labels on them", pieces.sheets, "labels.pdf")
    for plate in pieces.plates:
        yield counted(f"Directory placard {plate.number} of {plate.of}", plate.size, "plate or film as placard.pdf", 1, plate.place)
