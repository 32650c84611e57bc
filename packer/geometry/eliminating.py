"""Many boxes into few identical bins: emptying one bin after the other, compiled.

The contents of one bin become homeless. Then, again and again, a few bins are opened and packed
anew from their contents and the homeless in a random order; what finds no room is homeless next.
A change is kept when the homeless weigh no more, or a little more with falling probability; boxes
that stay homeless weigh more as time goes on. When none is left, one bin is saved. In the manner
of the ejection pool of Y. Nagata and O. Bräysy, Operations Research Letters 37 (2009), with
packing by maximal empty spaces in place of routes.
"""

from __future__ import annotations

import numpy as np

from packer.geometry.compiling import jit
from packer.geometry.kernel import draw
from packer.geometry.spaces import CAPACITY, NOWHERE, RULES, Ints, fill, seek, start

HOMELESS = -1
_MOST_OPEN = 3
_ONE_OPEN = 35
_THREE_OPEN = 15
"""Per cent of moves that open one bin, and three; the others open two."""
_PATIENCE = 300
"""Moves without a new best before the homeless become heavier."""
_HEAT = 30
"""Mean of the worsening that is let pass, in ten-thousandths of a bin."""
_SCALE = 10_000
_DICE = 1 << 20


@jit
def first_fit(
    inside: Ints, turned: Ints, turns: Ints, order: Ints, bin_of: Ints, places: Ints
) -> int:
    """Fill one bin after the other by `order`, each box at the lowest place; return the bins."""
    n = order.shape[0]
    spaces = np.empty((CAPACITY, 6), dtype=np.int64)
    fresh = np.empty((CAPACITY, 6), dtype=np.int64)
    box = np.empty(6, dtype=np.int64)
    least = np.ones(3, dtype=np.int64)
    bin_of[:] = HOMELESS
    left = n
    bins = 0
    while left > 0:
        count = start(spaces, inside)
        for i in order:
            if bin_of[i] != HOMELESS:
                continue
            if seek(spaces, count, turned[i], turns[i], 0, 0, box) < NOWHERE:
                bin_of[i] = bins
                places[i] = box
                left -= 1
                count = fill(spaces, count, box, least, fresh)
        bins += 1
    return bins


@jit
def sort_keys(sizes: Ints, members: Ints, count: int, state: Ints) -> Ints:
    """Keys that sort the larger boxes first, by one of six measures, with noise."""
    kind = draw(state, 6)
    noise = draw(state, 60)
    keys = np.empty(count, dtype=np.int64)
    for k in range(count):
        a, b, c = sizes[members[k], 0], sizes[members[k], 1], sizes[members[k], 2]
        key = a * b * c
        if kind == 1:
            key = a * b
        elif kind == 2:
            key = b * c
        elif kind == 3:
            key = a * c
        elif kind == 4:
            key = a + b + c
        elif kind == 5:
            key = max(a, b, c)
        keys[k] = -key * (100 + draw(state, 2 * noise + 1) - noise)
    return keys


@jit
def pack_open(
    inside: Ints,
    turned: Ints,
    turns: Ints,
    members: Ints,
    opened: int,
    rule: int,
    spaces: Ints,
    fresh: Ints,
    work: Ints,
    where: Ints,
    places: Ints,
) -> None:
    """Pack `members`, in order, each into the first of `opened` empty bins that has room.

    Writes for each position the bin (0, 1, ...) or HOMELESS to `where` and its box to `places`.
    """
    free = np.empty(_MOST_OPEN, dtype=np.int64)
    box = np.empty(6, dtype=np.int64)
    least = np.full(3, NOWHERE)
    for i in members:
        for t in range(turns[i]):
            for axis in range(3):
                least[axis] = min(least[axis], turned[i, t, axis])
    for b in range(opened):
        free[b] = start(spaces[b], inside)
    for k in range(members.shape[0]):
        i = members[k]
        where[k] = HOMELESS
        for b in range(opened):
            work[0] += free[b] * turns[i] + 2
            if seek(spaces[b], free[b], turned[i], turns[i], rule, 0, box) < NOWHERE:
                where[k] = b
                places[k] = box
                free[b] = fill(spaces[b], free[b], box, least, fresh)
                work[0] += free[b]
                break


@jit
def open_some(
    bins: int, lists: Ints, length: Ints, state: Ints, opened: Ints, members: Ints
) -> Ints:
    """Choose bins to open; gather their contents. Returns (bins opened, boxes gathered)."""
    dice = draw(state, 100)
    many = 1 if dice < _ONE_OPEN else (3 if dice >= 100 - _THREE_OPEN else 2)
    many = min(many, bins)
    count = 0
    for m in range(many):
        again = True
        while again:
            opened[m] = draw(state, bins)
            again = False
            for e in range(m):
                again = again or opened[e] == opened[m]
        for k in range(length[opened[m]]):
            members[count] = lists[opened[m], k]
            count += 1
    return np.array([many, count])


@jit
def shuffled(sizes: Ints, members: Ints, inmates: int, count: int, state: Ints) -> Ints:
    """The gathered boxes in a new order; half the time the homeless are moved forward."""
    keys = sort_keys(sizes, members, count, state)
    if draw(state, 2) == 0:
        boost = 1 + draw(state, 2)
        for k in range(inmates, count):
            keys[k] += keys[k] * boost // 2
    return members[np.argsort(keys)]


@jit
def close_again(
    bins: int,
    lists: Ints,
    length: Ints,
    opened: Ints,
    many: int,
    members: Ints,
    where: Ints,
    trial: Ints,
    bin_of: Ints,
    places: Ints,
) -> None:
    """Make the new contents of the opened bins, and the new homeless, the current ones."""
    for m in range(many):
        length[opened[m]] = 0
    length[bins] = 0
    for k in range(members.shape[0]):
        i = members[k]
        b = bins
        bin_of[i] = HOMELESS
        if where[k] != HOMELESS:
            b = opened[where[k]]
            bin_of[i] = b
            places[i] = trial[k]
        lists[b, length[b]] = i
        length[b] += 1


@jit
def weigh(homeless: Ints, count: int, burden: Ints, volume: Ints) -> int:
    """What the first `count` homeless weigh together."""
    total = 0
    for i in homeless[:count]:
        total += burden[i] * volume[i]
    return int(total)


@jit
def shares(inside: Ints, sizes: Ints) -> Ints:
    """The volume of each box in ten-thousandths of a bin, at least 1."""
    volume = np.empty(sizes.shape[0], dtype=np.int64)
    whole = inside[0] * inside[1] * inside[2]
    for i in range(sizes.shape[0]):
        volume[i] = max(1, _SCALE * sizes[i, 0] * sizes[i, 1] * sizes[i, 2] // whole)
    return volume


@jit
def enlist(bin_of: Ints, bins: int, lists: Ints, length: Ints) -> None:
    """Write the members of each bin to `lists`, the homeless to its row `bins`."""
    for i in range(bin_of.shape[0]):
        b = bins if bin_of[i] == HOMELESS else bin_of[i]
        lists[b, length[b]] = i
        length[b] += 1


@jit
def eliminate_kernel(
    inside: Ints,
    sizes: Ints,
    turned: Ints,
    turns: Ints,
    seed: int,
    effort: int,
    bin_of: Ints,
    places: Ints,
    burden: Ints,
    bins: int,
) -> int:
    """Seek homes in bins 0 .. `bins` - 1 for all boxes; return how many are left homeless.

    bin_of: (n,) bin of each box or HOMELESS; places: (n, 6); burden: (n,) how much the volume of
    each counts while homeless. All three are updated: a later call goes on from there.
    effort: looks at empty spaces.
    """
    n = sizes.shape[0]
    state = np.array([seed * 2 + 88172645463325252])
    work = np.zeros(1, dtype=np.int64)
    spaces = np.empty((_MOST_OPEN, CAPACITY, 6), dtype=np.int64)
    fresh = np.empty((CAPACITY, 6), dtype=np.int64)
    trial = np.empty((n, 6), dtype=np.int64)
    where = np.empty(n, dtype=np.int64)
    opened = np.empty(_MOST_OPEN, dtype=np.int64)
    gathered = np.empty(n, dtype=np.int64)
    lists = np.empty((bins + 1, n), dtype=np.int64)
    length = np.zeros(bins + 1, dtype=np.int64)
    volume = shares(inside, sizes)
    enlist(bin_of, bins, lists, length)
    now = weigh(lists[bins], length[bins], burden, volume)
    lowest = now
    calm = 0
    while length[bins] > 0 and bins > 0 and work[0] < effort:
        many, count = open_some(bins, lists, length, state, opened, gathered)
        inmates = count
        for k in range(length[bins]):
            gathered[count] = lists[bins, k]
            count += 1
        members = shuffled(sizes, gathered, inmates, count, state)
        rule = draw(state, RULES)
        pack_open(inside, turned, turns, members, many, rule, spaces, fresh, work, where, trial)
        homeless = members[where[:count] == HOMELESS]
        cost = weigh(homeless, homeless.shape[0], burden, volume)
        calm += 1
        if cost <= now - int(_HEAT * np.log((draw(state, _DICE) + 1) / _DICE)):
            close_again(bins, lists, length, opened, many, members, where, trial, bin_of, places)
            now = cost
        if now < lowest:
            lowest = now
            calm = 0
        if calm > _PATIENCE:
            calm = 0
            burden[lists[bins, : length[bins]]] += 1
            now = weigh(lists[bins], length[bins], burden, volume)
            lowest = now
    return int(length[bins])
