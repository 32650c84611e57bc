"""Packing the pool of a step into cases, used ones first. Compiled."""

from __future__ import annotations

from typing import Any

import numpy as np

from packer.decide.ruin.money import book
from packer.decide.ruin.places import Ask, places_hold, room_g, takes_one
from packer.decide.ruin.state import (
    BUNDLE_UNITS,
    CABIN_PIECES,
    CONTENT_G,
    FAILED,
    FLOWN,
    KEYS,
    OPTION,
    POOL,
    SUMS,
    TOTALS,
    UNITS,
    close,
    dice,
    open_by,
    put,
    take,
    touch,
)
from packer.decide.ruin.tables import (
    ABOVE,
    BILLS,
    BUNDLE_FROM,
    BUNDLES,
    CABIN,
    CABIN_MOST,
    CASES,
    COST,
    FREIGHT,
    FREIGHT_ROW,
    GROUP_FROM,
    GROUPS,
    HOLD,
    HOMES,
    LEAST,
    LINES,
    OPTION_FROM,
    OPTIONS,
    PIECES,
    RANKS,
    RATE,
    ROUTE,
    ROUTES,
    SAVING,
    SCALARS,
    TARE,
    UPTO,
    VOLUME,
    WEIGHT,
    read,
    rows,
)
from packer.geometry.arrays import ascending
from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints

# How a step packs: chances in 1,000 that a home is passed over, that optional units stay at home,
# that cases may grow beyond their weight band, that cases are opened for optional units; the
# noise of the order in 1,000; the column of RANKS that orders; noise of a case's price in 1,000.
SKIP, DROP, GROW, OPEN, NOISE, RANK, CASE_NOISE = range(7)
MUST_FIRST = 10**16
PRICE_UNITS = 1_000  # to a minor unit a gram
MOST_TRIED = 16  # used cases tried for one parcel


@jit
def recreate(given: Ints, state: Ints, pool: int, mood: Ints, ask: Ask) -> None:
    """Packs the pool; what finds no home stays out."""
    wider = dice(state, 1_000) < mood[GROW]
    may_open = dice(state, 1_000) < mood[OPEN]
    for line in range(rows(state, FAILED)):
        state[state[FAILED] + line] = 0
    for k in _order(given, state, pool, mood):
        must = _must_fly(given, state, k)
        line = read(state, POOL, k, 0)
        if line >= 0 and state[state[FAILED] + line]:
            continue
        if line < 0 and _units_of(given, state, k).shape[0] == 0:
            continue
        if not must and mood[DROP] and dice(state, 1_000) < mood[DROP]:
            continue
        if _into_used(given, state, k, mood[SKIP], wider, ask):
            continue
        if (must or may_open) and _into_new(given, state, k, mood[SKIP], mood[CASE_NOISE], ask):
            continue
        if line >= 0:
            state[state[FAILED] + line] = 1


@jit
def _order(given: Ints, state: Ints, pool: int, mood: Ints) -> Ints:
    """Largest first with some noise; or what must fly, then what saves most."""
    keys = state[KEYS]
    for k in range(pool):
        lead = _lead(given, state, k)
        value = read(given, RANKS, lead, mood[RANK])
        if mood[NOISE]:
            value = value // 1_000 * (1_000 + dice(state, 2 * mood[NOISE]) - mood[NOISE])
        if mood[RANK] == SAVING and read(given, LINES, lead, LEAST) > 0:
            value += MUST_FIRST
        state[keys + k] = -value
    return ascending(state[keys : keys + pool])


@jit
def _lead(given: Ints, state: Ints, k: int) -> int:
    """The line that stands for a parcel: its own, or the first flying one of its bundle."""
    line = read(state, POOL, k, 0)
    if line >= 0:
        return line
    bundle = read(state, POOL, k, 1)
    first = read(given, BUNDLE_FROM, bundle, 0)
    for n in range(first, read(given, BUNDLE_FROM, bundle + 1, 0)):
        line = read(given, BUNDLES, n, 0)
        if state[state[BUNDLE_UNITS] + line]:
            return line
    return read(given, BUNDLES, first, 0)


@jit
def _must_fly(given: Ints, state: Ints, k: int) -> bool:
    """True for a parcel with units that nothing covers."""
    line = read(state, POOL, k, 0)
    if line >= 0:
        return bool(read(given, LINES, line, LEAST) > state[state[FLOWN] + line])
    bundle = read(state, POOL, k, 1)
    for n in range(read(given, BUNDLE_FROM, bundle, 0), read(given, BUNDLE_FROM, bundle + 1, 0)):
        if read(given, LINES, read(given, BUNDLES, n, 0), LEAST) > 0:
            return True
    return False


@jit
def _units_of(given: Ints, state: Ints, k: int) -> Ints:
    """The lines of a parcel's units."""
    line = read(state, POOL, k, 0)
    if line >= 0:
        one = np.empty(1, dtype=np.int64)
        one[0] = line
        return one
    bundle = read(state, POOL, k, 1)
    first, last = read(given, BUNDLE_FROM, bundle, 0), read(given, BUNDLE_FROM, bundle + 1, 0)
    count = 0
    for n in range(first, last):
        count += state[state[BUNDLE_UNITS] + read(given, BUNDLES, n, 0)]
    units = np.empty(count, dtype=np.int64)
    at = 0
    for n in range(first, last):
        line = read(given, BUNDLES, n, 0)
        for _ in range(state[state[BUNDLE_UNITS] + line]):
            units[at] = line
            at += 1
    return units


@jit
def _into_used(given: Ints, state: Ints, k: int, skip: int, wider: bool, ask: Ask) -> bool:
    """Tries the cases in use, the one with least weight left over first.

    Where they are many, every other try is the one with the most: not all of them are asked.
    """
    lead = _lead(given, state, k)
    units = _units_of(given, state, k)
    weight = 0
    for line in units:
        weight += read(given, LINES, line, WEIGHT)
    cases = rows(state, SUMS)
    found = np.empty(cases, dtype=np.int64)
    left = np.empty(cases, dtype=np.int64)
    n = 0
    for case in range(cases):
        if read(state, SUMS, case, OPTION) < 0 or not read(given, HOMES, lead, case):
            continue
        room = room_g(given, state, case, wider)
        over = room - read(state, SUMS, case, CONTENT_G) - weight
        if over >= 0 and takes_one(given, state, case, lead, room):
            found[n], left[n] = case, over
            n += 1
    for t in range(min(n, MOST_TRIED)):
        best = _next_tried(left, n, n > MOST_TRIED and t % 2 == 1)
        left[best] = -1
        if dice(state, 1_000) < skip:
            continue
        room = room_g(given, state, found[best], wider)
        if _add(given, state, found[best], units, room, ask):
            return True
    return False


@jit
def _next_tried(left: Ints, count: int, roomiest: bool) -> int:
    """The position with the least weight left over among those not tried; or with the most."""
    best = -1
    for k in range(count):
        better = best < 0 or (left[k] > left[best] if roomiest else left[k] < left[best])
        if left[k] >= 0 and better:
            best = k
    return best


@jit
def _into_new(given: Ints, state: Ints, k: int, skip: int, noise: int, ask: Ask) -> bool:
    """Opens the unused case whose room costs least, one of each group of identical ones."""
    lead = _lead(given, state, k)
    units = _units_of(given, state, k)
    options = rows(given, OPTIONS)
    found = np.empty(options, dtype=np.int64)
    of = np.empty(options, dtype=np.int64)
    price = np.empty(options, dtype=np.int64)
    fee = _next_fee(given, state)
    n = 0
    for g in range(rows(given, GROUP_FROM) - 1):
        case = _unused(given, state, g)
        if case < 0 or not read(given, HOMES, lead, case):
            continue
        for o in range(read(given, OPTION_FROM, case, 0), read(given, OPTION_FROM, case + 1, 0)):
            if _may_open(given, state, lead, case, o) and dice(state, 1_000) >= skip:
                found[n], of[n], price[n] = o, case, _price(given, case, o, fee)
                if noise:
                    price[n] = price[n] * (1_000 + dice(state, noise)) // 1_000
                n += 1
    for _ in range(n):
        best: Any = np.int64(-1)
        for j in range(n):
            if price[j] >= 0 and (best < 0 or _sooner(given, price, of, j, best)):
                best = j
        price[best] = -1
        case = of[best]
        touch(state, case)
        open_by(given, state, case, found[best])
        if _add(given, state, case, units, room_g(given, state, case, False), ask):
            return True
        close(given, state, case)
    return False


@jit
def _unused(given: Ints, state: Ints, group: int) -> int:
    for k in range(read(given, GROUP_FROM, group, 0), read(given, GROUP_FROM, group + 1, 0)):
        case = read(given, GROUPS, k, 0)
        if read(state, SUMS, case, OPTION) < 0:
            return case
    return -1


@jit
def _may_open(given: Ints, state: Ints, line: int, case: int, option: int) -> bool:
    route = read(given, OPTIONS, option, ROUTE)
    if not read(given, LINES, line, ROUTES) >> route & 1:
        return False
    if read(given, OPTIONS, option, ABOVE) >= read(given, CASES, case, TARE):
        return False
    full = state[state[TOTALS] + CABIN_PIECES] >= read(given, SCALARS, CABIN_MOST, 0)
    return not (route == CABIN and full)


@jit
def _sooner(given: Ints, price: Ints, of: Ints, one: int, other: int) -> bool:
    if price[one] != price[other]:
        return bool(price[one] < price[other])
    return read(given, CASES, of[one], VOLUME) > read(given, CASES, of[other], VOLUME)


@jit
def _next_fee(given: Ints, state: Ints) -> int:
    """What one hold piece more would cost."""
    pieces = 0
    for case in range(rows(state, SUMS)):
        if read(state, SUMS, case, UNITS):
            option = read(state, SUMS, case, OPTION)
            if read(given, OPTIONS, option, ROUTE) == HOLD:
                pieces += 1
    last = rows(given, PIECES) - 1
    return read(given, PIECES, min(pieces + 1, last), 0) - read(given, PIECES, min(pieces, last), 0)


@jit
def _price(given: Ints, case: int, option: int, fee: int) -> int:
    """Rough cost of each gram of room: the next piece's fee, the option, its tare."""
    upto = read(given, OPTIONS, option, UPTO)
    room = max(1, upto - read(given, CASES, case, TARE))
    route = read(given, OPTIONS, option, ROUTE)
    if route == CABIN:
        return 0
    if route == FREIGHT:
        return int(read(given, FREIGHT_ROW, 0, RATE) * upto // room)
    fee += read(given, OPTIONS, option, COST)
    for b in range(rows(given, BILLS)):
        fee += read(given, BILLS, b, 1) * upto // 1_000
    return int(max(0, (fee + 1) * PRICE_UNITS // room))


@jit
def _add(given: Ints, state: Ints, case: int, units: Ints, room: int, ask: Ask) -> bool:
    """Adds units to a case in use if everything still holds; else changes nothing."""
    if units.shape[0] == 1:
        line = units[0]
        if not takes_one(given, state, case, line, room):
            return False
        if not places_hold(given, state, case, line, ask):
            return False
        touch(state, case)
        put(given, state, case, line)
        book(given, state, line, 1)
        return True
    touch(state, case)
    done = 0
    for line in units:
        if not takes_one(given, state, case, line, room):
            break
        put(given, state, case, line)
        book(given, state, line, 1)
        done += 1
    if done < units.shape[0] or not places_hold(given, state, case, -1, ask):
        for _ in range(done):
            last = take(given, state, case, read(state, SUMS, case, UNITS) - 1)
            book(given, state, last, -1)
        return False
    return True
