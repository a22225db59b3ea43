"""The error of a text that is not the quantity its field asks for."""

from __future__ import annotations


class QuantityError(ValueError):
    """A text is not the quantity its field asks for; the message, one line, says what was expected."""


def quoted(text: str) -> str:
    """Return a typed text as messages show it: on one line, in quotes it does not hold itself (``3/8"`` is common)."""
    line = " ".join(text.split())
    return f"'{line}'" if '"' in line and "'" not in line else f'"{line}"'
