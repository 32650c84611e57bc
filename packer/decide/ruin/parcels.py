"""What is taken out of cases and what is wished for: the pool of a step. Compiled.

A parcel is one unit of a line, or all flying units of a bundle, which share a case: rows of POOL
are (line, -1) or (-1, bundle), and BUNDLE_UNITS says how many of each line a pooled bundle has.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from packer.decide.ruin.money import book, saved_minor
from packer.decide.ruin.state import (
    BUNDLE_UNITS,
    FLOWN,
    INSIDE,
    OPTION,
    POOL,
    SHORT,
    SUMS,
    TOTALS,
    UNITS,
    close,
    dice,
    take,
    touch,
)
from packer.decide.ruin.tables import (
    BUNDLE,
    BUNDLE_FROM,
    BUNDLES,
    CASES,
    KIND,
    KIT_LINES,
    KIT_LINES_FROM,
    LARGE,
    LEAST,
    LINES,
    MOST,
    OPTIONAL,
    RANKS,
    read,
    rows,
    write,
)
from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints

MOST_CASES_RUINED = 4
MOST_WISHES = 6


@jit
def into_pool(state: Ints, pool: int, line: int, bundle: int) -> int:
    """Adds a parcel; returns the new size of the pool."""
    write(state, POOL, pool, 0, line)
    write(state, POOL, pool, 1, bundle)
    return pool + 1


@jit
def ruin(given: Ints, state: Ints) -> int:
    """Takes some cases apart, or lines out of all cases; returns the size of the pool."""
    if dice(state, 100) < 12 and rows(given, OPTIONAL):
        _drop_lines(given, state)
        return 0
    pool: Any = np.int64(0)  # plain figures would be compiled for twice
    kind: Any = np.int64(-1)
    share = 1_000 if dice(state, 10) < 6 else 200 + dice(state, 500)
    for _ in range(1 + dice(state, MOST_CASES_RUINED)):
        case = _random_used(given, state, kind)
        if case < 0:
            break
        kind = read(given, CASES, case, KIND)
        pool = _take_out(given, state, case, share, pool)
    return int(pool)


@jit
def _random_used(given: Ints, state: Ints, kind: int) -> int:
    """A random case with contents, of a kind (any if below 0); -1 if there is none."""
    count = 0
    found = -1
    for case in range(rows(state, SUMS)):
        alike = kind < 0 or read(given, CASES, case, KIND) == kind
        if alike and read(state, SUMS, case, UNITS):
            count += 1
            if dice(state, count) == 0:
                found = case
    return found


@jit
def _take_out(given: Ints, state: Ints, case: int, share: int, pool: int) -> int:
    """Puts a share (in 1,000) of a case's parcels in the pool; an emptied case is put back."""
    touch(state, case)
    at = 0
    while at < read(state, SUMS, case, UNITS):
        if share < 1_000 and dice(state, 1_000) >= share:
            at += 1
            continue
        line = read(state, INSIDE, case, at)
        bundle = read(given, LINES, line, BUNDLE)
        if bundle < 0:
            take(given, state, case, at)
            book(given, state, line, -1)
            pool = into_pool(state, pool, line, -1)
        else:
            pool = _bundle_out(given, state, case, bundle, pool)
            at = 0
    if read(state, SUMS, case, UNITS) == 0 and read(state, SUMS, case, OPTION) >= 0:
        close(given, state, case)
    return pool


@jit
def _bundle_out(given: Ints, state: Ints, case: int, bundle: int, pool: int) -> int:
    units = state[BUNDLE_UNITS]
    for k in range(read(given, BUNDLE_FROM, bundle, 0), read(given, BUNDLE_FROM, bundle + 1, 0)):
        state[units + read(given, BUNDLES, k, 0)] = 0
    for at in range(read(state, SUMS, case, UNITS) - 1, -1, -1):
        line = read(state, INSIDE, case, at)
        if read(given, LINES, line, BUNDLE) == bundle:
            take(given, state, case, at)
            book(given, state, line, -1)
            state[units + line] += 1
    if dice(state, 2) == 0:
        _reconsider(given, state, bundle)
    return into_pool(state, pool, -1, bundle)


@jit
def _reconsider(given: Ints, state: Ints, bundle: int) -> None:
    """Lets other units of a pooled bundle fly: of some members all, of some only what must."""
    for k in range(read(given, BUNDLE_FROM, bundle, 0), read(given, BUNDLE_FROM, bundle + 1, 0)):
        line = read(given, BUNDLES, k, 0)
        chance = dice(state, 6)
        if chance < 2:
            column = LEAST if chance == 0 else MOST
            state[state[BUNDLE_UNITS] + line] = read(given, LINES, line, column)


@jit
def _drop_lines(given: Ints, state: Ints) -> None:
    """Leaves some optional lines at home: those of one kit, or what hire replaces cheaply."""
    kits = rows(given, KIT_LINES_FROM) - 1
    if kits and dice(state, 3) == 0:
        kit = dice(state, kits)
        for k in range(
            read(given, KIT_LINES_FROM, kit, 0), read(given, KIT_LINES_FROM, kit + 1, 0)
        ):
            _drop_line(given, state, read(given, KIT_LINES, k, 0))
        return
    for _ in range(1 + dice(state, 4)):
        line = _dispensable(given, state)
        if line >= 0:
            _drop_line(given, state, line)


@jit
def _dispensable(given: Ints, state: Ints) -> int:
    """Of a few random optional lines that fly, the one whose room is dearest; -1 if none flies."""
    best = -1
    least = 0.0
    for _ in range(1 + dice(state, 6)):
        line = read(given, OPTIONAL, dice(state, rows(given, OPTIONAL)), 0)
        spare = state[state[FLOWN] + line] - read(given, LINES, line, LEAST)
        if spare <= 0 or read(given, LINES, line, BUNDLE) >= 0:
            continue
        size = max(1, spare * read(given, RANKS, line, LARGE))
        value = -saved_minor(given, state, line, -spare) / size
        if best < 0 or value < least:
            best, least = line, value
    return best


@jit
def _drop_line(given: Ints, state: Ints, line: int) -> None:
    """Takes all units of a line out that need not fly."""
    spare = state[state[FLOWN] + line] - read(given, LINES, line, LEAST)
    if spare <= 0 or read(given, LINES, line, BUNDLE) >= 0:
        return
    for case in range(rows(state, SUMS)):
        at = 0
        while spare > 0 and at < read(state, SUMS, case, UNITS):
            if read(state, INSIDE, case, at) != line:
                at += 1
                continue
            touch(state, case)
            take(given, state, case, at)
            book(given, state, line, -1)
            spare -= 1
            if read(state, SUMS, case, UNITS) == 0:
                close(given, state, case)


@jit
def wish(given: Ints, state: Ints, pool: int) -> int:
    """Adds to the pool what must fly and has no case; else some of what is hired now."""
    before = pool
    if state[state[TOTALS] + SHORT] > 0:
        pool = _missing(given, state, pool)
    optional = rows(given, OPTIONAL)
    if pool > before or optional == 0:
        return pool
    kits = rows(given, KIT_LINES_FROM) - 1
    if kits and dice(state, 10) == 0:
        kit = dice(state, kits)
        for k in range(
            read(given, KIT_LINES_FROM, kit, 0), read(given, KIT_LINES_FROM, kit + 1, 0)
        ):
            pool = _wish_line(given, state, read(given, KIT_LINES, k, 0), pool, True)
        return pool
    for _ in range(dice(state, MOST_WISHES + 1)):
        line = _hired_line(given, state)
        if line >= 0:
            pool = _wish_line(given, state, line, pool, dice(state, 2) == 0)
    return pool


@jit
def _missing(given: Ints, state: Ints, pool: int) -> int:
    for line in range(rows(given, LINES)):
        short = read(given, LINES, line, LEAST) - state[state[FLOWN] + line]
        if short > 0 and read(given, LINES, line, BUNDLE) >= 0:
            pool = _wish_line(given, state, line, pool, True)
        elif short > 0:
            for _ in range(short - _pooled(state, pool, line)):
                pool = into_pool(state, pool, line, -1)
    return pool


@jit
def _pooled(state: Ints, pool: int, line: int) -> int:
    count = 0
    for k in range(pool):
        if read(state, POOL, k, 0) == line:
            count += 1
    return count


@jit
def _hired_line(given: Ints, state: Ints) -> int:
    """Of a few random optional lines at home, the one that saves most by its room; -1 if none."""
    best = -1
    most = 0.0
    for _ in range(1 + dice(state, 6)):
        line = read(given, OPTIONAL, dice(state, rows(given, OPTIONAL)), 0)
        units = read(given, LINES, line, MOST) - state[state[FLOWN] + line]
        if units <= 0:
            continue
        value = saved_minor(given, state, line, units) / max(
            1, units * read(given, RANKS, line, LARGE)
        )
        if best < 0 or value > most:
            best, most = line, value
    return best


@jit
def _wish_line(given: Ints, state: Ints, line: int, pool: int, whole: bool) -> int:
    """Adds hired units of a line to the pool, all or some; or its whole bundle."""
    bundle = read(given, LINES, line, BUNDLE)
    if bundle >= 0:
        return _wish_bundle(given, state, bundle, pool)
    left = read(given, LINES, line, MOST) - state[state[FLOWN] + line]
    left -= _pooled(state, pool, line)
    if left <= 0 or pool + left >= rows(state, POOL):
        return pool
    for _ in range(left if whole else 1 + dice(state, left)):
        pool = into_pool(state, pool, line, -1)
    return pool


@jit
def _wish_bundle(given: Ints, state: Ints, bundle: int, pool: int) -> int:
    for k in range(pool):
        if read(state, POOL, k, 1) == bundle:
            return pool
    first, last = read(given, BUNDLE_FROM, bundle, 0), read(given, BUNDLE_FROM, bundle + 1, 0)
    for k in range(first, last):
        if state[state[FLOWN] + read(given, BUNDLES, k, 0)]:
            return pool
    for k in range(first, last):
        line = read(given, BUNDLES, k, 0)
        state[state[BUNDLE_UNITS] + line] = read(given, LINES, line, MOST)
    if dice(state, 2) == 0:
        _reconsider(given, state, bundle)
    return into_pool(state, pool, -1, bundle)
