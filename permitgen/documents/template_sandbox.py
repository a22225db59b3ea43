"""The sandbox that templates run in: they print, repeat and compare what they are given, within bounds of work and size.

A template in a project folder may come from anybody. The sandbox of the library keeps it from Python's insides; it does not keep
it from never ending. So every iteration, call and text that a template makes is charged to a budget: loops in loops, a text doubled
forty times and a macro that calls itself all end there, at once, whatever the machine. Filters and methods are those that cost no
more than what they are given is long.
"""

from __future__ import annotations

import builtins
import math
from collections.abc import Iterable, Iterator, Sized
from typing import Any

from jinja2 import StrictUndefined, nodes, pass_context
from jinja2.exceptions import SecurityError
from jinja2.runtime import BlockReference, LoopContext, Macro
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.utils import Cycler, Joiner, Namespace
from jinja2.visitor import NodeTransformer
from markupsafe import Markup, escape

LARGEST_SOURCE = 2_000_000
# Steps of a document: about one a node of the template that is run, and what an iteration and a call cost beside that.
_WORK = 30_000_000
_CHARACTERS_A_STEP = 5
_ITERATION = 10
_CALL = 300
_LARGEST_VALUE = 1_000_000
_LONGEST_RANGE = 10_000
_LARGEST_NUMBER = 10**15
_MOST_JOINED = 100

_FILTERS = frozenset(
    [
        "abs",
        "attr",
        "capitalize",
        "count",
        "d",
        "default",
        "dictsort",
        "e",
        "escape",
        "first",
        "float",
        "forceescape",
        "groupby",
        "items",
        "last",
        "length",
        "list",
        "lower",
        "map",
        "max",
        "min",
        "reject",
        "rejectattr",
        "reverse",
        "safe",
        "select",
        "selectattr",
        "sort",
        "string",
        "title",
        "trim",
        "unique",
        "upper",
        "wordcount",
    ]
)
_GLOBALS = ("dict", "cycler", "joiner", "namespace")
_METHODS = {
    str: frozenset(
        [
            "capitalize",
            "endswith",
            "isalnum",
            "isalpha",
            "isdigit",
            "islower",
            "isupper",
            "lower",
            "lstrip",
            "removeprefix",
            "removesuffix",
            "rstrip",
            "split",
            "splitlines",
            "startswith",
            "strip",
            "title",
            "upper",
        ]
    ),
    builtins.dict: frozenset({"get", "items", "keys", "values"}),
    list: frozenset({"count", "index"}),
    tuple: frozenset({"count", "index"}),
}
_CALLED = (Macro, LoopContext, BlockReference, Cycler, Joiner)


class TooMuchWorkError(SecurityError):
    """The template repeats or prints more than a document needs."""


class BoundedSandbox(ImmutableSandboxedEnvironment):
    """The environment of every template. ``begin`` gives the next document its budget."""

    intercepted_binops = frozenset({"+", "-", "*", "/", "//", "%", "**"})

    def __init__(self, **options: Any) -> None:
        super().__init__(autoescape=True, undefined=StrictUndefined, **options)
        self._left: float = _WORK
        finalize = self.finalize
        self.finalize = lambda value: self.weighed(value if finalize is None else finalize(value))
        self.filters = {name: apply for name, apply in self.filters.items() if name in _FILTERS}
        self.filters |= {"join": self._join, "replace": self._replace, "batch": self._batch, "_step": _step, "_weighed": _weigh}
        self.globals = {name: self.globals[name] for name in _GLOBALS} | {"range": self._range}
        self.concat = self._concat  # type: ignore[method-assign]  # what the library documents for other kinds of output

    def begin(self, *, is_own: bool) -> None:
        """Give the document that is filled next its budget: a project's own template a bounded one, the program's as much as it needs."""
        self._left = _WORK if is_own else math.inf

    def charge(self, steps: int) -> None:
        """Take ``steps`` from the budget.

        Raises:
            TooMuchWorkError: nothing is left.
        """
        self._left -= steps
        if self._left < 0:
            raise TooMuchWorkError("it repeats or prints more than a document needs")

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        if len(source) > LARGEST_SOURCE:
            raise TooMuchWorkError(f"it is longer than {LARGEST_SOURCE // 1000} kB")
        counted: nodes.Template = _Counting().visit(super()._parse(source, name, filename))
        counted.set_environment(self)
        return counted

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        """Compute with numbers; join texts and lists with a plus sign."""
        if operator == "+" and isinstance(left, str | list | tuple):
            return self.weighed(left + right)
        for number in (left, right):
            if not isinstance(number, int | float) or abs(number) > _LARGEST_NUMBER:
                raise SecurityError(f'"{operator}" takes numbers up to {_LARGEST_NUMBER:.0e}')
        if operator == "**" and abs(right) > 8:
            raise SecurityError('"**" takes exponents up to 8')
        return super().call_binop(context, operator, left, right)

    def is_safe_callable(self, obj: Any) -> bool:
        """Whether a template may call ``obj``: macros, what loops give, and some methods of texts, lists and groups of fields."""
        if isinstance(obj, _CALLED) or obj in (self._range, builtins.dict, Cycler, Joiner, Namespace):
            return True
        owner = getattr(obj, "__self__", None)
        names = next((names for kind, names in _METHODS.items() if isinstance(owner, kind)), frozenset())
        return callable(obj) and getattr(obj, "__name__", "") in names

    def call(self, context: Any, obj: Any, *args: Any, **kwargs: Any) -> Any:
        """Call what may be called, and charge for it."""
        self.charge(_CALL if isinstance(obj, _CALLED) else _ITERATION)
        return self.weighed(super().call(context, obj, *args, **kwargs))

    def weighed(self, value: Any) -> Any:
        """Return ``value``, its length charged."""
        if isinstance(value, Sized):
            size = len(value)
            if size > _LARGEST_VALUE and not isinstance(value, Markup):
                raise TooMuchWorkError("it makes a text or a list longer than a document needs")
            self.charge(1 + size // _CHARACTERS_A_STEP)
        return value

    def _range(self, *bounds: int) -> range:
        numbers = range(*bounds)
        if len(numbers) > _LONGEST_RANGE:
            raise TooMuchWorkError(f"range() takes at most {_LONGEST_RANGE} numbers")
        return numbers

    def _join(self, values: Iterable[Any], between: str = "", attribute: str | None = None) -> str:
        found = [self.getattr(value, attribute) if attribute else value for value in values]
        self.charge(sum(map(len, filter(_is_sized, found))) // _CHARACTERS_A_STEP)
        self.charge(len(found) * (_ITERATION + len(between) // _CHARACTERS_A_STEP))
        if any(hasattr(value, "__html__") for value in (between, *found)):
            joined: str = escape(between).join(map(escape, found))
        else:
            joined = str(between).join(map(str, found))
        return joined

    def _replace(self, text: str, old: str, new: str) -> str:
        text, old, new = str(text), str(old), str(new)
        self.charge((len(text) + text.count(old) * len(new)) // _CHARACTERS_A_STEP)
        return text.replace(old, new)

    def _batch(self, values: Iterable[Any], size: int) -> Iterator[list[Any]]:
        found = list(values)
        for start in range(0, len(found), max(1, int(size))):
            yield found[start : start + max(1, int(size))]

    def _concat(self, pieces: Iterable[str]) -> str:
        found: list[str] = []
        for piece in pieces:
            found.append(piece)
            self.charge(1 + len(piece) // _CHARACTERS_A_STEP)
        return "".join(found)


# Filters that ask for the context are never computed while the template is compiled, when no budget runs.
@pass_context
def _step(context: Any, steps: int) -> str:
    context.environment.charge(steps)
    return ""


@pass_context
def _weigh(context: Any, value: Any) -> Any:
    return context.environment.weighed(value)


def _is_sized(value: Any) -> bool:
    return isinstance(value, Sized)


class _Counting(NodeTransformer):
    """Puts a step into every body that can run more than once, and weighs what texts are made, compared or cut."""

    def _stepped(self, node: Any) -> Any:
        steps = (_ITERATION if isinstance(node, nodes.For) else _CALL) + sum(1 for _ in node.find_all(nodes.Node))
        self.generic_visit(node)
        step = _filtered(nodes.Const(steps, lineno=node.lineno), "_step", node.lineno)
        node.body.insert(0, nodes.ExprStmt(step, lineno=node.lineno))
        return node

    visit_For = visit_Macro = visit_CallBlock = visit_Block = visit_Template = _stepped  # noqa: N815 - the names of the library

    def visit_Concat(self, node: nodes.Concat) -> nodes.Expr:  # noqa: N802
        if len(node.nodes) > _MOST_JOINED:
            raise TooMuchWorkError(f'"~" joins at most {_MOST_JOINED} texts')
        return _weighed(self.generic_visit(node))

    def visit_Getitem(self, node: nodes.Getitem) -> nodes.Expr:  # noqa: N802
        self.generic_visit(node)
        return _weighed(node) if isinstance(node.arg, nodes.Slice) else node

    def visit_Compare(self, node: nodes.Compare) -> nodes.Expr:  # noqa: N802
        self.generic_visit(node)
        node.expr = _weighed(node.expr)
        for operand in node.ops:
            operand.expr = _weighed(operand.expr)
        return node

    def visit_Test(self, node: nodes.Test) -> nodes.Expr:  # noqa: N802
        self.generic_visit(node)
        node.args = [_weighed(argument) for argument in node.args or ()]
        return node

    def visit_Filter(self, node: nodes.Filter) -> nodes.Expr:  # noqa: N802
        self.generic_visit(node)
        return _weighed(node) if node.node is not None else node


def _weighed(node: Any) -> nodes.Filter:
    return _filtered(node, "_weighed", node.lineno)


def _filtered(node: Any, name: str, line: int) -> nodes.Filter:
    return nodes.Filter(node, name, [], [], None, None, lineno=line)
