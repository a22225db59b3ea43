"""Where loads are known as one figure, and which part of the installation such a figure covers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.system.walks.behind import nodes_behind
from permitgen.system.walks.dwelling_load import load_places

if TYPE_CHECKING:
    from collections.abc import Collection

    from permitgen.rules.given import Given
    from permitgen.system.known_load import KnownLoad


def known_within(given: Given, nodes: Collection[str]) -> tuple[tuple[KnownLoad, ...], frozenset[str]]:
    """Return the figures for loads that lie on ``nodes`` altogether, the outermost of nested ones, and the nodes they cover.

    Raises:
        MissingFactError: a figure is known for more than ``nodes``, and no existing load is listed for this part of it.
    """
    if not given.system.known_loads:
        return (), frozenset()
    places = load_places(given.system)
    inside = {tag: behind for tag, behind in _all_behind(given).items() if behind & places <= set(nodes) and behind & places & set(nodes)}
    _refuse_part_of_a_figure(given, nodes, inside)
    outer = [tag for tag, behind in inside.items() if not any(behind < other for other in inside.values())]
    return tuple(given.system.known_loads[tag] for tag in outer), frozenset().union(*(inside[tag] for tag in outer))


def outermost(given: Given) -> tuple[str, ...]:
    """Return the equipment of the figures that lie behind no other."""
    found = _all_behind(given)
    return tuple(tag for tag, behind in found.items() if not any(behind < other for other in found.values()))


def is_all_known(given: Given, nodes: Collection[str], covered: frozenset[str]) -> bool:
    """Whether no load is listed on ``nodes`` beside those that the figures cover.

    Raises:
        MissingFactError: a panel beside them has no load in the file: nobody says that it feeds none.
    """
    listed = _listed_places(given)
    beside = load_places(given.system) & set(nodes) - covered
    silent = [node.removesuffix(".bus") for node in sorted(beside - listed)]
    if silent:
        raise MissingFactError(f"load of {', '.join(silent)}, beside the loads that are known as one figure")
    return not beside


def _listed_places(given: Given) -> set[str]:
    system = given.system
    found = {f"{load.panel}.bus" for load in system.loads.values()}
    uses = {item.tag for item in system.equipment.values() if item.is_utilization_equipment}
    found |= {f"{tag}.input" for tag in uses}
    for circuit in system.circuits.values():
        for end, other in ((circuit.start, circuit.finish), (circuit.finish, circuit.start)):
            if other.tag in uses:
                found.add(f"{end.tag}.bus")
    return found


def _refuse_part_of_a_figure(given: Given, nodes: Collection[str], inside: Collection[str]) -> None:
    """A feeder behind a figure for the whole: the figure does not say which part of it is here."""
    places = load_places(given.system) & set(nodes)
    for tag, behind in _all_behind(given).items():
        if tag in inside or not places & behind or any(places <= _all_behind(given)[other] for other in inside):
            continue
        listed = {load.panel for load in given.system.loads.values() if load.is_new is False}
        tags = sorted(node.removesuffix(".bus") for node in places & behind if node.endswith(".bus"))
        silent = [each for each in tags if given.system.equipment[each].status == "existing" and each not in listed]
        if silent:
            raise MissingFactError(f"existing load of {', '.join(silent)}, a part of the load of {tag}")


def _all_behind(given: Given) -> dict[str, frozenset[str]]:
    return given.once_for_topology("behind known loads", lambda: {tag: nodes_behind(given.system, tag) for tag in given.system.known_loads})
