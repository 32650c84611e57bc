"""What one room holds at best, exactly: a knapsack with more rows, and with sets that exclude one
another, by branch and bound.

In: for each thing a price, a weight and how many there are; a room by weight; rows, each of which
adds up to at most a cap; cuts, each a set of demands (of these things at least so many) that are
never all met. Out: the worth of the best choice, the choice, and whether the search went through.
What is still open is bounded by the tables of Bellman, by weight and by the first row (Martello &
Toth 1990, "Knapsack Problems", chapters 2 and 3). Integers in any unit.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints, as_ints

Table = NDArray[np.int64]


class Things(NamedTuple):
    """`sizes[i, r]` is what thing i takes of `caps[r]`, and `lead` what it takes of the first;
    `order` is the order to decide them in."""

    prices: Ints
    weights: Ints
    most: Ints
    sizes: Table
    lead: Ints
    caps: Ints
    order: Ints


class Bars(NamedTuple):
    """Cuts: thing i counts for the demands `of[starts[i]:starts[i + 1]]`; demand d asks for
    `needs[d]` units and belongs to `cut[d]`; a cut has `demands[cut]` of them."""

    starts: Ints
    of: Ints
    needs: Ints
    cut: Ints
    demands: Ints


class _State(NamedTuple):
    """What is chosen: units by thing, what is left of each cap, what the demands have."""

    counts: Ints
    left: Ints
    met: Ints
    unmet: Ints


@jit
def best_choice(
    things: Things, bars: Bars, room: int, first: Ints, floor: int, most_nodes: int
) -> tuple[int, Ints, bool]:
    """The best choice of at least `first` of each thing, if it is worth more than `floor`.

    Where none is, or `first` itself does not go in: the floor and nothing. The last answer is
    False where `most_nodes` ended the search.
    """
    n = things.order.shape[0]
    by_weight = _tails(things, things.weights, room)
    by_size = _tails(things, things.lead, things.caps[0])
    state = _State(_zeros(n), things.caps.copy(), _zeros(len(bars.needs)), bars.demands.copy())
    best, chosen = floor, _zeros(n)
    worth = 0
    for i in range(n):
        for _ in range(first[i]):
            if things.weights[i] > room or not _goes_in(i, things, bars, state):
                return best, chosen, True
            _put(i, things, bars, state)
            room -= things.weights[i]
            worth += things.prices[i]
    k = nodes = 0
    while True:
        nodes += 1
        if nodes > most_nodes:
            return best, chosen, False
        if k == n and worth > best:
            best = worth
            for i in range(n):
                chosen[i] = state.counts[i]
        if k < n and worth + min(by_weight[k, room], by_size[k, state.left[0]]) > best:
            i = things.order[k]
            while (
                state.counts[i] < things.most[i]
                and things.weights[i] <= room
                and _goes_in(i, things, bars, state)
            ):
                _put(i, things, bars, state)
                room -= things.weights[i]
                worth += things.prices[i]
            k += 1
            continue
        k -= 1
        while k >= 0 and state.counts[things.order[k]] == first[things.order[k]]:
            k -= 1
        if k < 0:
            return best, chosen, True
        i = things.order[k]
        _take_out(i, things, bars, state)
        room += things.weights[i]
        worth -= things.prices[i]
        k += 1


@jit
def _zeros(count: int) -> Ints:
    return np.zeros(count, dtype=np.int64)


@jit
def _tails(things: Things, sizes: Ints, cap: int) -> Table:
    """[k, c]: the most that the things from the k-th on are worth within c of one capacity."""
    n = things.order.shape[0]
    best = np.zeros((n + 1, cap + 1), dtype=np.int64)
    for k in range(n - 1, -1, -1):
        i = things.order[k]
        for c in range(cap + 1):
            best[k, c] = best[k + 1, c]
        left, step = things.most[i], 1
        while left > 0 and things.prices[i] > 0:
            step = min(step, left)
            for c in range(cap, step * sizes[i] - 1, -1):
                with_it = best[k, c - step * sizes[i]] + step * things.prices[i]
                best[k, c] = max(best[k, c], with_it)
            left -= step
            step *= 2
    return best


@jit
def _goes_in(i: int, things: Things, bars: Bars, state: _State) -> bool:
    """True if one unit more breaks no cap and meets no cut."""
    for r in range(state.left.shape[0]):
        if things.sizes[i, r] > state.left[r]:
            return False
    free = True
    for at in range(bars.starts[i], bars.starts[i + 1]):
        d = bars.of[at]
        if state.met[d] + 1 == bars.needs[d]:
            state.unmet[bars.cut[d]] -= 1
            free = free and state.unmet[bars.cut[d]] > 0
    for at in range(bars.starts[i], bars.starts[i + 1]):
        d = bars.of[at]
        if state.met[d] + 1 == bars.needs[d]:
            state.unmet[bars.cut[d]] += 1
    return free


@jit
def _put(i: int, things: Things, bars: Bars, state: _State) -> None:
    state.counts[i] += 1
    for r in range(state.left.shape[0]):
        state.left[r] -= things.sizes[i, r]
    for at in range(bars.starts[i], bars.starts[i + 1]):
        d = bars.of[at]
        state.met[d] += 1
        if state.met[d] == bars.needs[d]:
            state.unmet[bars.cut[d]] -= 1


@jit
def _take_out(i: int, things: Things, bars: Bars, state: _State) -> None:
    state.counts[i] -= 1
    for r in range(state.left.shape[0]):
        state.left[r] += things.sizes[i, r]
    for at in range(bars.starts[i], bars.starts[i + 1]):
        d = bars.of[at]
        if state.met[d] == bars.needs[d]:
            state.unmet[bars.cut[d]] += 1
        state.met[d] -= 1


def warm_up() -> None:
    """Compiles the search, or loads it from the cache."""
    one, none = as_ints([1]), as_ints([])
    things = Things(one, one, one, as_ints([[1]]), one, one, as_ints([0]))
    best_choice(things, Bars(as_ints([0, 0]), none, none, none, none), 1, as_ints([0]), 0, 9)
