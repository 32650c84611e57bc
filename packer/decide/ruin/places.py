"""Does a unit still fit a case: sums, roles, then places, asked of the geometry and remembered.

Compiled. Answers about places are remembered by a hash of the multiset of items and the shape of
the case. A case so full that the geometry has hardly ever said yes is asked about now and then.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from packer.decide.ruin.state import (
    CONTENT_G,
    COUNT_TOUCHED,
    EFFORT,
    FILLS,
    FLOWN,
    HASH,
    INSIDE,
    LUCK,
    MEMO,
    MEMO_SIZE,
    OPTION,
    ROLES,
    SAVED_FLOWN,
    SUM_COLUMNS,
    SUM_GROWN,
    SUM_HALVES,
    SUM_OWN,
    SUM_SOFT,
    SUMS,
    TOTALS,
    TOUCHED,
    UNITS,
    dice,
)
from packer.decide.ruin.tables import (
    BOX_KIND,
    CAP_OF,
    CAP_OF_FROM,
    CAPS,
    CASES,
    CODES,
    FRAGILE,
    FREEDOM,
    GROWN,
    HALVES,
    HOMES,
    ITEM,
    ITEMS,
    KIND,
    LINES,
    LONG,
    OPTION_FROM,
    OPTIONS,
    OWN,
    RACK_HALVES,
    RACK_KIND,
    ROUTE,
    ROUTES,
    SCALARS,
    SEED,
    SHAPE,
    SLOTS,
    SOFT,
    SWING,
    SWING_FROM,
    TARE,
    UPTO,
    VOLUME,
    WEIGHT,
    read,
    rows,
)
from packer.geometry.compiling import jit
from packer.geometry.kernel import pack_kernel
from packer.geometry.spaces import Ints

SOFT_SHARE = 85  # percent, contract 2.4; the same as problem.SOFT_SHARE_PERCENT
PROBES = 8
LEAST_ASKED, SELDOM, ASK_ONE_IN = 50, 50, 10  # a yes seldomer than so is asked for seldom

Ask = Callable[[Ints, Ints, int, int], bool]


@jit
def room_g(given: Ints, state: Ints, case: int, wider: bool) -> int:
    """What contents may weigh in all; `wider` up to the roomiest option of the same route."""
    option = read(state, SUMS, case, OPTION)
    upto = read(given, OPTIONS, option, UPTO)
    if wider:
        route = read(given, OPTIONS, option, ROUTE)
        for o in range(read(given, OPTION_FROM, case, 0), read(given, OPTION_FROM, case + 1, 0)):
            if read(given, OPTIONS, o, ROUTE) == route:
                upto = max(upto, read(given, OPTIONS, o, UPTO))
    return int(upto - read(given, CASES, case, TARE))


@jit
def takes_one(given: Ints, state: Ints, case: int, line: int, room: int) -> bool:
    """Route, weight, volume, rack units, slots and roles with one unit more; places aside."""
    row = given[LINES] + line * given[LINES + 1]
    sums = state[SUMS] + case * SUM_COLUMNS
    spec = given[CASES] + case * given[CASES + 1]
    if not read(given, HOMES, line, case) or state[sums + UNITS] >= state[INSIDE + 1]:
        return False
    if not given[row + ROUTES] >> read(given, OPTIONS, state[sums + OPTION], ROUTE) & 1:
        return False
    if state[sums + CONTENT_G] + given[row + WEIGHT] > room:
        return False
    kind = given[spec + KIND]
    if kind == RACK_KIND:
        if state[sums + SUM_HALVES] + given[row + HALVES] > given[spec + RACK_HALVES]:
            return False
    elif kind != BOX_KIND:
        if state[sums + UNITS] + 1 > given[spec + SLOTS]:
            return False
    else:
        soft = state[sums + SUM_SOFT] + given[row + SOFT]
        own = state[sums + SUM_OWN] + given[row + OWN]
        if soft and 100 * soft > SOFT_SHARE * (given[spec + VOLUME] - own):
            return False
        if state[sums + SUM_GROWN] + given[row + GROWN] > given[spec + VOLUME]:
            return False
    return roles_take_one(given, state, case, line, line)


@jit
def roles_take_one(given: Ints, state: Ints, case: int, line: int, extra: int) -> bool:
    """One case lost: room for one unit more of each role of the line.

    `extra` is the line too where that unit is not counted as flown yet, else -1.
    """
    for k in range(read(given, CAP_OF_FROM, line, 0), read(given, CAP_OF_FROM, line + 1, 0)):
        cap = read(given, CAP_OF, k, 0)
        if read(state, ROLES, case, cap) + 1 > most_of(given, state, cap, extra):
            return False
    return True


@jit
def roles_hold(given: Ints, state: Ints) -> bool:
    """One case lost: True if every case still holds no more of a role than the step leaves it.

    Where units flown elsewhere count, a cap may be tighter than before: then all cases are asked.
    """
    for cap in range(rows(given, CAPS)):
        if read(given, SWING_FROM, cap, 0) == read(given, SWING_FROM, cap + 1, 0):
            continue
        most = most_of(given, state, cap, -1)
        if not _loosened(given, state, cap):
            for case in range(rows(state, SUMS)):
                if read(state, ROLES, case, cap) > most:
                    return False
            continue
        for k in range(state[state[TOTALS] + COUNT_TOUCHED]):
            if read(state, ROLES, read(state, TOUCHED, k, 0), cap) > most:
                return False
    return True


@jit
def _loosened(given: Ints, state: Ints, cap: int) -> bool:
    """True if a role's cap is no tighter than when the step began: untouched cases still hold."""
    change = 0
    for k in range(read(given, SWING_FROM, cap, 0), read(given, SWING_FROM, cap + 1, 0)):
        line = read(given, SWING, k, 0)
        change += state[state[FLOWN] + line] - state[state[SAVED_FLOWN] + line]
    return bool(change >= 0)


@jit
def most_of(given: Ints, state: Ints, cap: int, extra: int) -> int:
    """How many units of a cap's lines one case may hold, once a unit of `extra` flies too."""
    most = read(given, CAPS, cap, 0)
    for k in range(read(given, SWING_FROM, cap, 0), read(given, SWING_FROM, cap + 1, 0)):
        line = read(given, SWING, k, 0)
        most += state[state[FLOWN] + line] + (1 if line == extra else 0)
    return int(most)


@jit
def places_hold(given: Ints, state: Ints, case: int, extra: int, ask: Ask) -> bool:
    """Whether the geometry finds places for all in the case and one unit of line `extra`.

    With `extra` below 0: for what is in the case. `ask`: what `ask_geometry` gives, compiled.
    """
    item = read(given, LINES, extra, ITEM) if extra >= 0 else 0
    if item < 0 or read(given, CASES, case, KIND) != BOX_KIND:
        return True
    code = read(state, SUMS, case, HASH)
    if extra >= 0:
        code += read(given, CODES, item, 0)
    key = (code ^ (read(given, CASES, case, SHAPE) + 1) * 0x2545F4914F6CDD1D) | 3
    memo = state[MEMO]
    slot = (key >> 4) & (MEMO_SIZE - 1)
    for _ in range(PROBES):
        known = state[memo + slot]
        if known | 1 == key:
            return bool(known & 1)
        if known == 0:
            break
        slot = (slot + 1) & (MEMO_SIZE - 1)
    luck = _luck(given, state, case, extra)
    if _hopeless(state, luck):
        return False
    found = ask(given, state, case, extra)
    state[memo + slot] = key if found else key - 1
    state[luck] += 1
    state[luck + 1] += found
    return found


@jit
def _luck(given: Ints, state: Ints, case: int, extra: int) -> int:
    """Where in the state it stands how often a case so full was asked about and had places."""
    grown = read(state, SUMS, case, SUM_GROWN)
    if extra >= 0:
        grown += read(given, LINES, extra, GROWN)
    fill = min(FILLS, grown * FILLS // max(1, read(given, CASES, case, VOLUME)))
    return int(state[LUCK] + 2 * fill)


@jit
def _hopeless(state: Ints, luck: int) -> bool:
    """True, most times, where the answer has nearly always been no: asking is what costs."""
    asked, had = state[luck], state[luck + 1]
    return bool(asked >= LEAST_ASKED and had * SELDOM < asked and dice(state, ASK_ONE_IN) > 0)


def ask_geometry(given: Ints, state: Ints, case: int, extra: int) -> bool:
    """The same, asked of the geometry itself."""
    units = read(state, SUMS, case, UNITS)
    found = np.empty(units + 1, dtype=np.int64)
    n = 0
    for k in range(units + 1 if extra >= 0 else units):
        item = read(given, LINES, extra if k == units else read(state, INSIDE, case, k), ITEM)
        if item >= 0:
            at = n
            while at > 0 and found[at - 1] > item:  # sorted, as the Fitter asks
                found[at] = found[at - 1]
                at -= 1
            found[at] = item
            n += 1
    sizes = np.empty((n, 3), dtype=np.int64)
    freedom = np.empty(n, dtype=np.int64)
    fragile = np.empty(n, dtype=np.int64)
    inside = np.empty(3, dtype=np.int64)
    for axis in range(3):
        inside[axis] = read(given, CASES, case, LONG + axis)
        for k in range(n):
            sizes[k, axis] = read(given, ITEMS, found[k], axis)
    for k in range(n):
        freedom[k] = read(given, ITEMS, found[k], FREEDOM)
        fragile[k] = read(given, ITEMS, found[k], FRAGILE)
    places = np.empty((n, 6), dtype=np.int64)
    seed = read(given, SCALARS, SEED, 0)
    effort = state[state[TOTALS] + EFFORT]
    return pack_kernel(inside, sizes, freedom, fragile, seed, effort, places)
