"""How well an object rests, by hand: a plate of 300 mm above a block, no clearance."""

from __future__ import annotations

import pytest

from packer.geometry.building import judge_build, lacks
from packer.geometry.spaces import as_ints


@pytest.mark.parametrize(
    ("block_mm", "lacking"), [(300, 0), (200, 0), (199, 1), (100, 1), (99, 2), (0, 2)]
)
def test_thirds_that_a_base_lacks(block_mm: int, lacking: int) -> None:
    """Two thirds of 300 mm are 200 mm, one third is 100 mm."""
    block = (0, 0, 0, block_mm, 300, 100)
    plate = (0, 0, 100, 300, 300, 120)
    assert lacks(as_ints(plate), as_ints([block, plate]), as_ints([1, 0]), 0) == lacking


def test_the_floor_holds_all() -> None:
    """Nothing is lacking at height 0."""
    plate = (0, 0, 0, 300, 300, 20)
    assert lacks(as_ints(plate), as_ints([plate]), as_ints([0]), 0) == 0


def test_less_than_a_third_is_worse_than_a_third() -> None:
    """Two packings of the same things that differ in the block's width below the plate only."""

    def worth(block_mm: int) -> int:
        places = as_ints([(0, 0, 0, block_mm, 300, 100), (0, 0, 100, 300, 300, 120)])
        return judge_build(as_ints((300, 300, 120)), places, as_ints([0, 500]), 0)

    assert worth(200) < worth(100) < worth(99)
