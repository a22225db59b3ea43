"""PDF files that other people made: what the library raises on broken ones, and keeping its remarks to itself."""

from __future__ import annotations

import logging

BROKEN = (ArithmeticError, AssertionError, AttributeError, LookupError, RecursionError, TypeError, ValueError)
"""What the PDF library raises on files that are broken, beside its own errors: it follows what they say before it checks it."""


def silence_the_library() -> None:
    """Keep the library from writing to standard error what it repairs in a file: it is no message for people."""
    logger = logging.getLogger("pypdf")
    if not logger.handlers:
        logger.addHandler(logging.NullHandler())
