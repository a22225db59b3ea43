"""Relays of which nobody says in which modes they are closed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, not_judged

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.system.link import Link
    from permitgen.system.operating_mode import OperatingMode


def not_judged_for_relays(ways: Iterable[tuple[OperatingMode, Iterable[Link]]]) -> list[Judgement]:
    """Return one open question for each relay on the ways of which nobody says whether it opens in the mode of the way."""
    relays = dict.fromkeys(link.switch for mode, way in ways for link in way if mode in link.unsaid_in)
    return [not_judged(f"in which modes the relay at {relay} is closed") for relay in relays]
