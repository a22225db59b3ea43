"""Schedules for whoever builds it: where runs are fastened, and how conductors are told apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.errors import NotInTableError
from permitgen.rules.given import MissingFactError, NotInForceError
from permitgen.rules.quantities.conductor_identification import identifications
from permitgen.rules.quantities.raceway_supports import Supports, supports_of
from permitgen.views.circuit_text import run_words
from permitgen.views.wording import number_text, value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.raceway import Raceway

_NOTHING = "–"

CONDUCTOR_COLORS: dict[str, tuple[str, str]] = {
    "ungrounded": ("Ungrounded", "any but white, gray and green; black and red by practice"),
    "neutral": ("Neutral", "white or gray, or three white or gray stripes, along its whole length"),
    "neutral marked at ends": ("Neutral", "white or gray along its length, or a white or gray mark around it at each end"),
    "ground": ("Equipment ground", "bare, green, or green with yellow stripes along its whole length"),
    "ground marked at ends": ("Equipment ground", "bare, green, or marked green at each end and where accessible"),
    "PV polarity": (
        "PV dc, + and −",
        "+ and − marked at every termination, connection and splice; not green; white or gray only where solidly grounded",
    ),
    "dc polarity": ("Other dc, + and −", "+ red or marked POSITIVE, − black or marked NEGATIVE; not green, white or gray"),
}

SHORT_COLORS: dict[str, str] = {
    "ungrounded": "black, red (by practice)",
    "neutral": "white or gray",
    "neutral marked at ends": "white, gray, or so marked at ends",
    "ground": "green or bare",
    "ground marked at ends": "green, bare, or marked at ends",
    "PV polarity": "+ and − marked",
    "dc polarity": "+ red, − black, or marked",
}
"""The same for whoever orders conductors; what they must be is said at length on the plans."""


def supports_rows(evaluation: Evaluation) -> tuple[tuple[str, ...], ...]:
    """Return the runs that are fastened: tag, run, distance from enclosures, spacing, fewest supports, section; alike in one row."""
    tags: dict[tuple[str, ...], list[str]] = {}
    for run in evaluation.system.raceways.values():
        found = known_supports(evaluation, run)
        if found is not None:
            row = (
                run_words(run),
                value_text(found.from_enclosure_ft),
                value_text(found.between_ft),
                fewest_text(found, run),
                found.provision.section,
            )
            tags.setdefault(row, []).append(run.tag)
    return tuple((", ".join(alike), *row) for row, alike in tags.items())


def known_supports(evaluation: Evaluation, run: Raceway) -> Supports | None:
    """Return the supports of a run, None where it has none or where its article or its size is not known here."""
    try:
        return supports_of(evaluation.given, run)
    except (MissingFactError, NotInForceError, NotInTableError):
        return None


def fewest_text(supports: Supports, run: Raceway) -> str:
    """Return the fewest supports in words; underground only the risers are fastened."""
    if run.underground:
        return "risers only"
    if supports.fewest is None:
        return _NOTHING
    count = number_text(supports.fewest.number, "count")
    return f"{count}, or none where unbroken in knockouts of its size" if supports.may_be_none else count


def identification_rows(evaluation: Evaluation) -> tuple[tuple[str, ...], ...]:
    """Return one row a way in which conductors are identified: conductor, color or mark, circuits, section."""
    code = evaluation.given.code
    return tuple(
        (*CONDUCTOR_COLORS[way.use], ", ".join(way.circuits), code.provision(way.provision).section)
        for way in identifications(evaluation.given)
    )
