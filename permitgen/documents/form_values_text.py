"""The values that a mapping of a form may name, as text for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.views.form_values import FormValue


def form_values_text(values: Iterable[FormValue]) -> str:
    """Return one line a value: its name, what it is."""
    listed = list(values)
    width = max(len(value.name) for value in listed)
    return "\n".join(f"{value.name:<{width}}  {value.meaning}{' (yes or no)' if value.is_yes_or_no else ''}" for value in listed)
