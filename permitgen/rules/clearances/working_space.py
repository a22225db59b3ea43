"""The clear working space in front of equipment is deep, wide and high enough.

3 ft deep at 120/240 V whatever is opposite; deeper where more than 150 V to ground stand open and a grounded wall or live parts are
opposite. 30 in wide or the width of the equipment, 6-1/2 ft high or its height. The article on storage asks for it in front of storage
units; for inverters officials differ on whether they are worked on while energized, and there this program advises.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from permitgen.code.equations.clearances import working_height_ft, working_width_in
from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, either_way, require_at_least
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import line_to_neutral
from permitgen.rules.rule import rule
from permitgen.system.equipment.dc_combiner import DCCombiner
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.place import Place

_COLUMN = {"none": "condition_1", "insulated": "condition_1", "grounded": "condition_2", "live": "condition_3"}
_ONE_DEPTH_TO_V = 150.0


@rule(
    "working-space",
    title="The clear working space in front of equipment is deep, wide and high enough",
    provision="working_space",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge depth, width and height of the clear space in front of one piece of equipment.

    Requires: depth by voltage to ground and what is opposite; width ≥ 30 in and the equipment's; height ≥ 6-1/2 ft and the equipment's.
    Why: somebody who touches a live part must be able to fall back.
    Applies to: panelboards, dc combiners, interconnect devices, disconnects, transfer switches, storage units; what is stated of
        inverters as advice. Where nobody says what is opposite, each condition is tried.
    Example that fails: panelboard 34 in from a freezer.
    Example that passes: panelboard with 3 ft of clear depth, 36 in of width, 8 ft of height.
    """
    if not (item.holds_devices or item.needs_working_space or item.working_space_is_advised):
        return does_not_apply(f"{item.tag}: no working space is asked for")
    place = given.need(item.place, f"place of {item.tag}")
    if item.working_space_is_advised and not item.needs_working_space:
        return _advised(item, place, given)
    parts = parts_of(lambda: _depth(item, place, given), lambda: _width(item, place, given), lambda: _height(item, place, given))
    return all_of(f"{item.tag}: working space clear", parts)


def _advised(item: Equipment, place: Place, given: Given) -> Judgement:
    """Judge what the file states of the space in front; whether the code asks for it turns on work done while energized."""
    judges = {"clear_depth": _depth, "clear_width": _width, "clear_height": _height}
    stated = [judge_part for name, judge_part in judges.items() if place.fact(name) is not None]
    if not stated:
        return does_not_apply(f"{item.tag}: working space by its instructions")
    parts = parts_for(stated, lambda judge_part: judge_part(item, place, given, otherwise=Verdict.CAUTION))
    return all_of(f"{item.tag}: working space clear", parts)


def _depth(item: Equipment, place: Place, given: Given, otherwise: Verdict = Verdict.VIOLATED) -> Judgement:
    clear = given.need(place.fact("clear_depth"), f"clear depth in front of {item.tag}")
    volts = _to_ground(item, given)
    opposite = place.word("opposite")
    columns: Iterable[str] = ("condition_1",)
    if volts.number > _ONE_DEPTH_TO_V:
        columns = (_COLUMN[opposite],) if opposite else dict.fromkeys(_COLUMN.values())

    def by(column: str) -> Judgement:
        needed = given.table("working_space_depth").band(volts.number, column).named("D", f"depth at {volts.figure} V to ground")
        message = f"{item.tag}: {clear.length} clear in front, {needed.length} needed"
        return require_at_least(message, computed=clear, limit=needed, otherwise=otherwise)

    asked = f"what is opposite {item.tag} (none, insulated, grounded or live)"
    return either_way([by(column) for column in columns], asked).under(given.provision("working_space_depth"))


def _to_ground(item: Equipment, given: Given) -> Value:
    """Voltage to ground: of ac the line-to-neutral voltage; of dc the whole voltage, because arrays float against ground."""
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(item.tag, ())]
    if any(circuit.is_dc for circuit in circuits):
        stated = item.voltage_v if isinstance(item, Disconnect) else getattr(item, "largest_dc_input_v", None)
        stated = stated or (item.marked_v if isinstance(item, DCCombiner) else item.fact("maximum_voltage"))
        volts: Value = given.need(stated, f"dc voltage of {item.tag}")
        return volts.named("V", f"dc voltage at {item.tag}")
    return line_to_neutral(given).named("V", "voltage to ground")


def _width(item: Equipment, place: Place, given: Given, otherwise: Verdict = Verdict.VIOLATED) -> Judgement:
    clear = given.need(place.fact("clear_width"), f"clear width in front of {item.tag}")
    smallest = given.provision("working_space").value("width_in")
    width = item.fact("width")
    needed = (
        working_width_in.derive(smallest_in=smallest, equipment_in=width, provision=given.provision("working_space")) if width else smallest
    )
    message = f"{item.tag}: {clear.length} clear width, {needed.length} needed"
    return require_at_least(message, computed=clear, limit=needed, otherwise=otherwise)


def _height(item: Equipment, place: Place, given: Given, otherwise: Verdict = Verdict.VIOLATED) -> Judgement:
    clear = given.need(place.fact("clear_height"), f"clear height in front of {item.tag}")
    provision = given.provision("working_space")
    smallest, height = provision.value("height_ft"), item.fact("height")
    needed = working_height_ft.derive(smallest_ft=smallest, equipment_in=height, provision=provision) if height else smallest
    excused = _may_keep_headroom(item, given)
    return require_at_least(
        f"{item.tag}: {clear.length} clear height, {needed.length} needed" + ("; an existing panel may keep less" if excused else ""),
        computed=clear,
        limit=needed,
        otherwise=Verdict.CAUTION if excused else otherwise,
    )


def _may_keep_headroom(item: Equipment, given: Given) -> bool:
    largest = given.provision("working_space").value("existing_dwelling_panel_a").number
    rating = item.busbar_rating_a if isinstance(item, Panelboard) else None
    return item.status == "existing" and rating is not None and rating.number <= largest


def counted(number: int, title: str) -> Value:
    """Return a count read off the plan."""
    return Value(float(number), "count", FromSystem("counted on the site plan"), "n", title)
