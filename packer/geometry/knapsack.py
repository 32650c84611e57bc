"""What one room holds at best: a bounded knapsack over weight and bulk, for several rooms at once.

In: for each thing a price, a weight, a bulk and how many there are; rooms by weight, all of one
bulk; integers in any unit. Out: for each room the worth of the best filling, and the filling.
The method is the table of Bellman, things taken in powers of two (Martello & Toth 1990, "Knapsack
Problems", chapter 3).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints

Fillings = NDArray[np.int64]


@jit
def best_fillings(
    prices: Ints, weights: Ints, bulks: Ints, most: Ints, rooms: Ints, bulk: int
) -> tuple[Ints, Fillings]:
    """The worth of the best filling of each room, and how many of each thing are in it."""
    owner, count = _portions(prices, most)
    best = np.zeros((rooms.max() + 1, bulk + 1), dtype=np.int64)
    taken = np.zeros((owner.shape[0], rooms.max() + 1, bulk + 1), dtype=np.bool_)
    for p in range(owner.shape[0]):
        i, n = owner[p], count[p]
        _take(best, taken[p], n * weights[i], n * bulks[i], n * prices[i])
    worth = np.zeros(rooms.shape[0], dtype=np.int64)
    fillings = np.zeros((rooms.shape[0], prices.shape[0]), dtype=np.int64)
    for k in range(rooms.shape[0]):
        g, b = rooms[k], bulk
        worth[k] = best[g, b]
        for p in range(owner.shape[0] - 1, -1, -1):
            if taken[p, g, b]:
                i, n = owner[p], count[p]
                fillings[k, i] += n
                g -= n * weights[i]
                b -= n * bulks[i]
    return worth, fillings


@jit
def _take(
    best: NDArray[np.int64], taken: NDArray[np.bool_], weight: int, bulk: int, price: int
) -> None:
    """One portion more, to take or to leave."""
    for g in range(best.shape[0] - 1, weight - 1, -1):
        for b in range(best.shape[1] - 1, bulk - 1, -1):
            if best[g - weight, b - bulk] + price > best[g, b]:
                best[g, b] = best[g - weight, b - bulk] + price
                taken[g, b] = True


@jit
def _portions(prices: Ints, most: Ints) -> tuple[Ints, Ints]:
    """1, 2, 4 ... of each thing that has a price, and what is left: any number is a sum."""
    parts = 0
    for fill in range(2):
        if fill == 1:
            owner = np.zeros(parts, dtype=np.int64)
            count = np.zeros(parts, dtype=np.int64)
        parts = 0
        for i in range(prices.shape[0]):
            left, size = most[i] if prices[i] > 0 else 0, 1
            while left > 0:
                if fill == 1:
                    owner[parts], count[parts] = i, min(size, left)
                parts += 1
                left -= min(size, left)
                size *= 2
    return owner, count
