"""Cables above ground outdoors: in shade, or identified for sunlight. Each kind of cable has a rule and a section of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require

if TYPE_CHECKING:
    from permitgen.system.raceway import Raceway


def judge_in_sun(raceway: Raceway, what: str = "") -> Judgement:
    """Judge a cable by shade or its mark; what the file does not say is asked for. ``what`` names the cable in the sentence."""
    shaded, marked = raceway.answer("in_sun") is False, raceway.answer("sunlight_resistant")
    if shaded or marked:
        return require(fact=True, message=f"{raceway.tag}: {what}{'in shade' if shaded else 'sunlight resistant'}")
    known = marked is False and raceway.answer("in_sun") is True
    return require(
        fact=False if known else None,
        message=f"{raceway.tag}: {what}in the sun without being identified for it",
        missing=f"whether {raceway.tag} is in sunlight, or is sunlight resistant",
    )
