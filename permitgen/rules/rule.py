"""A rule: its id, the provision it stands on, what it judges; and how rules are found."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.judgement import Judgement


@dataclass(frozen=True, slots=True)
class Rule:
    """A requirement of the code.

    ``judges`` is the kind of subject (a key of ``subjects.SUBJECTS``); ``sizes`` says which choice the rule constrains when the
    program is asked to make it (``overcurrent device``, ``conductor``, ``equipment grounding conductor``, ``raceway``,
    ``grounding electrode conductor``), empty for none.
    """

    id: str
    provision: str
    judges: str
    title: str
    judge: Callable[[Any, Given], Judgement]
    sizes: frozenset[str]
    module: str

    @property
    def folder(self) -> str:
        """The folder of its subject."""
        return self.module.rsplit(".", 2)[1]


_FOUND: dict[str, Rule] = {}


def rule(
    id_: str, *, title: str, provision: str, judges: str, sizes: tuple[str, ...] = ()
) -> Callable[[Callable[[Any, Given], Judgement]], Callable[[Any, Given], Judgement]]:
    """Register the decorated function as the rule ``id_``; ``title`` says what it requires, as findings and sheets print it."""

    def register(judge: Callable[[Any, Given], Judgement]) -> Callable[[Any, Given], Judgement]:
        if id_ in _FOUND:
            raise ValueError(f"two rules are called {id_!r}")
        _FOUND[id_] = Rule(id_, provision, judges, title, judge, frozenset(sizes), judge.__module__)
        return judge

    return register


@lru_cache(maxsize=1)
def all_rules() -> tuple[Rule, ...]:
    """Import every module below ``permitgen.rules`` and return the rules found, ordered by subject folder and id."""
    package = importlib.import_module("permitgen.rules")
    for module in pkgutil.walk_packages(package.__path__, prefix="permitgen.rules."):
        importlib.import_module(module.name)
    return tuple(sorted(_FOUND.values(), key=lambda found: (found.folder, found.id)))
