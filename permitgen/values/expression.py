"""The expression tree behind a derived number, kept so that formula and numbers print from one source.

A leaf holds whatever its reader needs: a ``Value`` where the number is computed, printed words where it is shown. The tree stays a
tree until a writer prints it; nobody looks for symbols in printed text.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Generic, TypeAlias, TypeVar

T = TypeVar("T")
U = TypeVar("U")


@dataclass(frozen=True, slots=True)
class Symbol(Generic[T]):
    """A named input of the equation."""

    value: T


@dataclass(frozen=True, slots=True)
class Constant:
    """A bare number of the formula: 2, √3, 1000 ft per kft."""

    number: float


@dataclass(frozen=True, slots=True)
class Operation(Generic[T]):
    """``left operator right`` with operator one of ``+ - × ÷ ^``."""

    operator: str
    left: Node[T]
    right: Node[T]


@dataclass(frozen=True, slots=True)
class Call(Generic[T]):
    """A function of the formula: ``larger of``, ``smaller of``, ``sum of``, ``√``, or a look-up by the code."""

    function: str
    arguments: tuple[Node[T], ...]


Node: TypeAlias = "Symbol[T] | Constant | Operation[T] | Call[T]"

_STRENGTH = {"+": 1, "-": 1, "×": 2, "÷": 2, "^": 3}


def mapped(node: Node[T], change: Callable[[T], U]) -> Node[U]:
    """Return the same tree with ``change`` made to what each leaf holds."""
    if isinstance(node, Symbol):
        return Symbol(change(node.value))
    if isinstance(node, Operation):
        return Operation(node.operator, mapped(node.left, change), mapped(node.right, change))
    if isinstance(node, Call):
        return Call(node.function, tuple(mapped(argument, change) for argument in node.arguments))
    return node


def pieces_of(node: Node[T]) -> Iterator[T | float | str]:
    """Yield ``node`` from left to right: what its leaves hold, its numbers, and the signs between; brackets only where needed."""
    if isinstance(node, Symbol):
        yield node.value
    elif isinstance(node, Constant):
        yield node.number
    elif isinstance(node, Call):
        yield f"{node.function}("
        for index, argument in enumerate(node.arguments):
            if index:
                yield ", "
            yield from pieces_of(argument)
        yield ")"
    else:
        yield from _pieces_of_operation(node)


def print_node(node: Node[T], show: Callable[[T], str], number: Callable[[float], str]) -> str:
    """Return ``node`` as text; ``show`` prints what a leaf holds, ``number`` a constant."""
    shown = mapped(node, show)
    return "".join(number(piece) if isinstance(piece, float) else piece for piece in pieces_of(shown))


def _pieces_of_operation(node: Operation[T]) -> Iterator[T | float | str]:
    strength = _STRENGTH[node.operator]
    left, right = node.left, node.right
    yield from _bracketed(left, isinstance(left, Operation) and _STRENGTH[left.operator] < strength)
    yield f" {'−' if node.operator == '-' else node.operator} "
    inner = _STRENGTH[right.operator] if isinstance(right, Operation) else None
    same_needs = isinstance(right, Operation) and (node.operator in "-÷^" or right.operator in "-÷")
    yield from _bracketed(right, inner is not None and (inner < strength or (inner == strength and same_needs)))


def _bracketed(node: Node[T], needed: bool) -> Iterator[T | float | str]:  # noqa: FBT001 - the answer to one question
    if needed:
        yield "("
    yield from pieces_of(node)
    if needed:
        yield ")"
