"""Changes one project, or a file that goes with it, in ways in which files go wrong. The same seed gives the same change."""

from __future__ import annotations

import copy
import random
from collections.abc import Iterator
from typing import Any

Tree = Any
Spot = tuple[Any, Any]

# Each is one that a reader of text, of numbers or of YAML has been known to fall over (common practice, no published source).
HOSTILE = (
    "", " ", "~", "null", "unknown", "none", "size", "yes", "no", "0", "-1", "-0", "1e400", "1e-400", "nan", ".inf", "1_000", "0x10", "1,5",
    "999999999999999999999", "0 A", "0 ft", "-5 ft", "1e300 ft", "0.0000001 in", "0 V", "1e9 V", "0 %", "0 AWG", "9999 kcmil", "2P 0 A",
    "0P 20 A", "99P 99999 A", "0 kW", "1e12 kWh", "200 A", "12 AWG", "1/0", "½ in", "#12", "[", "{", "{}", "[]", "{{ 7*7 }}", "{% x %}",
    "<script>", "</w:t>", "&amp;", "%s%n", "../../etc/passwd", "/dev/zero", "C:\\x", "2026-02-30", "9999-12-31", "0001-01-01", "A" * 3000,
    "é" * 90, "e\u0301", "\u200d", "🏠", "漢字", "عربي", "\U00012000", "MSP", "MSP.main", "UTIL", "GEN", "any source", "self",
)  # fmt: skip
KEYS = ("", "kind", "catalog", "place", "length", "0", "-", "a b", "<<", "__class__", "x" * 101, "é", "name", "size", "main")


def spots(tree: Tree) -> Iterator[Spot]:
    """Yield every container with each of its keys or indexes."""
    waiting = [tree]
    while waiting:
        holder = waiting.pop()
        for key in list(holder) if isinstance(holder, dict) else range(len(holder)):
            yield holder, key
            if isinstance(holder[key], dict | list):
                waiting.append(holder[key])


def mutated(tree: Tree, chance: random.Random, times: int) -> Tree:
    """Return ``tree`` with so many changes; the given one stays as it is."""
    changed = copy.deepcopy(tree)
    for _ in range(times):
        found = list(spots(changed))
        if not found:
            break
        holder, key = chance.choice(found)
        chance.choice((_drop, _drop, _double, _replace, _replace, _replace, _insert, _swap, _swap, _emptied, _scaled))(
            changed, holder, key, chance
        )
    return changed


def _drop(_: Tree, holder: Tree, key: Any, __: random.Random) -> None:
    del holder[key]


def _double(_: Tree, holder: Tree, key: Any, chance: random.Random) -> None:
    if isinstance(holder, list):
        holder.insert(chance.randrange(len(holder) + 1), copy.deepcopy(holder[key]))
    else:
        holder[f"{key}2"] = copy.deepcopy(holder[key])


def _replace(_: Tree, holder: Tree, key: Any, chance: random.Random) -> None:
    holder[key] = chance.choice((*HOSTILE, [], {}, [[]], [{}], {"x": "y"}, ["a", "b"]))


def _insert(_: Tree, holder: Tree, __: Any, chance: random.Random) -> None:
    if isinstance(holder, dict):
        holder[chance.choice(KEYS)] = chance.choice(HOSTILE)
    else:
        holder.insert(0, chance.choice(HOSTILE))


def _swap(tree: Tree, holder: Tree, key: Any, chance: random.Random) -> None:
    """Put there what stands elsewhere, in half of all cases under a key of the same name."""
    found = [spot for spot in spots(tree) if chance.random() < 0.5 or spot[1] == key]
    if found:
        other, there = chance.choice(found)
        holder[key] = copy.deepcopy(other[there])


def _emptied(_: Tree, holder: Tree, key: Any, __: random.Random) -> None:
    if isinstance(holder[key], dict | list):
        holder[key] = type(holder[key])()


def _scaled(_: Tree, holder: Tree, key: Any, chance: random.Random) -> None:
    """Make a number zero, tiny, huge or below zero, its unit kept."""
    head, _, unit = str(holder[key]).partition(" ")
    if isinstance(holder[key], str) and head.lstrip("-").replace(".", "", 1).isdigit():
        holder[key] = f"{chance.choice(('0', '0.001', '1', '100000', '-' + head, head + '0'))} {unit}".strip()


def damaged(content: bytes, chance: random.Random) -> bytes:
    """Return ``content`` with some bytes changed, lost or doubled."""
    found = bytearray(content)
    for _ in range(chance.choice((1, 2, 5, 20))):
        if not found:
            break
        at, length = chance.randrange(len(found)), chance.choice((1, 1, 4, 30))
        found[at : at + length] = chance.choice(
            (b"", bytes(found[at : at + length]) * 2, b"\0", b"\xff", b"[", b"{", b": ", b"&a *a", b"<<: ", b"\n")
        )
    return bytes(found)
