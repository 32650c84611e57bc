"""Weights into the fewest bins: proofs against known optima and against plain enumeration."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.instances import absence, falkenauer, triplets

from packer.geometry.one_dim import Bins, min_bins

ABSENT = absence()


def assert_packed(found: Bins, sizes: list[int], capacity: int) -> None:
    """Every item once, no bin too full, as many bins as said."""
    assert sorted(k for of in found.packing for k in of) == list(range(len(sizes)))
    assert all(sum(sizes[k] for k in of) <= capacity for of in found.packing)
    assert len(found.packing) == found.bins


def fewest(sizes: list[int], capacity: int) -> int:
    """The optimum by trying all ways, the largest first; for tiny sets."""
    best = len(sizes)

    def put(k: int, rooms: tuple[int, ...]) -> None:
        nonlocal best
        if len(rooms) >= best:
            return
        if k == len(ordered):
            best = len(rooms)
            return
        for b in range(len(rooms)):
            if rooms[b] >= ordered[k]:
                put(k + 1, (*rooms[:b], rooms[b] - ordered[k], *rooms[b + 1 :]))
        put(k + 1, (*rooms, capacity - ordered[k]))

    ordered = sorted(sizes, reverse=True)
    put(0, ())
    return best


@settings(max_examples=60, deadline=None)
@given(st.integers(5, 40), st.data())
def test_tiny_sets_agree_with_enumeration(capacity: int, data: st.DataObject) -> None:
    """Proved optimal, and equal to the optimum found by trying everything."""
    sizes = data.draw(st.lists(st.integers(1, capacity), min_size=1, max_size=9))
    found = min_bins(sizes, capacity)
    assert_packed(found, sizes, capacity)
    assert found.bins == found.bound == fewest(sizes, capacity)


@pytest.mark.parametrize(
    ("count", "seed"), [(60, 1), (60, 2), (120, 3), (120, 4), (249, 5), (501, 6)]
)
def test_triplets_are_proved(count: int, seed: int) -> None:
    """Three items fill each bin exactly, so count / 3 bins are needed, and found."""
    sizes = triplets(count, seed)
    found = min_bins(sizes, 1000, seconds=60)
    assert_packed(found, sizes, 1000)
    assert found.bins == found.bound == count // 3


@pytest.mark.skipif(ABSENT is not None, reason=str(ABSENT))
@pytest.mark.parametrize("group", ["t60", "t120", "u120"])
def test_published_instances_are_proved(group: str) -> None:
    """OR-Library binpack files (J. E. Beasley, J. Oper. Res. Soc. 41, 1990; Falkenauer 1996)."""
    for one in falkenauer(group)[:8] + falkenauer(group)[19:]:
        found = min_bins(one.sizes, one.capacity, seconds=60)
        assert_packed(found, list(one.sizes), one.capacity)
        assert (found.bins, found.bound) == (one.stated, one.stated), one.name


def test_fine_units_are_bounded_by_columns() -> None:
    """Weights to the gram with a large graph: the bound stays below the packing, and near it."""
    sizes = [size * 100 + size % 97 for size in triplets(90, 7)]
    found = min_bins(sizes, 100_500, seconds=3)
    assert_packed(found, sizes, 100_500)
    assert -(-sum(sizes) // 100_500) <= found.bound <= found.bins <= found.bound + 1


def test_nothing_and_weightless_things() -> None:
    """No items need no bin; what weighs nothing still needs to be somewhere."""
    assert min_bins([], 10) == Bins(0, 0, ())
    assert min_bins([0, 0], 10) == Bins(1, 1, ((0, 1),))
    assert min_bins([0, 10], 10) == Bins(1, 1, ((0, 1),))


def test_a_size_above_the_capacity_is_an_error() -> None:
    """The caller must have sorted those out; the message says the bound."""
    with pytest.raises(ValueError, match="between 0 and the capacity 10"):
        min_bins([11], 10)
