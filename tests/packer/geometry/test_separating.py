"""The compiled exact search for few boxes, against trying everything and the exact model."""

from __future__ import annotations

import random

import numpy as np
import pytest
from support.packing import cut_up, packable

from packer.geometry import Item, Verdict
from packer.geometry.exact import solve_exactly
from packer.geometry.items import turns_inside
from packer.geometry.separating import NO, UNKNOWN, YES, separate
from packer.geometry.spaces import Ints, as_ints

Sides = tuple[int, int, int]

MANY = 2_000_000
VERDICTS = {YES: Verdict.YES, NO: Verdict.NO, UNKNOWN: Verdict.UNKNOWN}


def asked(inside: Sides, items: list[Item], most_nodes: int = MANY) -> tuple[int, Ints]:
    """The answer and the corners, for items each of which goes in by itself."""
    turned = [turns_inside(item, inside, 0) for item in items]
    sizes = np.zeros((len(items), 6, 3), dtype=np.int64)
    for k, of in enumerate(turned):
        sizes[k, : len(of)] = of
    corners = np.zeros((len(items), 6), dtype=np.int64)
    turns = as_ints([len(of) for of in turned])
    return separate(as_ints(inside), sizes, turns, most_nodes, corners), corners


def assert_apart(corners: Ints, inside: Sides, items: list[Item]) -> None:
    """Each box is inside, has a size that it may be turned to, and shares room with no other."""
    assert (corners[:, :3] >= 0).all()
    assert (corners[:, 3:] <= np.array(inside)).all()
    for k, item in enumerate(items):
        size = tuple((corners[k, 3:] - corners[k, :3]).tolist())
        assert size in turns_inside(item, inside, 0)
        for other in corners[:k]:
            near = np.maximum(other[:3], corners[k, :3])
            assert (near >= np.minimum(other[3:], corners[k, 3:])).any()


@pytest.mark.parametrize("seed", range(6))
def test_answers_are_those_of_trying_everything(seed: int) -> None:
    """Two to four things in cases of 3 to 5 units on a side, upright ones among them."""
    rng = random.Random(seed)
    answers = set()
    for _ in range(60):
        inside = (rng.randint(3, 5), rng.randint(3, 5), rng.randint(3, 4))
        sides = [[rng.randint(1, 3) for _ in range(3)] for _ in range(rng.randint(2, 4))]
        items = [Item((a, b, c), rng.random() < 0.4) for a, b, c in sides]
        answer, corners = asked(inside, items)
        answers.add(answer)
        assert (answer == YES) is packable(items, inside, 0), (inside, items)
        if answer == YES:
            assert_apart(corners, inside, items)
    assert answers == {YES, NO}


@pytest.mark.parametrize("count", [3, 4, 5, 6])
def test_answers_are_those_of_the_exact_model(count: int) -> None:
    """Boxes of nearly half a case and less, about as many that fit as that do not."""
    rng = random.Random(count)
    answers = set()
    for _ in range(25):
        inside = (rng.randint(40, 80), rng.randint(40, 80), rng.randint(40, 60))
        edge = (0.62 * inside[0] * inside[1] * inside[2] / count) ** (1 / 3)
        items = [
            Item(tuple(min(38, int(edge * rng.uniform(0.6, 1.6))) for _ in range(3)))  # type: ignore[arg-type]
            for _ in range(count)
        ]
        answer, corners = asked(inside, items)
        answers.add(answer)
        assert VERDICTS[answer] is solve_exactly(inside, items, 0).verdict, (inside, items)
        if answer == YES:
            assert_apart(corners, inside, items)
    assert answers == {YES, NO}


@pytest.mark.parametrize("count", [2, 4, 6, 8])
def test_a_case_cut_into_boxes_is_never_refused(count: int) -> None:
    """Boxes that fill a case to the last millimetre, by construction."""
    rng = random.Random(count)
    for _ in range(5):
        inside = (rng.randint(400, 900), rng.randint(300, 600), rng.randint(200, 500))
        items = [Item(sides) for sides in cut_up(rng, inside, count, 30)]
        answer, corners = asked(inside, items, 20_000)
        assert answer != NO
        if answer == YES:
            assert_apart(corners, inside, items)


def test_the_limit_of_nodes_is_kept() -> None:
    """One node is too few for a verdict on two cubes."""
    assert asked((2, 1, 1), [Item((1, 1, 1))] * 2, 1)[0] == UNKNOWN
    assert asked((2, 1, 1), [Item((1, 1, 1))] * 2)[0] == YES
    assert asked((2, 1, 1), [Item((1, 1, 1))] * 3)[0] == NO
