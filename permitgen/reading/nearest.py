"""The valid name nearest to what was typed, for "did you mean"."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

# Below this share of agreeing letters a suggestion misleads more than it helps: `pv` for `mid`.
_LEAST_LIKENESS = 0.6


def nearest_name(typed: str, valid: Iterable[str]) -> str | None:
    """Return the member of ``valid`` that ``typed`` most likely meant, or None where none is near.

    Letter case, spaces, hyphens and underscores count for nothing, so ``Trade-Size`` is exactly ``trade_size``.
    """
    plain: dict[str, str] = {}
    for name in valid:
        plain.setdefault(_plain(name), name)
    found = get_close_matches(_plain(typed), list(plain), n=1, cutoff=_cut_off(typed))
    return plain[found[0]] if found else None


def did_you_mean(typed: str, valid: Iterable[str]) -> str:
    """Return ``; did you mean …?`` to end a message with, or nothing where no valid name is near."""
    name = nearest_name(typed, valid)
    return f'; did you mean "{name}"?' if name is not None else ""


def _plain(name: str) -> str:
    return name.casefold().replace("-", "").replace("_", "").replace(" ", "")


def _cut_off(typed: str) -> float:
    # Of a tag of two or three letters one wrong letter is a third: MSB for MSP must still be found, and is at 0.66.
    return 0.5 if len(typed) <= 2 else _LEAST_LIKENESS
