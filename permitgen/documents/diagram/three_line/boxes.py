"""Units without busbars in the three-line diagram: boxes on the tracks, with the one-line symbol inside that says what they are."""

from __future__ import annotations

from collections.abc import Callable

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.styles import MEDIUM, THIN
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.earth import draw_earth
from permitgen.documents.diagram.manner import ARRAY_PEN, CONTROL_PEN, ENCLOSURE_PEN, GAP_MM, Manner, inks
from permitgen.documents.diagram.parts import chain_width, part_extent, part_width
from permitgen.documents.diagram.sketch import Block, Sketch, block_of, snapped
from permitgen.documents.diagram.stack import Draft, Stack, stack_branches
from permitgen.documents.diagram.three_line.tracks import THREE_LINE, TRACK_MM, depth, draw_poles, track_pen
from permitgen.documents.diagram.words import unit_words
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols import conversion, loads, metering, sources
from permitgen.documents.symbols.symbol import UNIT, Inks, Symbol
from permitgen.views.one_line import Part, Unit, Way
from permitgen.views.one_line_ways import CONTROL_NODE, GROUND_NAME

_CLEAR_MM = 9.0
"""Room above a box for tags and ratings of what leaves it."""
_WIDTH_MM = 8 * UNIT
_AROUND_MM = 2.5 * UNIT
_SYMBOL_MM = 2.7 * UNIT
"""Half the height of the symbol of an array with its rays."""
_DOT_MM = 0.35 * UNIT
_MAKERS: dict[str, Callable[[Inks], Symbol]] = {
    "utility": sources.utility,
    "meter": metering.meter,
    "inverter": conversion.inverter,
    "storage": sources.battery,
    "generator": sources.generator,
    "power inlet": sources.power_inlet,
    "array": sources.array,
    "vehicle supply": loads.vehicle_supply,
    "appliance": loads.appliance,
    "energy_monitor": loads.energy_monitor,
    "initiator": loads.initiator,
    "loads": loads.load_arrow,
}
_AT_THE_END = frozenset(
    {"storage", "generator", "array", "vehicle supply", "appliance", "energy_monitor", "initiator", "loads", "equipment"}
)


def draft_box(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """Return a unit drawn as a box: its text above where lines go on at the right, else beside it."""
    width = _width(unit, manner)
    words = unit_words(unit, manner, manner.above_mm if unit.branches or unit.kind not in _AT_THE_END else manner.column_mm(width + GAP_MM))
    overhang = words.width + 2 * GAP_MM - width if unit.branches else 0.0
    stack = stack_branches(
        unit.branches,
        draft,
        manner.beyond(width),
        least_lead_mm=overhang,
        least_pitch_mm=pitch if _is_passed(unit) else 0.0,
        leads=THREE_LINE,
    )
    entries = _entry_heights(unit, stack, pitch)
    sketch = Sketch()
    box = _body(unit, stack, entries, width, manner)
    pen = {"array": ARRAY_PEN, "junction": THIN}.get(unit.kind, ENCLOSURE_PEN if unit.kind in ("disconnect", "transfer switch") else MEDIUM)
    sketch.boundary(box, pen)
    _draw_inside(sketch, unit, stack, entries, width, manner)
    if unit.branches or unit.kind not in _AT_THE_END:
        words.draw(sketch, 0.0, min(box.top - GAP_MM, -_CLEAR_MM) - words.height)
    else:
        words.draw(sketch, width + GAP_MM, (box.top + box.bottom - words.height) / 2)
    sketch.add(stack.beyond, width, 0.0)
    if unit.grounding is not None:
        draw_earth(sketch, unit.grounding, (2 * UNIT, box.bottom), manner)
    return block_of(sketch, entries)


def _is_passed(unit: Unit) -> bool:
    """Whether conductors go straight through: as many ways in as out, side by side."""
    return unit.kind in ("junction", "disconnect", "meter")


def _width(unit: Unit, manner: Manner) -> float:
    if unit.kind == "disconnect":
        return snapped(chain_width(_poles(unit), manner) + 2 * UNIT)
    if unit.kind == "transfer switch":
        return 16 * UNIT
    notes = max((text_width(_note(way), LETTERING.text) for way in unit.entries), default=0.0) if unit.kind == "array" else 0.0
    return max(_WIDTH_MM if unit.kind != "utility" else 9 * UNIT, snapped(notes + 2.0)) + _parts_mm(unit, manner)


def _own_parts(unit: Unit) -> tuple[Part, ...]:
    """Return what opens a source or load inside its own box, between its terminals and its symbol; of an inverter its relay."""
    if unit.kind == "inverter" and unit.entries:
        return unit.entries[0].parts
    return unit.parts if unit.kind in _AT_THE_END and unit.kind != "array" and unit.entries else ()


def _parts_mm(unit: Unit, manner: Manner) -> float:
    return snapped(sum(part_width(part, manner) + UNIT for part in _own_parts(unit)))


def _last_track(way: Way) -> float:
    return depth(way.conductors)


def _note_top(way: Way) -> float:
    """Where the note of an array's row begins: below its last track and below its symbol."""
    return max(depth(way.conductors), depth(way.conductors) / 2 + _SYMBOL_MM) + 0.8


def _note(way: Way) -> str:
    return ", ".join(text for text in (way.terminal, way.note) if text)


def _poles(unit: Unit) -> tuple[Part, ...]:
    """Return what opens a disconnect: its breaker, its switch, or its switch with fuses behind it."""
    device = unit.parts[0] if unit.parts else Part("switch")
    bare = Part(device.kind, device.above, device.below[-1:], opens_neutral=device.opens_neutral)
    return (Part("switch", opens_neutral=device.opens_neutral), bare) if device.kind == "fuse" else (bare,)


def _entry_heights(unit: Unit, stack: Stack, pitch: float) -> tuple[float, ...]:
    """Ways in lie level with the way out of the same conductor where there is one."""
    found: list[float] = []
    for way in unit.entries:
        level = next((tap.y for tap in stack.taps if tap.way.node == way.node and tap.y not in found), None) if _is_passed(unit) else None
        if level is None:
            last = found[-1] if found else 0.0
            least = 10 * UNIT if unit.kind == "array" else depth(unit.entries[len(found) - 1].conductors) + 4 * UNIT
            level = snapped(last + max(least, pitch)) if found else 0.0
        found.append(level)
    return tuple(found) or (0.0,)


def _body(unit: Unit, stack: Stack, entries: tuple[float, ...], width: float, manner: Manner) -> Box:
    below = _note_top if unit.kind == "array" else _last_track
    reach = [y + below(way) for y, way in zip(entries, unit.entries, strict=False)]
    reach += [tap.y + depth(tap.way.conductors) for tap in stack.taps]
    tops = [*entries, *(tap.y for tap in stack.taps)]
    low = max([4 * UNIT - _AROUND_MM, *reach])
    parts = [part_extent(part, manner) for part in _own_parts(unit)]
    low = max([low, *(entries[0] + depth(unit.entries[0].conductors) + part.below for part in parts)])
    above = max([_CLEAR_MM if unit.kind == "disconnect" else _AROUND_MM, *(part.above + GAP_MM for part in parts)])
    return Box(0.0, min(tops) - above, width, low + _AROUND_MM)


def _draw_inside(sketch: Sketch, unit: Unit, stack: Stack, entries: tuple[float, ...], width: float, manner: Manner) -> None:
    """Draw what a box holds: poles, splices, or its symbol."""
    for tap in stack.taps:
        if tap.way.node == CONTROL_NODE:
            sketch.wire(((width - UNIT, tap.y), (width, tap.y)), CONTROL_PEN)
    if unit.kind == "disconnect" and unit.entries:
        _draw_switch(sketch, unit, (entries[0], width), manner)
        return
    if unit.kind == "junction":
        _draw_splices(sketch, unit, stack, entries, width)
        return
    if unit.kind == "transfer switch":
        _write_positions(sketch, unit, stack, entries, width)
        return
    if unit.kind == "array":
        for way, y in zip(unit.entries, entries, strict=False):
            _symbol_at(sketch, unit, width / 2, y + depth(way.conductors) / 2)
            sketch.text(1.0, y + _note_top(way) + LETTERING.text.cap_height_mm, _note(way), LETTERING.text)
        return
    lead_in = next((way for way in unit.entries if way.node != CONTROL_NODE), None)
    center = depth(lead_in.conductors) / 2 if lead_in is not None else TRACK_MM
    inner = _draw_own_parts(sketch, unit, entries, manner)
    _symbol_at(sketch, unit, inner + (width - inner) / 2, (entries[0] if unit.entries else 0.0) + center)


def _draw_own_parts(sketch: Sketch, unit: Unit, entries: tuple[float, ...], manner: Manner) -> float:
    """Draw what opens a source or load inside its box, from its edge; return how far that reaches."""
    x = 0.0
    for part in _own_parts(unit):
        end = x + part_width(part, manner) + UNIT
        draw_poles(sketch, part, unit.entries[0].conductors, (x, end), entries[0], manner, is_existing=unit.is_existing)
        x = end
    return _parts_mm(unit, manner)


def _symbol_at(sketch: Sketch, unit: Unit, x: float, y: float) -> None:
    maker = _MAKERS.get(unit.kind, loads.equipment)
    symbol = maker(inks(is_existing=unit.is_existing))
    box = symbol.box
    sketch.symbol(symbol, x - (box.left + box.right) / 2, y - (box.top + box.bottom) / 2)


def _draw_switch(sketch: Sketch, unit: Unit, at: tuple[float, float], manner: Manner) -> None:
    y, width = at
    poles = _poles(unit)
    x = 0.0
    for index, part in enumerate(poles):
        end = width if index == len(poles) - 1 else x + part_width(part, manner) + UNIT
        draw_poles(sketch, part, unit.entries[0].conductors, (x, end), y, manner, is_existing=unit.is_existing)
        x = end


def _draw_splices(sketch: Sketch, unit: Unit, stack: Stack, entries: tuple[float, ...], width: float) -> None:
    """Join what lies on one node; conductors of the same name by an upright line with dots, grounding conductors of all nodes."""
    landings: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for y, way in zip(entries, unit.entries, strict=False):
        _collect(landings, way, y, 0.0)
    for tap in stack.taps:
        _collect(landings, tap.way, tap.y, width)
    names = list(dict.fromkeys(name for _, name in landings))
    for (_, name), places in landings.items():
        x = width / 2 + (names.index(name) - (len(names) - 1) / 2) * UNIT
        pen = track_pen(name, is_existing=unit.is_existing)
        levels = sorted({level for level, _ in places})
        sketch.wire(((x, levels[0]), (x, levels[-1])), pen)
        for level, edge in places:
            sketch.wire(((x, level), (edge, level)), pen)
            sketch.dot(x, level, _DOT_MM, LETTERING.text.color)


def _collect(landings: dict[tuple[str, str], list[tuple[float, float]]], way: Way, y: float, edge: float) -> None:
    """Note at which height and from which edge each conductor of a way arrives; grounding conductors meet in the box."""
    for index, name in enumerate(way.conductors):
        node = "" if name == GROUND_NAME else way.node
        landings.setdefault((node, name), []).append((y + index * TRACK_MM, edge))


def _write_positions(sketch: Sketch, unit: Unit, stack: Stack, entries: tuple[float, ...], width: float) -> None:
    style = LETTERING.text
    for y, way in zip(entries, unit.entries, strict=False):
        if way.node != CONTROL_NODE:
            sketch.text(UNIT / 2, y + depth(way.conductors) / 2 + style.cap_height_mm / 2, way.terminal, style)
    for tap in stack.taps:
        if tap.way.node != CONTROL_NODE:
            sketch.text(width - UNIT / 2, tap.y + depth(tap.way.conductors) / 2 + style.cap_height_mm / 2, tap.way.terminal, style, "end")
