"""Trade sizes of raceways: names such as ``1-1/4``, in inches, ordered."""

from __future__ import annotations

TRADE_SIZES: tuple[str, ...] = ("3/8", "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6")


def trade_size_in(name: str) -> float:
    """Return the nominal size in inches, ``1-1/4`` as 1.25.

    Raises:
        ValueError: not a trade size.
    """
    if name not in TRADE_SIZES:
        raise ValueError(f"{name!r} is not a trade size")
    whole, _, fraction = name.rpartition("-") if "-" in name else ("", "", name)
    if "/" in fraction:
        over, under = fraction.split("/")
        return float(whole or 0) + float(over) / float(under)
    return float(fraction)
