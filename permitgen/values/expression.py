"""The expression tree behind a derived number, kept so that formula and numbers print from one source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class Symbol:
    """A named input of the equation."""

    value: Value


@dataclass(frozen=True, slots=True)
class Constant:
    """A bare number of the formula: 2, √3, 1000 ft per kft."""

    number: float


@dataclass(frozen=True, slots=True)
class Operation:
    """``left operator right`` with operator one of ``+ - × ÷ ^``."""

    operator: str
    left: Node
    right: Node


@dataclass(frozen=True, slots=True)
class Call:
    """A function of the formula: ``larger of``, ``smaller of``, ``sum of``, ``√``, or a look-up by the code."""

    function: str
    arguments: tuple[Node, ...]


Node = Symbol | Constant | Operation | Call

_STRENGTH = {"+": 1, "-": 1, "×": 2, "÷": 2, "^": 3}


def print_node(node: Node, show: Callable[[Value], str], number: Callable[[float], str]) -> str:
    """Return ``node`` as text, brackets only where needed; ``show`` prints a symbol, ``number`` a constant."""
    if isinstance(node, Symbol):
        return show(node.value)
    if isinstance(node, Constant):
        return number(node.number)
    if isinstance(node, Call):
        inside = ", ".join(print_node(argument, show, number) for argument in node.arguments)
        return f"{node.function}({inside})"
    return _print_operation(node, show, number)


def _print_operation(node: Operation, show: Callable[[Value], str], number: Callable[[float], str]) -> str:
    strength = _STRENGTH[node.operator]
    left = print_node(node.left, show, number)
    if isinstance(node.left, Operation) and _STRENGTH[node.left.operator] < strength:
        left = f"({left})"
    right = print_node(node.right, show, number)
    if isinstance(node.right, Operation):
        inner = _STRENGTH[node.right.operator]
        same_needs = node.operator in "-÷^" or node.right.operator in "-÷"
        if inner < strength or (inner == strength and same_needs):
            right = f"({right})"
    sign = "−" if node.operator == "-" else node.operator
    return f"{left} {sign} {right}"
