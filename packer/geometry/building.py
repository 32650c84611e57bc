"""Packings that a technician can build: the search for a better one, compiled.

Each box goes where it rests on the floor or on at least two thirds of its base, as low as it can,
in one of the four lower corners of an empty space. Complete packings are settled (everything sinks
until it rests), moved as a whole so that the centre of gravity comes near the middle, and judged.
"""

from __future__ import annotations

import numpy as np

from packer.geometry.arrays import ascending, copy, copy_rows
from packer.geometry.compiling import jit
from packer.geometry.kernel import draw, first_order, least_after, stir, turn_all
from packer.geometry.spaces import CAPACITY, NOWHERE, Ints, fill, start

UNSUPPORTED = 10_000
"""What an object with less than two thirds of its base supported costs, and once more if less
than a third, against per mille of height and offset of the centre of gravity."""


@jit
def plan_overlap(one: Ints, other: Ints, clearance: int) -> int:
    """Area shared in plan view by two grown boxes without their clearance, mm2."""
    x = min(one[3], other[3]) - clearance - max(one[0], other[0])
    y = min(one[4], other[4]) - clearance - max(one[1], other[1])
    return int(x * y) if x > 0 and y > 0 else 0


@jit
def lacks(box: Ints, places: Ints, placed: Ints, clearance: int) -> int:
    """How many thirds of its base `box` lacks to rest well on the floor or placed boxes.

    0 with two thirds or more, 1 with a third or more, else 2.
    """
    if box[2] == 0:
        return 0
    area = 0
    for i in range(places.shape[0]):
        if placed[i] and places[i, 5] == box[2]:
            area += plan_overlap(box, places[i], clearance)
    base = (box[3] - box[0] - clearance) * (box[4] - box[1] - clearance)
    if 3 * area >= 2 * base:
        return 0
    return 1 if 3 * area >= base else 2


@jit
def seek_rest(
    spaces: Ints,
    count: int,
    turned: Ints,
    turns: int,
    ceiling: int,
    places: Ints,
    placed: Ints,
    clearance: int,
    box: Ints,
) -> int:
    """Like `seek`, over four corners of each space: first what rests well, then what is low."""
    best = NOWHERE
    trial = np.empty(6, dtype=np.int64)
    for t in range(turns):
        size = turned[t]
        for s in range(count):
            space = spaces[s]
            if (
                size[0] > space[3] - space[0]
                or size[1] > space[4] - space[1]
                or size[2] > space[5] - space[2]
                or (ceiling > 0 and space[5] < ceiling)
            ):
                continue
            for corner in range(4):
                trial[0] = space[0] if corner % 2 == 0 else space[3] - size[0]
                trial[1] = space[1] if corner < 2 else space[4] - size[1]
                trial[2] = space[2]
                for axis in range(3):
                    trial[axis + 3] = trial[axis] + size[axis]
                value = (2 * trial[2] + size[2] << 24) + trial[0] + trial[1]
                if value >= best:
                    continue
                value += lacks(trial, places, placed, clearance) << 56
                if value < best:
                    best = value
                    copy(trial, box)
    return best


@jit
def build(
    inside: Ints,
    turned: Ints,
    turns: Ints,
    fragile: Ints,
    order: Ints,
    clearance: int,
    scratch: tuple[Ints, Ints, Ints],
    work: Ints,
    places: Ints,
) -> int:
    """Put the boxes in by `order`, each resting if it can; return how many went in."""
    spaces, fresh, least = scratch
    n = order.shape[0]
    box = np.empty(6, dtype=np.int64)
    placed = np.zeros(n, dtype=np.int64)
    least_after(turned, turns, order, least)
    count = start(spaces, inside)
    for k in range(n):
        i = order[k]
        work[0] += 4 * count * turns[i] + 2
        ceiling = inside[2] if fragile[i] else 0
        value = seek_rest(
            spaces, count, turned[i], turns[i], ceiling, places, placed, clearance, box
        )
        if value == NOWHERE:
            return int(k)
        copy(box, places[i])
        placed[i] = 1
        if fragile[i]:
            box[5] = inside[2]
        count = fill(spaces, count, box, least[k], fresh)
    return int(n)


@jit
def settle(places: Ints) -> None:
    """Let every box sink until it meets another or the floor; none changes places."""
    bottoms = np.empty(places.shape[0], dtype=np.int64)
    for i in range(places.shape[0]):
        bottoms[i] = places[i, 2]
    for i in ascending(bottoms):
        floor = 0
        for j in range(places.shape[0]):
            if places[j, 5] <= places[i, 2] and plan_overlap(places[i], places[j], 0) > 0:
                floor = max(floor, places[j, 5])
        drop = places[i, 2] - floor
        places[i, 2] -= drop
        places[i, 5] -= drop


@jit
def centre(places: Ints, weights: Ints, axis: int, clearance: int) -> int:
    """Twice the centre of gravity on an axis, mm."""
    moment = 0
    total = 0
    for i in range(places.shape[0]):
        moment += weights[i] * (places[i, axis] + places[i, axis + 3] - clearance)
        total += weights[i]
    return int(moment // max(total, 1))


@jit
def shift(inside: Ints, places: Ints, weights: Ints, clearance: int) -> None:
    """Move all boxes together along length and width, the centre of gravity to the middle."""
    for axis in range(2):
        wish = (inside[axis] - centre(places, weights, axis, clearance)) // 2
        least, most = places[0, axis], places[0, axis + 3]
        for i in range(1, places.shape[0]):
            least, most = min(least, places[i, axis]), max(most, places[i, axis + 3])
        move = min(max(wish, -least), inside[axis] - most)
        for i in range(places.shape[0]):
            places[i, axis] += move
            places[i, axis + 3] += move


@jit
def judge_build(inside: Ints, places: Ints, weights: Ints, clearance: int) -> int:
    """How bad a settled packing is to build and to carry; smaller is better."""
    placed = np.empty(places.shape[0], dtype=np.int64)
    for i in range(places.shape[0]):
        placed[i] = 1
    value = 0
    for i in range(places.shape[0]):
        value += UNSUPPORTED * lacks(places[i], places, placed, clearance)
    value += 3000 * centre(places, weights, 2, clearance) // (2 * inside[2])
    for axis in range(2):
        off = abs(centre(places, weights, axis, clearance) - inside[axis])
        value += 1000 * off // inside[axis]
    return int(value)


@jit
def first_build_order(sizes: Ints, weights: Ints, fragile: Ints, kind: int, order: Ints) -> None:
    """Kinds 0 to 2 as in `first_order`; 3: heaviest first; 4: most weight on its face first."""
    first_order(sizes, fragile, kind % 3, order)
    if kind < 3:
        return
    n = sizes.shape[0]
    keys = np.empty(n, dtype=np.int64)
    for i in range(n):
        keys[i] = weights[i] * 1000
        if kind == 4:
            small = min(sizes[i, 0], sizes[i, 1], sizes[i, 2])
            keys[i] = keys[i] * small // max(sizes[i, 0] * sizes[i, 1] * sizes[i, 2] // 1000, 1)
        if fragile[i]:
            keys[i] -= 1 << 60
    for i in range(n):
        keys[i] = -keys[i]
    copy(ascending(keys), order)


@jit
def improve_kernel(
    inside: Ints,
    sizes: Ints,
    freedom: Ints,
    fragile: Ints,
    weights: Ints,
    clearance: int,
    seed: int,
    effort: int,
    best: Ints,
) -> int:
    """Search for a packing that is better to build than `best` (n, 6), which it overwrites.

    Arguments as for `pack_kernel`; weights: (n,) g. Returns the value by `judge_build`.
    """
    n = sizes.shape[0]
    turned = np.empty((n, 6, 3), dtype=np.int64)
    turns = np.empty(n, dtype=np.int64)
    settle(best)
    shift(inside, best, weights, clearance)
    value = judge_build(inside, best, weights, clearance)
    turn_all(inside, sizes, freedom, turned, turns)
    spaces = np.empty((CAPACITY, 6), dtype=np.int64)
    fresh = np.empty((CAPACITY, 6), dtype=np.int64)
    scratch = (spaces, fresh, np.empty((n, 3), dtype=np.int64))
    order = np.empty(n, dtype=np.int64)
    kept = np.empty(n, dtype=np.int64)
    places = np.empty((n, 6), dtype=np.int64)
    state = np.array([seed * 2 + 88172645463325252], dtype=np.int64)
    work = np.zeros(1, dtype=np.int64)
    trial = 0
    found = False
    while trial < 5 or work[0] < effort:
        if trial < 5:
            first_build_order(sizes, weights, fragile, trial, order)
        placed = build(inside, turned, turns, fragile, order, clearance, scratch, work, places)
        if placed == n:
            settle(places)
            shift(inside, places, weights, clearance)
            worth = judge_build(inside, places, weights, clearance)
            if worth < value or not found:
                copy(order, kept)
            if worth < value:
                value = worth
                copy_rows(places, best)
            found = True
        if found and draw(state, 2) == 0:
            copy(kept, order)
        stir(order, min(placed, n - 1), state)
        trial += 1
    return value
