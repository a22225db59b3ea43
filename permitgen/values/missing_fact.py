"""What is raised where a fact is asked for that the project does not state."""

from __future__ import annotations

from typing import TypeVar

T = TypeVar("T")


class MissingFactError(Exception):
    """A rule needs a fact that the project does not state. The runner turns it into *not judged*."""

    def __init__(self, *names: str) -> None:
        super().__init__(", ".join(names))
        self.names = names


def stated(fact: T | None, name: str) -> T:
    """Return ``fact``.

    Raises:
        MissingFactError: it is None; ``name`` is what the finding asks for.
    """
    if fact is None:
        raise MissingFactError(name)
    return fact
