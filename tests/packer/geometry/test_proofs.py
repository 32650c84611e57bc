"""No NO is wrong: refusals of the bounds and of the exact model against trying everything."""

from __future__ import annotations

import random

import pytest
from support.packing import packable

from packer.geometry import Fitter, Item, Verdict
from packer.geometry.bounds import reach, refused

Question = tuple[tuple[int, int, int], list[Item], int]


def question(rng: random.Random) -> Question:
    """A case of 3 to 5 units on a side and two to four things, nearly full."""
    clear = rng.choice([0, 0, 1])
    inside = (rng.randint(3, 5), rng.randint(3, 5), rng.randint(3, 4))
    count = rng.randint(2, 4)
    items = []
    for _ in range(count):
        a, b, c = (max(1, rng.randint(1 + clear, 4) - clear) for _ in range(3))
        items.append(Item((a, b, c), rng.random() < 0.4, rng.random() < 0.4))
    return inside, items, clear


def volume(asked: Question) -> float:
    """The share of the case that the grown things fill."""
    inside, items, clear = asked
    need = sum(
        (i.sides_mm[0] + clear) * (i.sides_mm[1] + clear) * (i.sides_mm[2] + clear) for i in items
    )
    return need / (inside[0] * inside[1] * inside[2])


@pytest.mark.parametrize("seed", range(8))
def test_answers_agree_with_trying_everything(seed: int) -> None:
    """40 tiny questions each, fragile and upright things and clearance among them."""
    rng = random.Random(seed)
    asked = 0
    answers = set()
    while asked < 40:
        inside, items, clear = one = question(rng)
        if not 0.5 < volume(one) <= 1.0:
            continue
        asked += 1
        true = Verdict.YES if packable(items, inside, clear) else Verdict.NO
        answers.add(true)
        assert Fitter(clear).decide(inside, items).verdict is true, one
        assert Fitter(clear).exact(inside, items).verdict is true, one
        assert true is Verdict.NO or refused(inside, items, clear) is None, one
    assert answers == {Verdict.YES, Verdict.NO}


def test_each_bound_refuses_what_it_is_for() -> None:
    """One example for each reason, just over the edge."""
    cube = Item((6, 6, 6))
    assert refused((10, 10, 10), [Item((11, 1, 1))], 0) == "an item is larger than the case"
    assert refused((4, 4, 4), [Item((4, 4, 3)), Item((4, 4, 2))], 0) == "volume"
    assert (
        refused((9, 9, 9), [Item((4, 4, 4))] * 10, 0) == "volume of the lengths that can be reached"
    )
    assert refused((11, 11, 13), [cube, cube, Item((1, 1, 13))], 0) is None
    assert refused((11, 11, 11), [cube, cube, Item((11, 5, 5))], 0) == (
        "two items that exclude each other"
    )
    flat = Item((6, 6, 1), upright=True, fragile=True)
    assert refused((10, 10, 10), [flat, flat], 0) == "plan views of fragile items"
    assert refused((12, 10, 10), [flat, flat], 0) is None


def test_reachable_lengths_are_subset_sums() -> None:
    """7 and 5 reach 12 at most; in 11 they reach 7; either side of a thing may be used, once."""
    assert reach(20, [[7], [5]]) == 12
    assert reach(11, [[7], [5]]) == 7
    assert reach(11, [[7, 3], [5, 4]]) == 11
