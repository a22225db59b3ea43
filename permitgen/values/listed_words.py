"""Several words in one sentence."""

from __future__ import annotations

from collections.abc import Sequence


def listed(words: Sequence[str], joint: str = "and") -> str:
    """Return words as a sentence lists them: ``A``, ``A and B``, ``A, B and C``; ``joint`` stands before the last."""
    return f" {joint} ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
