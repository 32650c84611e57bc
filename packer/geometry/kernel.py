"""Does this set of boxes fit this case: the quick search, compiled.

Boxes are put one after the other into the best of the maximal empty spaces; when one finds no
place, the order is changed (the box that failed comes earlier, a few others swap) and the next of
several placing rules is tried, until everything fits or the effort is spent. "Fits" is certain,
"not found" proves nothing. Deterministic for given arguments.
"""

from __future__ import annotations

import numpy as np

from packer.geometry.arrays import ascending, copy
from packer.geometry.compiling import jit
from packer.geometry.spaces import CAPACITY, NOWHERE, RULES, Ints, fill, seek, start

FIXED = 0
"""The box may not be turned at all."""
UPRIGHT = 1
"""The box may be turned about its height only."""
ANY = 2
"""All six turns."""

_TURNS = np.array(
    [[0, 1, 2], [1, 0, 2], [0, 2, 1], [2, 0, 1], [1, 2, 0], [2, 1, 0]], dtype=np.int64
)


@jit
def draw(state: Ints, below: int) -> int:
    """A random integer in [0, below); `state` is one 64-bit integer that moves on."""
    state[0] = state[0] * 6364136223846793005 + 1442695040888963407
    return int(((state[0] >> 33) & 0x7FFFFFFF) % below)


@jit
def turn_all(inside: Ints, sizes: Ints, freedom: Ints, turned: Ints, turns: Ints) -> bool:
    """Write each box's different turns that fit inside; False if some box has none.

    `turned` is (n, 6, 3), `turns` (n,). `freedom`: FIXED, UPRIGHT or ANY for each box.
    """
    for i in range(sizes.shape[0]):
        made = 0
        allowed = 1 if freedom[i] == 0 else (2 if freedom[i] == 1 else 6)
        for t in range(allowed):
            a, b, c = sizes[i, _TURNS[t, 0]], sizes[i, _TURNS[t, 1]], sizes[i, _TURNS[t, 2]]
            if a > inside[0] or b > inside[1] or c > inside[2]:
                continue
            known = False
            for u in range(made):
                if turned[i, u, 0] == a and turned[i, u, 1] == b and turned[i, u, 2] == c:
                    known = True
            if not known:
                turned[i, made, 0], turned[i, made, 1], turned[i, made, 2] = a, b, c
                made += 1
        turns[i] = made
        if made == 0:
            return False
    return True


@jit
def least_after(turned: Ints, turns: Ints, order: Ints, least: Ints) -> None:
    """For each position in `order`: the smallest length on each axis of all later boxes."""
    n = order.shape[0]
    for axis in range(3):
        least[n - 1, axis] = NOWHERE
    for k in range(n - 2, -1, -1):
        i = order[k + 1]
        for axis in range(3):
            small = least[k + 1, axis]
            for t in range(turns[i]):
                small = min(small, turned[i, t, axis])
            least[k, axis] = small


@jit
def insert_all(
    inside: Ints,
    turned: Ints,
    turns: Ints,
    fragile: Ints,
    order: Ints,
    rule: int,
    least: Ints,
    spaces: Ints,
    fresh: Ints,
    work: Ints,
    places: Ints,
) -> int:
    """Put the boxes in by `order`; return how many went in before one found no place."""
    box = np.empty(6, dtype=np.int64)
    n = order.shape[0]
    least_after(turned, turns, order, least)
    count = start(spaces, inside)
    for k in range(n):
        i = order[k]
        work[0] += count * turns[i] + 2
        ceiling = inside[2] if fragile[i] else 0
        if seek(spaces, count, turned[i], turns[i], rule, ceiling, box) == NOWHERE:
            return int(k)
        for axis in range(6):
            places[i, axis] = box[axis]
        if k < n - 1:
            if fragile[i]:
                box[5] = inside[2]
            count = fill(spaces, count, box, least[k], fresh)
            work[0] += count
    return int(n)


@jit
def first_order(sizes: Ints, fragile: Ints, kind: int, order: Ints) -> None:
    """Largest first: by volume (kind 0), longest side (1), or largest face (2); fragile last."""
    n = sizes.shape[0]
    keys = np.empty(n, dtype=np.int64)
    for i in range(n):
        a, b, c = sizes[i, 0], sizes[i, 1], sizes[i, 2]
        long = max(a, b, c)
        short = min(a, b, c)
        volume = a * b * c
        keys[i] = volume
        if kind == 1:
            keys[i] = (long << 40) + min(volume, (1 << 40) - 1)
        if kind == 2:
            keys[i] = volume // max(short, 1)
        if fragile[i]:
            keys[i] -= 1 << 60
    for i in range(n):
        keys[i] = -keys[i]
    copy(ascending(keys), order)


@jit
def stir(order: Ints, failed: int, state: Ints) -> None:
    """Move the box at position `failed` forward, then swap a random pair or two."""
    n = order.shape[0]
    to = draw(state, failed + 1)
    if failed > 0:
        moved = order[failed]
        for k in range(failed, to, -1):
            order[k] = order[k - 1]
        order[to] = moved
    for _ in range(draw(state, 3)):
        a, b = draw(state, n), draw(state, n)
        order[a], order[b] = order[b], order[a]


@jit
def prefer(turned: Ints, turns: Ints, state: Ints) -> None:
    """Bring a random turn of some boxes to the front, where it wins ties."""
    for i in range(turns.shape[0]):
        t = draw(state, 2 * turns[i])
        if t > 0 and t < turns[i]:
            for axis in range(3):
                turned[i, 0, axis], turned[i, t, axis] = turned[i, t, axis], turned[i, 0, axis]


@jit
def pack_kernel(
    inside: Ints,
    sizes: Ints,
    freedom: Ints,
    fragile: Ints,
    seed: int,
    effort: int,
    places: Ints,
) -> bool:
    """Search for places of all boxes in one case. May be called from compiled code.

    inside: (3,) inside length, width, height, mm.
    sizes: (n, 3) own lengths already grown by the clearance, mm.
    freedom: (n,) FIXED, UPRIGHT or ANY. fragile: (n,) 1 where nothing may lie above.
    effort: about how many looks at an empty space to spend (1,000 is some 10 to 20 us).
    places: (n, 6) written: x1, y1, z1, x2, y2, z2 of the grown boxes; meaningless if False.
    """
    n = sizes.shape[0]
    if n == 0:
        return True
    free = inside[0] * inside[1] * inside[2]
    for i in range(n):
        free -= sizes[i, 0] * sizes[i, 1] * sizes[i, 2]
    if free < 0:
        return False
    turned = np.empty((n, 6, 3), dtype=np.int64)
    turns = np.empty(n, dtype=np.int64)
    if not turn_all(inside, sizes, freedom, turned, turns):
        return False
    return search(inside, sizes, turned, turns, fragile, seed, effort, places)


@jit
def search(
    inside: Ints,
    sizes: Ints,
    turned: Ints,
    turns: Ints,
    fragile: Ints,
    seed: int,
    effort: int,
    places: Ints,
) -> bool:
    """The orders tried by `pack_kernel`: three sorted ones under each rule, then stirred ones."""
    n = sizes.shape[0]
    spaces = np.empty((CAPACITY, 6), dtype=np.int64)
    fresh = np.empty((CAPACITY, 6), dtype=np.int64)
    least = np.empty((n, 3), dtype=np.int64)
    order = np.empty(n, dtype=np.int64)
    best = np.empty(n, dtype=np.int64)
    state = np.array([seed * 2 + 88172645463325252], dtype=np.int64)
    work = np.zeros(1, dtype=np.int64)
    best_placed = -1
    trial = 0
    while trial == 0 or work[0] < effort:
        rule = trial % RULES
        if trial < 3 * RULES:
            first_order(sizes, fragile, trial // RULES, order)
        placed = insert_all(
            inside, turned, turns, fragile, order, rule, least, spaces, fresh, work, places
        )
        if placed == n:
            return True
        if placed >= best_placed:
            best_placed = placed
            copy(order, best)
        elif draw(state, 8) == 0:
            copy(best, order)
            placed = best_placed
        stir(order, placed, state)
        prefer(turned, turns, state)
        trial += 1
    return False
