"""How many examples a property is tried on: all by night, and a quarter of them in the suite, the same each time."""

from __future__ import annotations

from typing import Any

from hypothesis import settings

_PART = 4
_FEWEST = 5
_DEFAULT = 100
"""Where a property states no number; the library's own."""
_tier = {"whole": False}


def settle_examples(*, whole: bool) -> None:
    """Say which tier runs, before any test is imported: ``examples`` asks for it, and what asks for no number takes the tier's.

    No example has a time limit: on a machine with other work the clock would fail what holds.
    """
    _tier["whole"] = whole
    settings.register_profile("suite", deadline=None, derandomize=True, database=None, max_examples=_DEFAULT // _PART)
    settings.register_profile("night", deadline=None, max_examples=_DEFAULT)
    settings.load_profile("night" if whole else "suite")


def examples(number: int, **more: Any) -> settings:
    """Return the settings of a property that is tried on so many examples, in the suite on a quarter, but five at least."""
    return settings(max_examples=number if _tier["whole"] else min(number, max(_FEWEST, number // _PART)), **more)
