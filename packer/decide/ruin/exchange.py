"""Exchange: units change places one for one, and cases may be too full for a while. Compiled.

Ruin and recreate leaves a little room in every case that no single unit fills. Here two units
swap, a unit moves, comes along or stays at home, a case changes its option; what is above a
case's weight, its volume of soft goods, its units or slots is paid for at a price that rises, so
that the way to a packing without waste may lead through one that does not hold. Places are
never overfilled: the geometry has found one for each rigid object at every step.

Sources: simulated annealing (Kirkpatrick, Gelatt & Vecchi 1983, "Optimization by simulated
annealing"); a price for broken capacities that changes on the way, as in strategic oscillation
(Glover & Laguna 1997, "Tabu Search", ch. 4).
"""

from __future__ import annotations

from typing import Any

import numpy as np

from packer.decide.ruin.money import book, tighten, total_minor
from packer.decide.ruin.places import (
    SOFT_SHARE,
    Ask,
    places_hold,
    roles_hold,
    roles_take_one,
)
from packer.decide.ruin.state import (
    BEST,
    CABIN_PIECES,
    CONTENT_G,
    COUNT_TOUCHED,
    CURRENT,
    FLOWN,
    INSIDE,
    OPTION,
    SUM_COLUMNS,
    SUM_HALVES,
    SUM_OWN,
    SUM_SOFT,
    SUMS,
    TOTALS,
    TOUCHED,
    UNITS,
    begin,
    close,
    dice,
    keep_best,
    open_by,
    put,
    take,
    take_back,
    touch,
)
from packer.decide.ruin.tables import (
    BOX_KIND,
    BUNDLE,
    CABIN,
    CABIN_MOST,
    CASES,
    HOMES,
    KIND,
    LEAST,
    LINES,
    MOST,
    OPTION_FROM,
    OPTIONS,
    RACK_HALVES,
    RACK_KIND,
    ROUTE,
    ROUTES,
    SCALARS,
    SLOTS,
    TARE,
    UPTO,
    VOLUME,
    read,
    rows,
)
from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints

# How units are exchanged: the first step and the one after the last, of how many in all; from
# which heat to which (minor units); what overfills a case by all its room costs at first.
FIRST, LAST, ALL, HOT, COLD, WORTH = range(6)
MILLION = 1_000_000
DEARER = 10.0  # times, from the first step to the last
PICKS = 6  # random picks for a line that may come along
RANDOM_BITS = 31


def trade_steps(given: Ints, state: Ints, mood: Ints, ask: Ask) -> None:
    """Takes the steps that `mood` says: columns FIRST to WORTH."""
    hot, cold = mood[HOT], mood[COLD]
    over = np.zeros(rows(state, SUMS), dtype=np.int64)
    too_full: Any = np.int64(0)
    for case in range(rows(state, SUMS)):
        over[case] = _over(given, state, case)
        too_full += over[case]
    cost = total_minor(given, state)
    for step in range(mood[FIRST], mood[LAST]):
        done = step / mood[ALL]
        begin(state)
        if not _change(given, state):
            take_back(state)
            continue
        change = _touched_over(given, state, over)
        after = total_minor(given, state)
        worse = after - cost + mood[WORTH] * DEARER**done / MILLION * change
        heat = hot * (cold / hot) ** done
        lucky = worse <= 0 or _lucky(state, worse / heat)
        if not lucky or not _places_hold(given, state, ask):
            take_back(state)
            continue
        cost = after
        too_full += change
        for k in range(state[state[TOTALS] + COUNT_TOUCHED]):
            case = read(state, TOUCHED, k, 0)
            over[case] = _over(given, state, case)
        if too_full == 0:
            _keep(given, state)


@jit
def _touched_over(given: Ints, state: Ints, over: Ints) -> int:
    """How much fuller beyond their limits the cases of this step are than `over` says."""
    change = 0
    for k in range(state[state[TOTALS] + COUNT_TOUCHED]):
        case = read(state, TOUCHED, k, 0)
        change += _over(given, state, case) - over[case]
    return change


@jit
def _lucky(state: Ints, exponent: float) -> bool:
    """True with probability e^-exponent."""
    return bool(exponent < 20 and dice(state, 1 << RANDOM_BITS) < np.exp(-exponent) * 2.0**31)


@jit
def _over(given: Ints, state: Ints, case: int) -> int:
    """By how much a case is too full, in millionths of what it takes; places aside."""
    sums = state[SUMS] + case * SUM_COLUMNS
    if state[sums + OPTION] < 0:
        return 0
    spec = given[CASES] + case * given[CASES + 1]
    room = read(given, OPTIONS, state[sums + OPTION], UPTO) - given[spec + TARE]
    over = max(0, state[sums + CONTENT_G] - room) * MILLION // max(1, room)
    kind = given[spec + KIND]
    if kind == RACK_KIND:
        most = given[spec + RACK_HALVES]
        over += max(0, state[sums + SUM_HALVES] - most) * MILLION // max(1, most)
    elif kind != BOX_KIND:
        most = given[spec + SLOTS]
        over += max(0, state[sums + UNITS] - most) * MILLION // max(1, most)
    elif state[sums + SUM_SOFT]:
        most = SOFT_SHARE * given[spec + VOLUME]
        filled = 100 * state[sums + SUM_SOFT] + SOFT_SHARE * state[sums + SUM_OWN]
        over += max(0, filled - most) // max(1, most // MILLION)
    return int(over)


@jit
def _places_hold(given: Ints, state: Ints, ask: Ask) -> bool:
    """True if the geometry finds a place for everything in the cases of this step."""
    for k in range(state[state[TOTALS] + COUNT_TOUCHED]):
        case = read(state, TOUCHED, k, 0)
        if read(state, SUMS, case, UNITS) and not places_hold(given, state, case, -1, ask):
            return False
    return True


@jit
def _change(given: Ints, state: Ints) -> bool:
    """One random change; False if it breaks a rule that is never broken."""
    kind = dice(state, 100)
    if kind < 3:
        return _other_option(given, state)
    if kind < 12:
        return _bring(given, state)
    first = _any_used(state)
    if first < 0:
        return False
    at = dice(state, read(state, SUMS, first, UNITS))
    bundle = read(given, LINES, read(state, INSIDE, first, at), BUNDLE)
    if bundle >= 0:
        return _move_bundle(given, state, first, bundle)
    if kind < 20:
        return _leave(given, state, first, at)
    if kind < 40:
        return _leave(given, state, first, at) and _bring_to(given, state, first)
    if kind < 60:
        return _move(given, state, first, at)
    return _swap(given, state, first, at)


@jit
def _any_used(state: Ints) -> int:
    """A random case with contents; -1 if there is none after some picks."""
    cases = rows(state, SUMS)
    for _ in range(20):
        case = dice(state, cases)
        if read(state, SUMS, case, UNITS):
            return case
    return -1


@jit
def _out(given: Ints, state: Ints, case: int, at: int) -> int:
    """Takes a unit out of a touched case, which is put back when it is empty."""
    line = take(given, state, case, at)
    if read(state, SUMS, case, UNITS) == 0:
        close(given, state, case)
    return line


@jit
def come_in(given: Ints, state: Ints, case: int, line: int) -> bool:
    """Puts a unit in a touched case, which is opened if it is not used; False if it may not."""
    if not read(given, HOMES, line, case) or read(state, SUMS, case, UNITS) >= state[INSIDE + 1]:
        return False
    if read(state, SUMS, case, OPTION) < 0 and not _open(given, state, case):
        return False
    route = read(given, OPTIONS, read(state, SUMS, case, OPTION), ROUTE)
    if not read(given, LINES, line, ROUTES) >> route & 1:
        return False
    if not roles_take_one(given, state, case, line, -1):
        return False
    put(given, state, case, line)
    return True


@jit
def _open(given: Ints, state: Ints, case: int) -> bool:
    """Takes a case into use by one of its options; False if it has none or the cabin is full."""
    first, last = read(given, OPTION_FROM, case, 0), read(given, OPTION_FROM, case + 1, 0)
    if first == last:
        return False
    option = first + dice(state, last - first)
    full = state[state[TOTALS] + CABIN_PIECES] >= read(given, SCALARS, CABIN_MOST, 0)
    if full and read(given, OPTIONS, option, ROUTE) == CABIN:
        return False
    open_by(given, state, case, option)
    return True


@jit
def _other_option(given: Ints, state: Ints) -> bool:
    """Lets a case travel by another option, of whatever route its contents allow."""
    case = _any_used(state)
    if case < 0:
        return False
    touch(state, case)
    close(given, state, case)
    if not _open(given, state, case):
        return False
    route = read(given, OPTIONS, read(state, SUMS, case, OPTION), ROUTE)
    for at in range(read(state, SUMS, case, UNITS)):
        if not read(given, LINES, read(state, INSIDE, case, at), ROUTES) >> route & 1:
            return False
    return True


@jit
def _leave(given: Ints, state: Ints, case: int, at: int) -> bool:
    """A unit stays at home; False if it must fly."""
    line = read(state, INSIDE, case, at)
    if state[state[FLOWN] + line] <= read(given, LINES, line, LEAST):
        return False
    touch(state, case)
    _out(given, state, case, at)
    book(given, state, line, -1)
    return roles_hold(given, state)


@jit
def _bring(given: Ints, state: Ints) -> bool:
    """A unit that is at home comes along in some case."""
    return _bring_to(given, state, dice(state, rows(state, SUMS)))


@jit
def _bring_to(given: Ints, state: Ints, case: int) -> bool:
    for _ in range(PICKS):
        line = dice(state, rows(given, LINES))
        free = state[state[FLOWN] + line] < read(given, LINES, line, MOST)
        if free and read(given, HOMES, line, case) and read(given, LINES, line, BUNDLE) < 0:
            touch(state, case)
            book(given, state, line, 1)
            return come_in(given, state, case, line)
    return False


@jit
def _move(given: Ints, state: Ints, case: int, at: int) -> bool:
    """A unit goes to another case."""
    to = dice(state, rows(state, SUMS))
    line = read(state, INSIDE, case, at)
    if to == case or not read(given, HOMES, line, to):
        return False
    touch(state, case)
    touch(state, to)
    _out(given, state, case, at)
    return come_in(given, state, to, line)


@jit
def _move_bundle(given: Ints, state: Ints, case: int, bundle: int) -> bool:
    """All units of a bundle go to another case."""
    to = dice(state, rows(state, SUMS))
    if to == case:
        return False
    touch(state, case)
    touch(state, to)
    for at in range(read(state, SUMS, case, UNITS) - 1, -1, -1):
        line = read(state, INSIDE, case, at)
        if read(given, LINES, line, BUNDLE) == bundle:
            _out(given, state, case, at)
            if not come_in(given, state, to, line):
                return False
    return True


@jit
def _swap(given: Ints, state: Ints, case: int, at: int) -> bool:
    """Two units of two cases change places."""
    to = _any_used(state)
    if to < 0 or to == case:
        return False
    other_at = dice(state, read(state, SUMS, to, UNITS))
    line, other = read(state, INSIDE, case, at), read(state, INSIDE, to, other_at)
    if other == line or read(given, LINES, other, BUNDLE) >= 0:
        return False
    if not read(given, HOMES, line, to) or not read(given, HOMES, other, case):
        return False
    touch(state, case)
    touch(state, to)
    take(given, state, case, at)
    take(given, state, to, other_at)
    return come_in(given, state, to, line) and come_in(given, state, case, other)


@jit
def _keep(given: Ints, state: Ints) -> None:
    """Remembers the packing if it is the best so far, each case by its cheapest option."""
    cases = rows(state, SUMS)
    aims = np.empty(cases, dtype=np.int64)
    holds = True
    for case in range(cases):
        aims[case] = read(state, SUMS, case, OPTION)
        if aims[case] >= 0 and holds:
            holds = tighten(given, state, case)
    if holds:
        cost = total_minor(given, state)
        if cost < state[state[TOTALS] + BEST]:
            state[state[TOTALS] + CURRENT] = cost
            keep_best(state)
    for case in range(cases):
        state[state[SUMS] + case * SUM_COLUMNS + OPTION] = aims[case]
