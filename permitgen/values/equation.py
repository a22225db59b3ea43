"""``@equation``: one Python expression gives the number, the formula and the formula with numbers in it.

    @equation("V_d", "voltage drop", length_ft="L", current_a="I", resistance_ohm_per_kft="R")
    def two_wire_voltage_drop_v(length_ft: float, current_a: float, resistance_ohm_per_kft: float) -> float:
        return 2 * length_ft * current_a * resistance_ohm_per_kft / 1000

Called with plain floats it returns a float. ``two_wire_voltage_drop_v.derive(length_ft=..., ...)`` takes ``Value`` inputs and
returns a ``Value`` whose origin is the ``Derivation``. Quantities of a units library pass through it too, which is how a
test proves the dimensions.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from inspect import signature
from typing import Any, Generic, ParamSpec, cast

from permitgen.values.expression import Call, Constant, Node, Operation, Symbol
from permitgen.values.units import unit_of_name
from permitgen.values.value import Value

P = ParamSpec("P")


@dataclass(frozen=True, slots=True)
class Derivation:
    """How a value was computed: its expression tree, its inputs, and the provision that asks for it.

    ``provision`` is an id of ``code/provisions``; ``section`` the section of the edition in force; both may be empty
    where plain arithmetic or physics is meant.
    """

    equation: str
    expression: Node[Value]
    inputs: tuple[Value, ...]
    provision: str = ""
    section: str = ""
    note: str = ""


class Traced:
    """A number inside a running equation: it remembers the operations done to it."""

    __slots__ = ("node", "number")

    def __init__(self, number: float, node: Node[Value]) -> None:
        self.number = number
        self.node = node

    def _with(self, operator: str, other: Traced | float, *, swapped: bool = False) -> Traced:
        right = other if isinstance(other, Traced) else Traced(float(other), Constant(float(other)))
        left = self
        if swapped:
            left, right = right, left
        return Traced(_APPLY[operator](left.number, right.number), Operation(operator, left.node, right.node))

    def __add__(self, other: Traced | float) -> Traced:
        return self._with("+", other)

    def __radd__(self, other: Traced | float) -> Traced:
        return self._with("+", other, swapped=True)

    def __sub__(self, other: Traced | float) -> Traced:
        return self._with("-", other)

    def __rsub__(self, other: Traced | float) -> Traced:
        return self._with("-", other, swapped=True)

    def __mul__(self, other: Traced | float) -> Traced:
        return self._with("×", other)

    def __rmul__(self, other: Traced | float) -> Traced:
        return self._with("×", other, swapped=True)

    def __truediv__(self, other: Traced | float) -> Traced:
        return self._with("÷", other)

    def __rtruediv__(self, other: Traced | float) -> Traced:
        return self._with("÷", other, swapped=True)

    def __pow__(self, other: float) -> Traced:
        return self._with("^", other)

    def __bool__(self) -> bool:
        raise TypeError("an equation cannot branch on its inputs; make the choice a step of its own")

    def _refuse_order(self, _other: object) -> bool:
        return self.__bool__()

    __lt__ = __le__ = __gt__ = __ge__ = _refuse_order


_APPLY: dict[str, Callable[[float, float], float]] = {
    "+": lambda a, b: a + b,
    "-": lambda a, b: a - b,
    "×": lambda a, b: a * b,
    "÷": lambda a, b: a / b,
    "^": lambda a, b: a**b,
}


def _call(name: str, function: Callable[..., Any], arguments: tuple[Any, ...]) -> Any:
    if not any(isinstance(argument, Traced) for argument in arguments):
        return function(*arguments)
    traced = [a if isinstance(a, Traced) else Traced(float(a), Constant(float(a))) for a in arguments]
    return Traced(function(*(t.number for t in traced)), Call(name, tuple(t.node for t in traced)))


def larger_of(*numbers: Any) -> Any:
    """Return the largest; works on floats, traced numbers and quantities alike."""
    return _call("larger of", max, numbers)


def smaller_of(*numbers: Any) -> Any:
    """Return the smallest; works on floats, traced numbers and quantities alike."""
    return _call("smaller of", min, numbers)


def square_root(number: Any) -> Any:
    """Return the square root; works on floats, traced numbers and quantities alike."""
    return _call("√", lambda n: n**0.5, (number,))


def magnitude(number: Any) -> Any:
    """Return the absolute value."""
    return _call("|…|", abs, (number,))


def rounded_up(number: Any) -> Any:
    """Return the next whole number, the number itself where it is whole but for the last bits of floating point."""
    return _call("rounded up", lambda n: float(math.ceil(n - _LAST_BITS)), (number,))


_LAST_BITS = 1e-9


def natural_log(number: Any) -> Any:
    """Return the natural logarithm."""
    return _call("ln", math.log, (number,))


class Equation(Generic[P]):
    """The decorated function; see the module's text."""

    def __init__(self, function: Callable[P, float], symbol: str, title: str, symbols: Mapping[str, str]) -> None:
        self.function = function
        self.symbol = symbol
        self.title = title
        self.symbols = dict(symbols)
        self.name = function.__name__
        self.unit = unit_of_name(self.name)
        names = list(signature(function).parameters)
        self.units = {name: unit_of_name(name) for name in names}
        missing = [name for name in names if name not in self.symbols]
        if missing or len(self.symbols) != len(names):
            raise TypeError(f"{self.name}: every argument needs a symbol; check {missing or sorted(self.symbols)}")

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> float:
        """Compute with plain numbers (or with quantities of a units library)."""
        return self.function(*args, **kwargs)

    def derive(self, *, provision: Any = None, title: str = "", symbol: str = "", **given: Value) -> Value:
        """Compute with ``Value`` inputs and keep the derivation.

        ``provision`` is anything with ``id`` and ``section`` (a provision of the code in force).

        Raises:
            TypeError: an input is missing, unknown, or has another unit than the argument's suffix.
        """
        for name, value in given.items():
            if self.units.get(name) != value.unit:
                raise TypeError(f"{self.name}: {name} takes {self.units.get(name)!r}, got {value.unit!r}")
        shown = {name: value if value.symbol else value.named(self.symbols[name]) for name, value in given.items()}
        traced = {name: Traced(value.number, Symbol(value)) for name, value in shown.items()}
        result = cast("Callable[..., Traced]", self.function)(**traced)
        derivation = Derivation(
            equation=self.name,
            expression=result.node,
            inputs=tuple(shown.values()),
            provision=provision.id if provision is not None else "",
            section=provision.section if provision is not None else "",
        )
        return Value(result.number, self.unit, derivation, symbol or self.symbol, title or self.title)


def equation(symbol: str, title: str, /, **symbols: str) -> Callable[[Callable[P, float]], Equation[P]]:
    """Decorate a formula. ``symbol`` and ``title`` name the result, ``symbols`` each argument."""

    def decorate(function: Callable[P, float]) -> Equation[P]:
        return Equation(function, symbol, title, symbols)

    return decorate


def sum_of(values: list[Value], *, symbol: str, title: str, provision: Any = None, unit: str = "") -> Value:
    """Return the sum of ``values`` (all of one unit) with every term kept; an empty list needs ``unit``.

    Raises:
        ValueError: the units differ, or the list is empty and no unit is given.
    """
    units = {value.unit for value in values} or {unit}
    if len(units) != 1 or units == {""}:
        raise ValueError(f"a sum needs one unit, got {sorted(units)}")
    node: Node[Value] = Constant(0.0)
    for index, value in enumerate(values):
        node = Symbol(value) if index == 0 else Operation("+", node, Symbol(value))
    derivation = Derivation(
        equation="sum",
        expression=node,
        inputs=tuple(values),
        provision=provision.id if provision is not None else "",
        section=provision.section if provision is not None else "",
    )
    return Value(math.fsum(value.number for value in values), units.pop(), derivation, symbol, title)


def multiple_of(value: Value, factor: Value, *, title: str = "") -> Value:
    """Return ``value`` × ``factor`` (a bare factor), in the unit of ``value``; its symbol says that it was multiplied."""
    derivation = Derivation("multiple", Operation("×", Symbol(value), Symbol(factor)), (value, factor), "", str(factor.origin))
    return Value(value.number * factor.number, value.unit, derivation, f"{factor.symbol}·{value.symbol}", title or value.title)


def one_or_sum_of(values: list[Value], *, symbol: str, title: str, provision: Any = None, unit: str = "") -> Value:
    """Return the one value there is as it stands, else what ``sum_of`` returns.

    Raises:
        ValueError: as for ``sum_of``.
    """
    return values[0] if len(values) == 1 else sum_of(values, symbol=symbol, title=title, provision=provision, unit=unit)


def parallel_of(values: list[Value], *, symbol: str, title: str, note: str = "") -> Value:
    """Return 1 ÷ (1 ÷ a + 1 ÷ b + …) of ``values`` (all of one unit, two or more): resistances side by side (physics).

    It is nothing where one of them is nothing.

    Raises:
        ValueError: the units differ, or there are fewer than two values.
    """
    units = {value.unit for value in values}
    if len(units) != 1 or len(values) < 2:
        raise ValueError(f"values side by side need one unit and two values, got {len(values)} of {sorted(units)}")
    shorted = tuple(value for value in values if value.number == 0)
    if shorted:
        return selected(0.0, units.pop(), by="nothing in parallel with", inputs=tuple(values), symbol=symbol, title=title, note=note)
    node: Node[Value] | None = None
    for value in values:
        share = Operation("÷", Constant(1.0), Symbol(value))
        node = share if node is None else Operation("+", node, share)
    assert node is not None  # noqa: S101 - there are two values or more
    derivation = Derivation(
        equation="in parallel", expression=Operation("÷", Constant(1.0), node), inputs=tuple(values), provision="", section="", note=note
    )
    return Value(1 / math.fsum(1 / value.number for value in values), units.pop(), derivation, symbol, title)


def selected(  # noqa: PLR0913 - a selection names all of its facts
    number: float,
    unit: str,
    *,
    by: str,
    inputs: tuple[Value, ...],
    symbol: str,
    title: str,
    provision: Any = None,
    note: str = "",
) -> Value:
    """Return a value the code selects from inputs (next standard rating, governing path) as a step of its own."""
    derivation = Derivation(
        equation=by,
        expression=Call(by, tuple(Symbol(value) for value in inputs)),
        inputs=inputs,
        provision=provision.id if provision is not None else "",
        section=provision.section if provision is not None else "",
        note=note,
    )
    return Value(number, unit, derivation, symbol, title)
