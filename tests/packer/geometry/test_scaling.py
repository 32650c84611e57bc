"""Dual feasible functions keep their promise, and bounds never pass a known packing."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.instances import Boxes, absence, made_like_mpv, mpv
from support.packing import cut_up

from packer.geometry.items import turns
from packer.geometry.scaling import fewest_bins, scales

ABSENT = absence()


@pytest.mark.parametrize("room", range(2, 41))
def test_no_multiset_within_the_room_is_worth_more_than_the_room(room: int) -> None:
    """The definition of a dual feasible function, for all multisets of lengths, by knapsack."""
    lengths = list(range(1, room + 1))
    for values, whole in scales(room, lengths):
        best = [0] * (room + 1)
        for total in range(1, room + 1):
            best[total] = max(best[total - x] + values[x - 1] for x in range(1, total + 1))
        assert best[room] <= whole, (values, whole)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 12), st.booleans())
def test_boxes_cut_from_one_case_need_no_second(seed: int, count: int, upright: bool) -> None:
    """Known optimum 1 by construction, whichever turns are allowed beside the true one."""
    rng = random.Random(seed)
    inside = (rng.randint(10, 60), rng.randint(10, 60), rng.randint(10, 60))
    sizes = [turns(part, upright) for part in cut_up(rng, inside, count, 3)]
    allowed = [[s for s in of if all(map(int.__le__, s, inside))] for of in sizes]
    assert fewest_bins(inside, allowed) == 1


def fixed_bound(boxes: Boxes) -> int:
    """The bound for boxes that may not be turned."""
    return fewest_bins(boxes.inside, [[size] for size in boxes.sizes])


def test_the_bound_is_never_below_the_volume() -> None:
    """Volume is one of the functions."""
    for kind in (1, 4, 5, 6, 7, 8):
        boxes = made_like_mpv(kind, 40, 1)
        volume = sum(a * b * c for a, b, c in boxes.sizes)
        bin_volume = boxes.inside[0] * boxes.inside[1] * boxes.inside[2]
        assert fixed_bound(boxes) >= -(-volume // bin_volume)


@pytest.mark.skipif(ABSENT is not None, reason=str(ABSENT))
def test_the_bound_is_at_least_as_good_as_the_published_one_in_total() -> None:
    """L2 of Martello, Pisinger and Vigo on their instances with 50 boxes."""
    some = [boxes for boxes in mpv() if len(boxes.sizes) == 50]
    assert sum(map(fixed_bound, some)) >= sum(boxes.l2 for boxes in some)
