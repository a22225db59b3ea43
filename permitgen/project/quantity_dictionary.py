"""What the units library says of a word that is not read here. Asked only once a text is refused: importing it is slow."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from permitgen.project.quantity_units import AS_WRITTEN, BY_SUFFIX, Unit

if TYPE_CHECKING:
    import pint

_WORD = re.compile(r"[A-Za-z]{2,24}")


@cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    return pint.UnitRegistry()


def _whole_word(word: str) -> str | None:
    """Return the library's own name of ``word``. Never a prefix with a rest: it reads ``amps`` as atto-``mps``."""
    if _WORD.fullmatch(word) is None:
        return None
    names = [name for prefix, name, _ in _registry().parse_unit_name(word) if not prefix]
    return names[0] if names else None


def kind_of_word(word: str) -> str | None:
    """Return the kind of quantity ``word`` measures, None where the library does not know it or it fits none of ours."""
    name = _whole_word(word)
    if name is None:
        return None
    dimension = _registry().get_dimensionality(name)
    if not dimension:
        return None
    units = [*BY_SUFFIX.values(), *AS_WRITTEN.values()]
    return next((unit.kind for unit in units if _registry().parse_expression(unit.proof).dimensionality == dimension), None)


def size_of_word(word: str, wanted: Unit) -> float | None:
    """Return how many ``wanted`` one ``word`` is, None where it is another kind of quantity or has a zero point."""
    name = _whole_word(word)
    if name is None or wanted.kind.startswith("temperature"):
        return None
    registry = _registry()
    wanted_one = registry.parse_expression(wanted.proof)
    if registry.get_dimensionality(name) != wanted_one.dimensionality:
        return None
    return float((registry.Quantity(1.0, name) / wanted_one).m_as("dimensionless"))
