"""Boxes through which large conductors are pulled are long enough not to bend them short."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.code.equations.pull_box import angle_pull_in, entry_spacing_in, straight_pull_in
from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.box_conductors import Entering, entering, insulated_conductors
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem, ProjectLine
from permitgen.values.trade_size import trade_size_in
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.pass_through import JunctionBox

_ACROSS = {"left": "width", "right": "width", "top": "height", "bottom": "height", "back": "depth"}


@rule(
    "pull-box",
    title="Boxes through which large conductors are pulled are long enough not to bend them short",
    provision="pull_box_angle",
    judges="junction_box",
)
def judge(box: JunctionBox, given: Given) -> Judgement:
    """Judge the distances in a box that holds conductors of 4 AWG and larger.

    Requires: straight pulls 8 times the largest raceway; angle pulls, U pulls and splices 6 times the largest and the others of the
    wall, to the opposite wall, and entries of one conductor 6 times apart; or a box marked for what it holds.
    Why: a large conductor folded into a short box is cut by its edge.
    Applies to: boxes with conductors of 4 AWG and larger in raceways of 3/4 in and larger.
    Example that fails: a straight pull of 2 in conduit in a box of 15 in.
    Example that passes: the same in a box of 16 in.
    """
    found = entering(given, box)
    smallest = ConductorSize(given.provision("pull_box_angle").text("from_size"))
    if not found or all(size < smallest for size in insulated_conductors(given, box)):
        return does_not_apply(f"{box.tag} holds no conductors of {smallest} or larger")
    pull = box.word("pull")
    if not pull:
        return not_judged(f"how conductors pass {box.tag}: straight, angle, u or splice")
    method = _straight(box, given, found) if pull == "straight" else _angle(box, given, found)
    return any_of(f"{box.tag}, {pull} pull", [method, _marked(box, given)])


def _marked(box: JunctionBox, given: Given) -> Judgement:
    provision = given.provision("pull_box_marked")
    if not box.answer("marked_for_conductors"):
        return does_not_apply(f"{box.tag} is not marked for the conductors it holds").under(provision)
    return require(fact=True, message="marked for the conductors it holds").under(provision)


def _size(each: Entering, given: Given) -> Value:
    run = each.run
    name = given.need(run.trade_size if run is not None else None, f"trade size of the raceway of {each.circuit.tag}")
    assert run is not None  # noqa: S101 - a raceway without a trade size was asked for above
    at = run.trade_size_at
    origin = ProjectLine(at.file, at.line, at.column, at.path, f"{name} in") if at is not None else FromSystem(f"trade size of {run.tag}")
    return Value(trade_size_in(name), "in", origin, f"d_{run.tag}", f"trade size of {run.tag}")


def _straight(box: JunctionBox, given: Given, found: tuple[Entering, ...]) -> Judgement:
    provision = given.provision("pull_box_straight")
    largest = max((_size(each, given) for each in found), key=lambda value: value.number)
    needed = straight_pull_in.derive(raceway_factor=provision.value("raceway_factor"), largest_raceway_in=largest, provision=provision)
    walls = {_wall(each, box) for each in found}
    axis = {_ACROSS[wall] for wall in walls if wall}
    if "" in walls or len(axis) != 1:
        return not_judged(f"walls through which the raceways enter {box.tag}")
    length = given.need(box.fact(axis.pop()), f"length of {box.tag} between its entries")
    return require_at_least(f"{length.length} long, {needed.length} needed", computed=length, limit=needed).under(provision)


def _wall(each: Entering, box: JunctionBox) -> str:
    entry = each.run.entries.get(box.tag) if each.run is not None else None
    return entry.wall if entry is not None else ""


def _angle(box: JunctionBox, given: Given, found: tuple[Entering, ...]) -> Judgement:
    by_wall: dict[str, dict[str, Entering]] = {}
    parts = []
    for each in found:
        wall = _wall(each, box)
        if not wall or each.run is None:
            parts.append(not_judged(f"wall through which {each.circuit.tag} enters {box.tag}"))
        else:
            by_wall.setdefault(wall, {})[each.run.tag] = each
    # A raceway whose wall is not stated can only ask for more: what is too short without it stays too short.
    parts += parts_for(by_wall.items(), lambda at: _wall_to_wall(box, given, at[0], tuple(_size(each, given) for each in at[1].values())))
    return all_of("its distances suffice", [*parts, *parts_of(lambda: _spacing(box, given, found))])


def _wall_to_wall(box: JunctionBox, given: Given, wall: str, sizes: tuple[Value, ...]) -> Judgement:
    provision = given.provision("pull_box_angle")
    ordered = sorted(sizes, key=lambda value: -value.number)
    others = list(ordered[1:])
    rest = sum_of(others, symbol="Σd", title=f"other raceways on the {wall} wall", unit="in")
    needed = angle_pull_in.derive(
        raceway_factor=provision.value("raceway_factor"), largest_raceway_in=ordered[0], other_raceways_in=rest, provision=provision
    )
    length = given.need(box.fact(_ACROSS[wall]), f"distance from the {wall} wall of {box.tag} to the opposite wall")
    message = f"{length.length} from the {wall} wall, {needed.length} needed"
    return require_at_least(message, computed=length, limit=needed).under(provision)


def _spacing(box: JunctionBox, given: Given, found: tuple[Entering, ...]) -> Iterator[Judgement]:
    """Entries of the same conductor stand apart; of spliced circuits the conductors are other ones."""
    if box.word("pull") == "splice":
        return
    provision = given.provision("pull_box_angle")
    largest = max((_size(each, given) for each in found), key=lambda value: value.number)
    needed = entry_spacing_in.derive(entry_spacing_factor=provision.value("entry_spacing_factor"), raceway_in=largest, provision=provision)
    spacing = box.fact("entry_spacing")
    if spacing is None:
        yield not_judged(f"distance between the entries of one conductor in {box.tag}")
        return
    message = f"entries {spacing.length} apart, {needed.length} needed"
    yield require_at_least(message, computed=spacing, limit=needed).under(provision)
