"""The move that the 120 percent rule asks for: the breakers of the sources in free spaces at the end opposite the supply."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Remedy, RemedyKind
from permitgen.rules.quantities.busbar_feeds import (
    brings_source,
    devices_on_busbar,
    has_breakers_outside_file,
    links_on_busbar,
    sources_at_end,
)
from permitgen.system.panel_rows import spaces_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.link import Link
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.system import System

_Placed = tuple["Link", "OvercurrentDevice"]
_Moves = tuple[tuple["OvercurrentDevice", "OvercurrentDevice"], ...]


def moved_to_opposite_end(busbar: Busbar, given: Given) -> Iterator[Remedy]:
    """Offer the spaces at the end opposite the supply for the sources that stand elsewhere; nothing where a load stands in all of them."""
    placed = links_on_busbar(given, busbar)
    sources = [each for each in placed if brings_source(given, busbar, each[0])]
    if busbar.spaces is None or busbar.supply_end not in ("top", "bottom") or not sources:
        return
    if any(device.position is None for _, device in placed):
        return
    loads = {space for link, device in placed if (link, device) not in sources for space in spaces_of(device, device.position or 0)}
    found = _one_moved(busbar, sources, placed, given) or _places(busbar, sources, frozenset(loads))
    moves = [(link, device, space) for (link, device), space in found if space != device.position]
    if not moves or (len(moves) > 1 and len(found) < len(sources)):
        return
    words = " and ".join(f"{link.part} in space {space}" for link, _, space in moves)
    doubt = "" if has_breakers_outside_file(given, busbar) is False else " where free"
    changes = tuple((device, replace(device, position=space)) for _, device, space in moves)
    yield Remedy(f"{words}{doubt}, opposite the main", partial(_moved, moves=changes), RemedyKind.MOVE)


def _one_moved(busbar: Busbar, sources: Sequence[_Placed], placed: Sequence[_Placed], given: Given) -> list[tuple[_Placed, int]]:
    """Return the first free space from the far end with which one source moved is enough; empty where none is."""
    far = "bottom" if busbar.supply_end == "top" else "top"
    devices = {device.part: device for device in devices_on_busbar(given, busbar)}
    for moved in sources:
        link, breaker = moved
        others = (other for _, other in placed if other is not breaker)
        taken = {space for other in others for space in spaces_of(other, other.position or 0)}
        for space in _spaces_from_far_end(busbar):
            own = set(spaces_of(breaker, space))
            if max(own) > (busbar.spaces or 0) or own & taken:
                continue
            there = {**devices, link.part: replace(devices[link.part], position=space)}
            if sources_at_end(busbar, tuple(there.values()), far):
                return [(moved, space)]
    return []


def _places(busbar: Busbar, sources: Sequence[_Placed], taken: frozenset[int]) -> list[tuple[_Placed, int]]:
    """Return a space for each source, from the far end on; what stands in one of these already stays, the others fill what is left."""
    spaces = busbar.spaces or 0
    left = list(sources)
    found: list[tuple[_Placed, int]] = []
    used: set[int] = set(taken)
    for space in _spaces_from_far_end(busbar):
        there = [each for each in left if each[1].position == space]
        for each in (*there, *(other for other in left if other not in there)):
            own = set(spaces_of(each[1], space))
            if _is_at_end(busbar, own, found, spaces) and not own & used:
                used |= own
                found.append((each, space))
                left.remove(each)
                break
    return found


def _spaces_from_far_end(busbar: Busbar) -> Iterator[int]:
    rows = range(1, ((busbar.spaces or 0) + 1) // 2 + 1)
    for row in rows if busbar.supply_end == "bottom" else rows[::-1]:
        yield from (2 * row - 1, 2 * row)


def _is_at_end(busbar: Busbar, own: Set[int], found: Sequence[tuple[_Placed, int]], spaces: int) -> bool:
    """Whether a breaker in these spaces is within the panel, and the first one in its last row."""
    if max(own) > spaces:
        return False
    last = spaces if busbar.supply_end == "top" else 1
    return bool(found) or any((space + 1) // 2 == (last + 1) // 2 for space in own)


def _moved(system: System, *, moves: _Moves) -> System:
    for old, new in moves:
        system = system.with_device(old, new)
    return system
