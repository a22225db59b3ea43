"""The checklist as one walk through the house: what needs no power first, enclosure by enclosure, then the tests under power.

Every section comes in as its module made it; here each line is put where somebody stands to answer it, and all is sorted by the pairs.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.isolation import service_handles
from permitgen.views.checklist.blocks import Block, blocks_of, check_of
from permitgen.views.checklist.line import ChecklistLine, ChecklistSection
from permitgen.views.checklist.order import Pair, Placed, demanded, edges_between, in_order, order_pairs, reasons_of

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.system import System

# Sections whose lines are answered at the enclosure they are of, where they are of one.
_AT_ENCLOSURES = ("before", "wiring", "torque", "labels", "photos")
_NEEDS_POWER = ("energize", "settings", "shutdown", "island", "generator")
# Lines that another section of the work holds than the module that makes them.
_ELSEWHERE = {
    "papers": "before",
    "locked": "before",
    "dead": "before",
    "neutral-open": "",
    "interlock": "bonding",
    "branch-current": "shutdown",
    "on:generator-armed": "generator",
}
EVERYWHERE = ChecklistSection("everywhere", "In every enclosure", "Looked at in each enclosure that was opened, before it is closed.", ())


def walked(
    evaluation: Evaluation, sections: Sequence[ChecklistSection], pairs: Sequence[Pair] | None = None
) -> tuple[ChecklistSection, ...]:
    """Return the sections as one walk, sorted by the pairs; ``pairs`` are those of ``order.yaml`` where None.

    Raises:
        UnsafeOrderError: the pairs cannot all be kept.
    """
    system = evaluation.system
    heads = {section.id: section for section in (*sections, EVERYWHERE, *_enclosures(system))}
    enclosures = {line.id: enclosure_of(system, line) for section in sections for line in section.lines}
    home = {line.id: _home(section.id, line, enclosures[line.id], heads) for section in sections for line in section.lines}
    lines = {line.id: line for section in sections for line in section.lines}
    placed = [_placed(system, line, enclosures[line.id]) for line in lines.values()]
    found = demanded(placed, order_pairs() if pairs is None else pairs)
    reasons = reasons_of(found)
    lines = {id_: replace(line, reasons=reasons.get(id_, ())) for id_, line in lines.items()}
    wanted = [heads[id_] for id_ in _natural(heads) if id_ in home.values()]
    ordered = in_order(wanted, _indexed([head.id for head in wanted], edges_between(home, found)), lambda head: head.title)
    within = _within(home, found)
    return tuple(
        _section(head, [line for id_, line in lines.items() if home[id_] == head.id], enclosures, within.get(head.id, []))
        for head in ordered
    )


def _within(home: Mapping[str, str], found: Iterable[tuple[Placed, Placed, Pair]]) -> dict[str, list[tuple[Placed, Placed, Pair]]]:
    """Return, for each section, what the pairs demand between lines of that section; between two sections it moves no block."""
    within: dict[str, list[tuple[Placed, Placed, Pair]]] = {}
    for demand in found:
        section = home[demand[0].id]
        if section == home[demand[1].id]:
            within.setdefault(section, []).append(demand)
    return within


def _section(
    head: ChecklistSection, lines: list[ChecklistLine], enclosures: dict[str, str], found: list[tuple[Placed, Placed, Pair]]
) -> ChecklistSection:
    blocks = blocks_of(lines, enclosures)
    keys = {line.id: block.key for block in blocks for line in block.lines}
    edges = _indexed([block.key for block in blocks], edges_between(keys, found))
    ordered = tuple(in_order(blocks, edges, lambda block: block.title or block.lines[0].id))
    in_block = tuple(line for block in ordered for line in block.lines)
    return replace(head, lines=in_block, blocks=tuple(_titled(block) for block in ordered), needs_power=head.id in _NEEDS_POWER)


def _titled(block: Block) -> Block:
    """Name a table that is of one kind by what its lines share."""
    shared = {line.group_title for line in block.lines}
    return replace(block, title=f"{block.title}, {shared.pop()}") if block.key.startswith("Insulation") and len(shared) == 1 else block


def _indexed(keys: Sequence[Hashable], edges: set[tuple[Hashable, Hashable]]) -> list[tuple[int, int]]:
    place = {key: index for index, key in enumerate(keys)}
    return [(place[one], place[other]) for one, other in edges if one in place and other in place]


def _natural(heads: dict[str, ChecklistSection]) -> list[str]:
    """Return the sections in the order in which the work is usually done, where no pair says otherwise."""
    at = [id_ for id_ in heads if id_.startswith("at:")]
    first, last = ["before", "insulation"], ["hand-over"]
    power_off = ["everywhere", "wiring", "torque", "labels", "photos", "strings", "bonding"]
    return [id_ for id_ in (*first, *at, *power_off, *_NEEDS_POWER, *last) if id_ in heads]


def _home(section: str, line: ChecklistLine, enclosure: str, heads: dict[str, ChecklistSection]) -> str:
    """Return the section in which a line is answered; its own where the house has no other that would hold it."""
    check = check_of(line)
    elsewhere = _ELSEWHERE.get(line.id, _ELSEWHERE.get(check))
    if elsewhere in heads:
        return elsewhere
    if section in _AT_ENCLOSURES or elsewhere == "":
        return f"at:{enclosure}" if f"at:{enclosure}" in heads else EVERYWHERE.id
    return section


def _placed(system: System, line: ChecklistLine, enclosure: str) -> Placed:
    check, *parts = line.id.split(":")
    finer = {f"{check}.{part}" for part in parts}
    if check == "on" and line.id != "on:generator-armed":
        finer.add("on.service" if set(parts[0].split("+")) & set(service_handles(system)) else "on.other")
    if line.proof is not None and line.proof.mode.startswith(str(OperatingMode.ISLANDED)):
        finer.add(f"{check}.islanded")
    return Placed(line.id, frozenset({check, *finer}), enclosure, line.tag if line.tag in system.circuits else "")


def enclosure_of(system: System, line: ChecklistLine) -> str:
    """Return the tag of the equipment at which somebody stands to answer a line; empty for the house as a whole."""
    at = line.id.partition("@")[2].partition(":")[0].partition(".")[0] or line.tag.partition(".")[0]
    if at in system.equipment:
        return at
    tags = [line.tag] if line.tag in system.circuits else list(system.circuits_in_run.get(line.tag, ()))
    ends = [end.tag for tag in tags[:1] for end in (system.circuits[tag].finish, system.circuits[tag].start)]
    ends += [control.device for control in system.controls.values() if line.tag in control.runs]
    return next((tag for tag in ends if tag in system.equipment and system.equipment[tag].kind != "utility_service"), "")


def _enclosures(system: System) -> tuple[ChecklistSection, ...]:
    """Return an empty section for each piece of equipment, in the order in which the power comes to it from the utility."""
    reached = system.graph.reach(system.utility_nodes, lambda _link: True)
    circuits = {tag: circuit.finish.tag for tag, circuit in system.circuits.items()}
    order = dict.fromkeys(circuits.get(node.partition(".")[0], node.partition(".")[0]) for node in reached)
    tags = [tag for tag in (*order, *system.equipment) if tag in system.equipment]
    return tuple(_head(system, tag) for tag in dict.fromkeys(tags))


def _head(system: System, tag: str) -> ChecklistSection:
    item = system.equipment[tag]
    where = item.place.description if item.place is not None else ""
    name = item.name or tag
    return ChecklistSection(f"at:{tag}", f"{name} ({tag})" if name != tag else tag, where, ())
