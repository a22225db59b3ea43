"""Interlocks between switches that stand apart, and what they leave closed in each mode."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import permutations
from typing import TYPE_CHECKING

from permitgen.system.graph import graph_of
from permitgen.system.operating_mode import ALL_MODES, OperatingMode

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.values.origin import ProjectLine

_Modes = Mapping[str, frozenset[OperatingMode]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Interlock:
    """Of the switches ``not_both_closed`` no two are closed together; or ``first_opens`` are open whenever ``when`` is closed.

    Switches are named as the graph names them: by their handles (``MSP.main``, ``MSP.2``, ``PVK``), or by the id of what opens
    without a hand (``ATS.alternate``, ``MID.contactor``).
    ``is_listed`` None means not stated.
    """

    not_both_closed: tuple[str, ...] = ()
    when: str = ""
    first_opens: tuple[str, ...] = ()
    by: str = ""
    is_listed: bool | None = None
    at: ProjectLine | None = None

    @property
    def switches(self) -> tuple[str, ...]:
        """Every switch that it joins."""
        return self.not_both_closed or (self.when, *self.first_opens)

    def __str__(self) -> str:
        words = (
            f"{' and '.join(self.not_both_closed)} not closed together"
            if self.not_both_closed
            else f"{' and '.join(self.first_opens)} open before {self.when} closes"
        )
        return f"{words} ({self.by})" if self.by else words


def is_called(link: Link, name: str) -> bool:
    """Whether a link is the switch ``name``."""
    return name in link.switching


def obeying(links: Iterable[Link], interlocks: Sequence[Interlock], sources: Sequence[PowerSource]) -> list[Link]:
    """Return the links with the modes that the interlocks leave them closed in.

    Where both switches lead to the same supply, the interlock does not tell which is closed when; then both stay as they are, and what
    must not be joined is judged as joined.
    """
    found = list(links)
    for interlock in interlocks:
        for opened in _opened_by(found, interlock, sources):
            found = [_opened(link, opened) for link in found]
    return found


def _opened_by(links: Sequence[Link], interlock: Interlock, sources: Sequence[PowerSource]) -> Iterator[_Modes]:
    """Yield which switches an interlock opens in which modes.

    What opens before another switch closes stays open while that is closed. Of a switch that no mode tells open the pair decides.
    """
    if interlock.not_both_closed:
        yield _opened_by_pair(links, interlock.not_both_closed, sources)
        return
    closed = frozenset(mode for link in links if is_called(link, interlock.when) for mode in link.closed_in)
    for name in interlock.first_opens:
        yield {name: closed} if closed != ALL_MODES else _opened_by_pair(links, (interlock.when, name), sources)


def _opened(link: Link, opened: _Modes) -> Link:
    modes = frozenset(mode for name, of in opened.items() if is_called(link, name) for mode in of)
    return replace(link, closed_in=link.closed_in - modes) if modes & link.closed_in else link


def _opened_by_pair(links: Sequence[Link], names: Sequence[str], sources: Sequence[PowerSource]) -> _Modes:
    supplies = {name: supplies_of(links, names, name, sources) for name in names}
    opened = dict.fromkeys(names, frozenset[OperatingMode]())
    for one, other in permutations(names, 2):
        here, there = supplies[one], supplies[other]
        if "generator" in here and "generator" not in there:
            opened[other] |= {OperatingMode.ON_GENERATOR}
            if "utility" in there and "utility" not in here:
                opened[one] |= ALL_MODES - {OperatingMode.ON_GENERATOR}
        elif "utility" in there and not here & {"utility", "generator"} and here:
            opened[one] |= {OperatingMode.WITH_UTILITY}
            opened[other] |= ALL_MODES - {OperatingMode.WITH_UTILITY}
    return opened


def supplies_of(links: Sequence[Link], open_switches: Sequence[str], name: str, sources: Sequence[PowerSource]) -> frozenset[str]:
    """Return the kinds of supply that one switch leads to while it and the others named are open."""
    starts = [node for link in links if is_called(link, name) for node in (link.first, link.second)]
    reached = graph_of(links).reach(starts, lambda link: not link.is_converter and not any(is_called(link, each) for each in open_switches))
    return frozenset(source.kind for source in sources if source.node in reached)
