"""Streets around the lot, for the vicinity sketch of the site plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pydantic import model_validator

from permitgen.project.directions import SIDES, Facing
from permitgen.project.fields import Length, Section, Text, described
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.site.compass import Direction


class StreetModel(
    Section,
    says="A street of the vicinity sketch. It runs along a ``side`` of the lot, or ``crosses`` a street that does, ``toward`` a side, at a "
    "``distance`` from the lot. A street drawn among the features with its label runs along the lot without being named again.",
):
    name: Text = described(..., "Name of the street as on its sign, for example Orchard Road.")
    side: Facing = described(
        None, "Side of the lot along which it runs, front, right, back or left as seen from the street, a compass word or degrees."
    )
    crosses: Text = described(
        "",
        "Name of the street along the lot that it crosses, for the nearest cross street; of several toward one side the nearest is drawn.",
    )
    toward: Facing = described(None, "Side of the lot toward which the crossing lies, in the words of side.")
    distance: Length = described(None, "From the lot to the crossing along the street, in feet, by tape or from a map.")

    @model_validator(mode="after")
    def run_somewhere(self) -> StreetModel:
        """Refuse a street that runs nowhere, or in two ways."""
        along, across = self.side is not None, bool(self.crosses) or self.toward is not None
        if along == across or (across and not (self.crosses and self.toward is not None)):
            raise ValueError(f"{quoted(self.name)} runs along a side of the lot or crosses a street; expected side, or crosses and toward")
        if along and self.distance is not None:
            raise ValueError(f"{quoted(self.name)} runs along the lot; distance is that of a street with crosses and toward")
        return self


def require_streets_that_meet(streets: Sequence[StreetModel], drawn: Iterable[str], *, has_front: bool) -> None:
    """Refuse a crossing with a street that nothing names, and sides of a lot whose front is not known.

    ``drawn`` are the labels of streets among the features.

    Raises:
        ValueError: what does not fit, with the nearest name.
    """
    known = [*drawn, *(street.name for street in streets if street.side is not None)]
    for street in streets:
        if street.crosses and street.crosses.casefold() not in {name.casefold() for name in known}:
            near, listed = did_you_mean(street.crosses, known), ", ".join(known) or "none is named"
            raise ValueError(f"vicinity: no street along the lot is called {quoted(street.crosses)}{near}; streets: {listed}")
        if not has_front and any(isinstance(word, str) for word in (street.side, street.toward)):
            raise ValueError(
                f"vicinity: {', '.join(SIDES[:-1])} and {SIDES[-1]} are as seen from the street; "
                "expected front_faces: what a compass reads at the front door, or a compass word"
            )


def page_direction(side: Direction | str | None, north_deg: float) -> float | None:
    """Return where a side lies on the page, in degrees clockwise from its up; ``north_deg`` is the compass direction of up."""
    if isinstance(side, str):
        return _ON_PAGE[side]
    return (side.bearing_deg - north_deg) % 360.0 if side is not None else None


_ON_PAGE = {"back": 0.0, "right": 90.0, "front": 180.0, "left": 270.0}
