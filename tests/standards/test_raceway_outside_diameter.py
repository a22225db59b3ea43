"""Outside diameters of rigid metal conduit.

Sources: inside diameter and wall of the "UL recommended dimensions of rigid metal conduit" in a public cut sheet of fittings
(conduit dimensional data); outside = inside + 2 × wall. 3-1/2 in and 4 in are nominal pipe, ASME B36.10, from memory.
"""

import pytest

from permitgen.code.codebook import CodeBook

INSIDE_AND_WALL = {
    "3/8": (0.493, 0.091),
    "1/2": (0.622, 0.109),
    "3/4": (0.824, 0.113),
    "1": (1.049, 0.133),
    "1-1/4": (1.380, 0.140),
    "1-1/2": (1.610, 0.145),
    "2": (2.067, 0.154),
    "2-1/2": (2.469, 0.203),
    "3": (3.068, 0.216),
    "3-1/2": (3.548, 0.226),
    "4": (4.026, 0.237),
    "5": (5.047, 0.258),
    "6": (6.065, 0.280),
}


@pytest.mark.parametrize("trade_size", INSIDE_AND_WALL)
def test_outside_is_inside_and_two_walls(trade_size: str) -> None:
    inside, wall = INSIDE_AND_WALL[trade_size]
    # 3/8 in is printed 0.675 beside 0.493 and 0.091; the printed walls are rounded to 0.001.
    assert CodeBook(2023).table("raceway_outside_diameter").at(trade_size, "diameter").number == pytest.approx(
        inside + 2 * wall, abs=0.0025
    )


def test_rows_are_the_trade_sizes_in_order() -> None:
    numbers = [CodeBook(2023).table("raceway_outside_diameter").at(size, "diameter").number for size in INSIDE_AND_WALL]
    assert numbers == sorted(numbers)
