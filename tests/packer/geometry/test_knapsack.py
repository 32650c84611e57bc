"""The best filling of each room, against trying every number of every thing."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from packer.geometry.knapsack import best_fillings
from packer.geometry.spaces import as_ints


@pytest.mark.parametrize("seed", range(30))
def test_fillings_are_the_best_there_are(seed: int) -> None:
    """Four things, up to three of each, three rooms: worth as by trial, and the filling fits."""
    rng = Random(seed)
    prices, weights, bulks, most = (
        [rng.randint(0, high) for _ in range(4)] for high in (20, 12, 5, 3)
    )
    rooms, bulk = [rng.randint(0, 40) for _ in range(3)], rng.randint(0, 12)
    worths, fillings = best_fillings(*map(as_ints, (prices, weights, bulks, most, rooms)), bulk)
    for k, room in enumerate(rooms):
        best = max(
            sum(n * p for n, p in zip(pick, prices, strict=True))
            for pick in product(*(range(n + 1) for n in most))
            if sum(n * w for n, w in zip(pick, weights, strict=True)) <= room
            and sum(n * b for n, b in zip(pick, bulks, strict=True)) <= bulk
        )
        filling = fillings[k].tolist()
        assert worths[k] == best == sum(n * p for n, p in zip(filling, prices, strict=True))
        assert all(n <= high for n, high in zip(filling, most, strict=True))
        assert sum(n * w for n, w in zip(filling, weights, strict=True)) <= room
        assert sum(n * b for n, b in zip(filling, bulks, strict=True)) <= bulk
