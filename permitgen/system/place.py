"""Where a thing stands, as far as rules, labels and the placard need it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.site.compass import Direction
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place on the site. ``None`` means the project does not say.

    ``description`` is what a person who stands there understands (``north wall, left of the meter``);
    ``building`` is empty where several stand on the site and the project does not say which, and where ``is_in_the_open`` says that
    the thing stands in the open at none of them; ``is_building_assumed`` where nothing tells it and the usual one is taken;
    ``on_array`` is the array to whose structure it is fastened, empty for none, None where the project does not say;
    ``space`` is the room or outside part (``garage``, ``outside wall``, ``roof``); ``x_ft``/``y_ft`` lie on the site plan.
    """

    description: str
    building: str = "house"
    is_in_the_open: bool = False
    is_building_assumed: bool = False
    on_array: str | None = None
    space: str = ""
    outdoors: bool | None = None
    readily_accessible: bool | None = None
    in_sight_of: tuple[str, ...] = ()
    handle_height_in: Value | None = None
    x_ft: Value | None = None
    y_ft: Value | None = None
    faces: Direction | None = None
    is_under_stairs: bool | None = None
    facts: tuple[tuple[str, Value], ...] = ()
    words: tuple[tuple[str, str], ...] = ()

    def fact(self, name: str) -> Value | None:
        """Return a further measured fact of the place (a clearance, a mounting height), or None."""
        return dict(self.facts).get(name)

    def word(self, name: str) -> str:
        """Return a further fact of the place that is text (``opposite``, ``vehicle_protection``), or an empty string."""
        return dict(self.words).get(name, "")
