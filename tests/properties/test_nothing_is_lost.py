"""From the evaluation to the printed derivation nothing is lost: every value of every judgement is one printed step or a leaf.

The walk is the test's own: it follows judgements, their parts and the inputs of derivations by object, and asks of the printed
sheet only that each derivation met on the way is there, with its own inputs. Steps that print alike and rest on different inputs
are two.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from permitgen.documents.calculation_steps import numbered_groups
from permitgen.package.opened_project import open_project
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.values.equation import Derivation, sum_of
from permitgen.values.origin import Assumed, FromSystem, ProjectLine, ProvisionField, TableCell
from permitgen.values.value import Value
from permitgen.views.calculation_sheet import view_of
from permitgen.views.explanation import steps_of

ROOT = Path(__file__).resolve().parents[2]
TOPOLOGIES = ("b01_pv_load_side", "b06a_generator_on_mid", "b11_detached_building")
HOUSES = ["demo_project", *(f"tests/topologies/{name}.yaml" for name in TOPOLOGIES)]


def judgements(judgement: Judgement) -> Iterator[Judgement]:
    yield judgement
    for part in judgement.parts:
        yield from judgements(part)


def derived_below(value: Value, seen: dict[int, Value]) -> None:
    if id(value) in seen:
        return
    seen[id(value)] = value
    if isinstance(value.origin, Derivation):
        for given in value.origin.inputs:
            derived_below(given, seen)


@pytest.fixture(scope="module", params=HOUSES)
def house(request):
    opened = open_project(ROOT / request.param)
    return opened.evaluation, view_of(opened.evaluation)


@pytest.fixture(scope="module")
def values(house):
    """Every value below every judgement that the sheet prints, by object."""
    found: dict[int, Value] = {}
    for finding in house[0].findings:
        if finding.verdict is not Verdict.DOES_NOT_APPLY:
            for one in judgements(finding.judgement):
                for value in (one.computed, one.limit, *one.values):
                    if value is not None:
                        derived_below(value, found)
    return tuple(found.values())


def test_every_derived_value_is_printed_once_with_its_own_inputs(house, values):
    printed = {}
    for group in numbered_groups(house[1]):
        for block in group.blocks:
            for step in block.steps:
                if step.is_first:
                    assert step.text.id not in printed
                    printed[step.text.id] = step
    derived = [value for value in values if isinstance(value.origin, Derivation)]
    assert len(derived) > 50
    for value in derived:
        step = printed[value.identity]
        lines = (*step.text.inputs, *step.text.uses)
        assert step.text.symbol == value.symbol
        assert sorted(line.symbol for line in lines) == sorted(given.symbol for given in value.origin.inputs)
        for use, given in zip(
            step.text.uses, [given for given in value.origin.inputs if isinstance(given.origin, Derivation)], strict=True
        ):
            assert use.step == given.identity
            assert use.step in printed
        assert all(use.number for use in step.uses)


def test_every_leaf_has_an_origin(values):
    leaves = [value for value in values if not isinstance(value.origin, Derivation)]
    assert leaves
    for leaf in leaves:
        assert isinstance(leaf.origin, ProjectLine | TableCell | ProvisionField | Assumed | FromSystem)
        assert str(leaf.origin).strip()


def test_the_identity_of_two_values_is_one_only_where_all_below_them_is_one(values):
    """Structural equality, decided here by comparing the trees leaf by leaf."""
    known: dict[str, Value] = {}
    for value in values:
        other = known.setdefault(value.identity, value)
        assert alike(value, other)


def alike(one: Value, other: Value) -> bool:
    if one is other:
        return True
    if (one.symbol, one.title, one.number, one.unit) != (other.symbol, other.title, other.number, other.unit):
        return False
    mine, its = one.origin, other.origin
    if isinstance(mine, Derivation) != isinstance(its, Derivation):
        return False
    if isinstance(mine, Derivation):
        same = (mine.equation, mine.section, mine.note, len(mine.inputs)) == (its.equation, its.section, its.note, len(its.inputs))
        return same and all(alike(a, b) for a, b in zip(mine.inputs, its.inputs, strict=True))
    return mine == its


def test_two_steps_that_print_alike_stay_two():
    """Two ranges of 8 kW on two lines of the file: one symbol, one title, one number, two steps."""
    ranges = [Value(8.0, "kw", ProjectLine("p.yaml", line, 9, f"equipment.R{line}.power", "8 kW"), "P", "range") for line in (4, 9)]
    demands = [sum_of([power], symbol="S_dem", title="demand of the range") for power in ranges]
    total = sum_of(demands, symbol="S", title="both")
    steps = steps_of([total])
    assert [step.symbol for step in steps] == ["S_dem", "S_dem", "S"]
    assert [use.step for use in steps[2].uses] == [steps[0].id, steps[1].id]


def test_a_comment_above_a_line_changes_no_identity():
    before = Value(8.0, "kw", ProjectLine("p.yaml", 4, 9, "equipment.R.power", "8 kW"), "P", "range")
    after = Value(8.0, "kw", ProjectLine("p.yaml", 5, 9, "equipment.R.power", "8 kW"), "P", "range")
    assert before.identity == after.identity
