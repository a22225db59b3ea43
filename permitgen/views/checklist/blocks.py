"""Which lines are answered together: one look at an enclosure, one table of readings, or one line alone.

A look covers identity and what can be seen, and one tap says *as drawn here*. A torque, a reading, a polarity, a bond, an interlock or a
safety test is never part of a look: each is an answer of its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from permitgen.views.checklist.line import ChecklistLine

BlockKind = Literal["look", "table", "line"]

# What the nameplate says, by the check of the line.
_IDENTITY = frozenset(
    {"model", "busbar", "contactor_rating", "energy", "unit_energy", "units", "output", "modules", "current", "rating", "main", "serial"}
)
# What is seen without a tool and proves nothing by itself.
_SEEN = frozenset(
    {"conductor", "ground", "device", "raceway", "seal", "support", "clean", "space", "light", "electrode-conductor", "wiring", "branch"}
)
_LABELS = frozenset({"label", "label-removed", "labels"})
# Seen before something is covered, or of a bond or a polarity: answered one by one.
_ALONE = frozenset({"wiring:burial", "wiring:firestop", "wiring:grounding-bars", "wiring:pv-polarity", "wiring:dc-polarity"})
# Photos of what is covered later.
_OPEN = (":open", ":attachment", ":array", ":electrode")
# Readings that are taken in one go, with the heading of their table.
_TABLES = {
    "torque": "Torque",
    "insulation": "Insulation resistance before landing",
    "continuity": "Continuity of bonding",
    "neutral-closed": "Continuity of bonding",
    "supply": "Utility voltage before the main is closed",
    "voc": "Open-circuit voltage",
    "isc": "Short-circuit current",
    "standby": "Standby voltage",
    "branch-current": "Output current",
    "firmware": "Firmware",
}
_TABLES_OF_TESTS = {
    "island:L1-N": "island voltage",
    "island:L2-N": "island voltage",
    "island:L1-L2": "island voltage",
    "island:frequency": "island voltage",
    "generator:start": "generator running",
    "generator:voltage": "generator running",
    "generator:frequency": "generator running",
}
_TITLES_OF_TESTS = {"island voltage": "Voltage in backup mode", "generator running": "Generator running"}


@dataclass(frozen=True, slots=True)
class Block:
    """Lines answered together; ``title`` heads a look or a table."""

    key: str
    kind: BlockKind
    title: str
    lines: tuple[ChecklistLine, ...]

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why the lines of the block stand where they stand."""
        return tuple(dict.fromkeys(reason for line in self.lines for reason in line.reasons))


def check_of(line: ChecklistLine) -> str:
    """Return what a line checks: the beginning of its id."""
    return line.id.partition(":")[0]


def block_key(line: ChecklistLine, enclosure: str) -> tuple[str, BlockKind, str]:
    """Return under which key a line is answered together with others, how, and under which title."""
    check, finer = check_of(line), ":".join(line.id.split(":")[:2])
    if line.safety and check not in ("insulation", "continuity", "neutral-closed", "neutral-voltage", "ground-current"):
        return line.id, "line", ""
    if check in ("neutral-voltage", "ground-current"):
        return f"neutral {line.id.partition(':')[2]}", "table", "Neutral under load"
    if finer in _TABLES_OF_TESTS:
        name = _TABLES_OF_TESTS[finer]
        return name, "table", _TITLES_OF_TESTS[name]
    if check in _TABLES:
        key = f"{_TABLES[check]} {enclosure if check == 'torque' else ''}"
        return key, "table", _TABLES[check]
    return _seen(line, check, enclosure)


def _seen(line: ChecklistLine, check: str, enclosure: str) -> tuple[str, BlockKind, str]:
    if line.id in _ALONE:
        return line.id, "line", ""
    if check in _IDENTITY:
        return f"identity {enclosure}", "look", "Nameplate"
    if enclosure and (check in _LABELS or (check == "photo" and not line.id.endswith(_OPEN))):
        return f"labels {enclosure}", "look", "Closed, with its labels"
    if check in _SEEN or check in _LABELS or check == "photo":
        return f"seen {enclosure}", "look", "Wiring and enclosure"
    return line.id, "line", ""


def blocks_of(lines: Sequence[ChecklistLine], enclosures: Mapping[str, str]) -> tuple[Block, ...]:
    """Return the blocks of a section in the order in which their first lines stand; ``enclosures`` gives the enclosure of a line id."""
    found: dict[str, tuple[BlockKind, str, list[ChecklistLine]]] = {}
    for line in lines:
        key, kind, title = block_key(line, enclosures.get(line.id, ""))
        found.setdefault(key, (kind, title, []))[2].append(line)
    return tuple(Block(key, kind if len(of) > 1 else "line", title, tuple(of)) for key, (kind, title, of) in found.items())
