"""Cuts a tree of units into parts that go on different sheets; both ends of a cut carry the same match mark."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from permitgen.views.one_line import Branch, Unit, Way

Path = tuple[int, ...]
"""Indices of branches from the root to a unit."""


def places_to_cut(root: Unit) -> Iterator[tuple[Path, Unit]]:
    """Yield every unit that could go on another sheet, with its path."""
    for index, branch in enumerate(root.branches):
        if branch.unit is None or not any(way.lead for way in branch.ways):
            continue
        yield (index,), branch.unit
        for path, unit in places_to_cut(branch.unit):
            yield (index, *path), unit


def cut(root: Unit, path: Path, mark: str) -> tuple[Unit, Unit]:
    """Return the tree without the unit at ``path``, and that unit as a root of its own; both ends name the match mark."""
    index, *rest = path
    branch = root.branches[index]
    if branch.unit is None:
        raise ValueError("there is no unit at this place")
    if rest:
        kept, taken = cut(branch.unit, tuple(rest), mark)
        return _with_branch(root, index, replace(branch, unit=kept)), taken
    tags = ", ".join(tag for way in branch.ways if way.lead for tag in way.lead.tags)
    taken = replace(branch.unit, came_from=f"{tags} from {root.tag}, {mark}")
    return _with_branch(root, index, Branch(branch.ways, None, f"to {branch.unit.tag}, {mark}")), taken


def cut_busbar(root: Unit, count: int, mark: str) -> tuple[Unit, Unit]:
    """Return a unit with its first ``count`` branches and the same unit with the others; the busbar goes on at the match mark."""
    node = next((way.node for branch in root.branches for way in branch.ways), "")
    names = _all_conductors(root)
    onward = Branch((Way("", (), None, node, conductors=names),), None, f"{root.tag} continues, {mark}")
    first = replace(root, branches=(*root.branches[:count], onward))
    rest = replace(
        root,
        branches=root.branches[count:],
        entries=(Way("", (), None, node, conductors=names),),
        came_from=f"{root.tag} continued, {mark}",
        inside=(),
        bond="",
        grounding=None,
        step="",
    )
    return first, rest


def _all_conductors(root: Unit) -> tuple[str, ...]:
    """Return the name of every conductor that lands in a unit, in the order in which busbars stand."""
    ways = [*root.entries, *(way for branch in root.branches for way in branch.ways)]
    found = {name for way in ways for name in way.conductors}
    return tuple(name for name in ("L1", "L2", "L3", "+", "−", "N", "G") if name in found)


def with_text(root: Unit, old: str, new: str) -> Unit:
    """Return the tree with ``old`` replaced in its match marks."""
    branches = tuple(
        replace(
            branch, reference=branch.reference.replace(old, new), unit=with_text(branch.unit, old, new) if branch.unit is not None else None
        )
        for branch in root.branches
    )
    return replace(root, branches=branches, came_from=root.came_from.replace(old, new))


def _with_branch(root: Unit, index: int, branch: Branch) -> Unit:
    return replace(root, branches=(*root.branches[:index], branch, *root.branches[index + 1 :]))
