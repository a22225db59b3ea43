"""The error of a text that is not the quantity its field asks for."""

from __future__ import annotations


class QuantityError(ValueError):
    """A text is not the quantity its field asks for; the message, one line, says what was expected."""
