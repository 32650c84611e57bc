"""The best choice for a room with rows and cuts, against trying every number of every thing."""

from __future__ import annotations

from itertools import product
from random import Random

import numpy as np
import pytest

from packer.geometry.choosing import Bars, Things, best_choice
from packer.geometry.spaces import as_ints

Demand = tuple[list[int], int]
KINDS, ROWS, MANY = 5, 2, 10**6


def bars_of(cuts: list[list[Demand]]) -> Bars:
    """Cuts as the search reads them."""
    demands = [(lines, n, c) for c, cut in enumerate(cuts) for lines, n in cut]
    of = [[d for d, (lines, _, _) in enumerate(demands) if i in lines] for i in range(KINDS)]
    return Bars(
        as_ints(np.cumsum([0, *map(len, of)])),
        as_ints([d for each in of for d in each]),
        as_ints([n for _, n, _ in demands]),
        as_ints([c for _, _, c in demands]),
        as_ints([len(cut) for cut in cuts]),
    )


def cut_of(rng: Random) -> list[Demand]:
    """A set of two demands of one or two things."""
    return [(rng.sample(range(KINDS), rng.randint(1, 2)), rng.randint(1, 2)) for _ in range(2)]


def met(cut: list[Demand], pick: tuple[int, ...]) -> bool:
    """True if all demands of a cut are met."""
    return all(sum(pick[i] for i in lines) >= n for lines, n in cut)


@pytest.mark.parametrize("seed", range(60))
def test_choices_are_the_best_there_are(seed: int) -> None:
    """Five things, up to three of each, two rows, up to four cuts, some units given."""
    rng = Random(seed)
    prices, weights, most = ([rng.randint(0, high) for _ in range(KINDS)] for high in (20, 9, 3))
    sizes = [[rng.randint(0, 6) for _ in range(ROWS)] for _ in range(KINDS)]
    caps, room = [rng.randint(4, 24) for _ in range(ROWS)], rng.randint(5, 40)
    cuts = [cut_of(rng) for _ in range(rng.randint(0, 4))]
    first = [0] * KINDS
    if seed % 3 == 0:
        first[rng.randrange(KINDS)] = 1
        most = [max(n, least) for n, least in zip(most, first, strict=True)]
    order = as_ints(rng.sample(range(KINDS), KINDS))
    lead = [size[0] for size in sizes]
    things = Things(*map(as_ints, (prices, weights, most, sizes, lead, caps)), order)
    floor = rng.choice([-1, 0, 15])
    worth, chosen, complete = best_choice(things, bars_of(cuts), room, as_ints(first), floor, MANY)
    goes_in = [
        pick
        for pick in product(*(range(n, m + 1) for n, m in zip(first, most, strict=True)))
        if pick @ as_ints(weights) <= room
        and (pick @ as_ints(sizes) <= as_ints(caps)).all()
        and not any(met(cut, pick) for cut in cuts)
    ]
    best = max((int(pick @ as_ints(prices)) for pick in goes_in), default=floor)
    assert complete
    assert worth == max(best, floor)
    if best > floor:
        assert tuple(chosen.tolist()) in goes_in
        assert chosen @ as_ints(prices) == best
    else:
        assert not chosen.any()


def test_the_limit_of_nodes_is_told() -> None:
    """A search that was cut short says so."""
    ones = as_ints([1] * KINDS)
    sizes, order = ones.reshape(-1, 1), as_ints(range(KINDS))
    things = Things(ones, ones, ones, sizes, ones, as_ints([3]), order)
    none = as_ints([0] * KINDS)
    assert best_choice(things, bars_of([]), 3, none, 0, 2)[2] is False
    worth, _, complete = best_choice(things, bars_of([]), 3, none, 0, MANY)
    assert (worth, complete) == (3, True)
