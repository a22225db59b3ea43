"""Feet in inches, where the code gives a limit of a run in inches."""

from __future__ import annotations

from permitgen.values.value import Value


def length_in(length_ft: Value) -> Value:
    """Return a length of feet in inches, with the origin it has (12 in to the foot)."""
    return Value(length_ft.number * 12, "in", length_ft.origin, length_ft.symbol, length_ft.title, length_ft.spelled)
