"""What a rule says of itself: what it requires, why, of what, and two examples.

The words stand beside the rule, in the text of its module, and are read from that text: ``python -OO`` takes them out of the function.
"""

from __future__ import annotations

import ast
import importlib.util
import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    from importlib.abc import InspectLoader

    from permitgen.rules.rule import Rule

_HEADINGS = ("Requires", "Why", "Applies to", "Example that fails", "Example that passes")
_HEADING = re.compile(rf"^({'|'.join(_HEADINGS)}):\s*", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class RuleText:
    """The five things that every rule says; empty where the text of its module is not at hand."""

    requires: str = ""
    why: str = ""
    applies_to: str = ""
    fails: str = ""
    passes: str = ""


@cache
def text_of(rule: Rule) -> RuleText:
    """Return what ``rule`` says of itself, each part as one line."""
    found = _HEADING.split(_written(rule.module, rule.judge.__name__))[1:]
    said = {heading: " ".join(text.split()) for heading, text in zip(found[::2], found[1::2], strict=True)}
    return RuleText(*(said.get(heading, "") for heading in _HEADINGS))


def _written(module: str, function: str) -> str:
    spec = importlib.util.find_spec(module)
    source = cast("InspectLoader", spec.loader).get_source(module) if spec is not None and spec.loader is not None else None
    for node in ast.parse(source or "").body:
        if isinstance(node, ast.FunctionDef) and node.name == function:
            return ast.get_docstring(node) or ""
    return ""
