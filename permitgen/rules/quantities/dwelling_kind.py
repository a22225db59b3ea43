"""What kind of dwelling the code's limits for services and their equipment are taken for."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.rules.given import Given

ONE_FAMILY = frozenset({"one-family", "townhouse"})
ONE_AND_TWO_FAMILY = ONE_FAMILY | {"two-family"}


def is_one_or_two_family(given: Given) -> bool:
    """Whether the rules for one- and two-family dwellings bind; a townhouse counts among them."""
    return given.system.site.dwelling in ONE_AND_TWO_FAMILY
