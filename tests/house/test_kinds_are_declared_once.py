"""What a kind of equipment is and can do stands at the kind, in system/equipment; nobody else keeps a list of kinds.

A list by hand forgets the kind that comes next: a meter-main is a panelboard, and five lists said of it what six did not.
"""

import ast
from pathlib import Path

import pytest

from permitgen.system.equipment.kinds import KINDS

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "permitgen"
# Where kinds are declared, where a file's entry of each kind is built, and what draws symbols (some are called as kinds are).
EXEMPT = ("system/equipment/", "project/equipment_to_system.py", "documents/", "views/one_line.py")
CLASSES = {kind.__name__ for kind in KINDS.values()} | {f"{kind.__name__}Model" for kind in KINDS.values()}


def _names_kind(node):
    return isinstance(node, ast.Constant) and node.value in KINDS


def _class_of(node):
    return node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", "")


def _classes_in(node):
    """The classes of equipment in ``A | B`` or ``(A, B)``."""
    if isinstance(node, ast.BinOp):
        return [*_classes_in(node.left), *_classes_in(node.right)]
    parts = node.elts if isinstance(node, ast.Tuple | ast.List | ast.Set) else [node]
    return [name for name in map(_class_of, parts) if name in CLASSES]


def _kinds_asked_for(node):
    """The kinds that one part of a condition asks for: ``isinstance(item, Meter)``, ``item.kind == "meter"``."""
    if isinstance(node, ast.Call) and _class_of(node.func) == "isinstance":
        return _classes_in(node.args[1])
    is_kind = isinstance(node, ast.Compare) and _class_of(node.left) == "kind" and isinstance(node.ops[0], ast.Eq | ast.NotEq)
    return [node.comparators[0].value] if is_kind and _names_kind(node.comparators[0]) else []


def _is_list_of_kinds(node):
    if isinstance(node, ast.Set | ast.Tuple | ast.List) and node.elts:
        # "generator" alone is the name of a kind of source too.
        kinds = all(map(_names_kind, node.elts)) and [each.value for each in node.elts] != ["generator"]
        return kinds or (len(node.elts) > 1 and all(_class_of(each) in CLASSES for each in node.elts))
    if isinstance(node, ast.Dict):
        return bool(node.keys) and all(key is not None and (_names_kind(key) or _class_of(key) in CLASSES) for key in node.keys)
    if isinstance(node, ast.Call):
        named = [name for part in node.args for name in _classes_in(part)]
        return len(set(named)) > 1
    return isinstance(node, ast.BoolOp) and len({kind for part in node.values for kind in _kinds_asked_for(part)}) > 1


def _found_in(text):
    return [node.lineno for node in ast.walk(ast.parse(text)) if _is_list_of_kinds(node)]


def test_no_list_of_kinds_is_kept_by_hand():
    paths = [path for path in sorted(PACKAGE.rglob("*.py")) if not path.relative_to(PACKAGE).as_posix().startswith(EXEMPT)]
    assert not [f"{path.relative_to(ROOT)}:{line}" for path in paths for line in _found_in(path.read_text("utf-8"))]


@pytest.mark.parametrize(
    "text",
    [
        '_SWITCHES = frozenset({"disconnect", "transfer_switch"})',
        'if item.kind in ("meter",): pass',
        '_BARS = {"panelboard": "bus", "disconnect": "line"}',
        "isinstance(item, Panelboard | DCCombiner)",
        "isinstance(item, (kinds.PanelboardModel, kinds.MeterModel))",
        'item.kind == "meter" or item.kind == "junction_box"',
        'isinstance(item, Inverter) or other.kind == "generator"',
    ],
)
def test_a_list_of_kinds_is_found(text):
    assert _found_in(text)


def test_every_kind_of_equipment_is_registered():
    def below(kind):
        return {kind, *(each for sub in kind.__subclasses__() for each in below(sub))}

    built = {kind for kind in below(KINDS["meter"].__mro__[2]) if "kind" in vars(kind)}
    assert {kind.kind for kind in built} - {"equipment"} == set(KINDS)
