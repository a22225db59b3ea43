"""Compass directions: sixteen words, or degrees from true north, and the direction on a page that is not north up."""

from __future__ import annotations

import math
from dataclasses import dataclass

from permitgen.system.site.geometry import Point

WORDS = (
    "north",
    "north-northeast",
    "north-east",
    "east-northeast",
    "east",
    "east-southeast",
    "south-east",
    "south-southeast",
    "south",
    "south-southwest",
    "south-west",
    "west-southwest",
    "west",
    "west-northwest",
    "north-west",
    "north-northwest",
)
NEAR_DEG = 22.5
"""What a person says of a wall or roof differs from what is drawn by no more: half of one of the eight directions of the common compass."""


@dataclass(frozen=True, slots=True)
class Direction:
    """A compass direction, degrees clockwise from true north, 0 to below 360."""

    bearing_deg: float

    @property
    def words(self) -> str:
        """The compass word, else the degrees (``203°``)."""
        step = self.bearing_deg / (360 / len(WORDS))
        return WORDS[int(step)] if step == int(step) else f"{self.bearing_deg:g}°"

    @property
    def opposite(self) -> Direction:
        """The direction from which this one looks back."""
        return Direction((self.bearing_deg + 180) % 360)

    def on_page(self, north_deg: float) -> Point:
        """Return the unit vector on a page whose up is ``north_deg`` from true north."""
        angle = math.radians(self.bearing_deg - north_deg)
        return (round(math.sin(angle), 12), round(math.cos(angle), 12))


def bearing_of(vector: Point, north_deg: float) -> float:
    """Return the compass direction of a vector on a page whose up is ``north_deg`` from true north, degrees, 0 to below 360."""
    return (math.degrees(math.atan2(vector[0], vector[1])) + north_deg) % 360


def angle_between_deg(one: Point, other: Point) -> float:
    """Return the angle between two unit vectors, degrees, 0 to 180."""
    return math.degrees(math.atan2(abs(one[0] * other[1] - one[1] * other[0]), one[0] * other[0] + one[1] * other[1]))
