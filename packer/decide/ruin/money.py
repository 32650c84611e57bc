"""What a packing costs, compiled: kept up to date by unit, summed at the end of a step.

The charges are those of `packer.decide.sketch` and of the contract, section 5.
"""

from __future__ import annotations

from packer.decide.ruin.state import (
    CONTENT_G,
    FLOWN,
    GIVEN_UP,
    HIRE,
    KITS,
    OPTION,
    SHORT,
    SUMS,
    TOTALS,
    UNITS,
)
from packer.decide.ruin.tables import (
    ABOVE,
    BILLS,
    CASES,
    CHOICE_FROM,
    CM3,
    COST,
    DIVISOR,
    FIXED,
    FREIGHT,
    FREIGHT_ROW,
    HANDLING,
    HOLD,
    KIT_AT,
    KIT_PRICE_AT,
    KIT_PRICES,
    LEAST,
    LINES,
    MINIMUM,
    OPTION_FROM,
    OPTIONS,
    PIECES,
    PRICE_AT,
    PRICES,
    QUANTITY,
    RATE,
    ROUTE,
    TARE,
    UPTO,
    WORTH,
    read,
    rows,
)
from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints

IMPOSSIBLE = 10**12
MISSING_MINOR = 10**9
"""For each unit that must fly and has no case yet."""


@jit
def price_empty(given: Ints, state: Ints) -> None:
    """Prices a new state: all that may be hired is hired, what must fly is short."""
    for d in range(rows(given, FIXED)):
        state[state[HIRE] + d] = read(given, FIXED, d, 0)
    for line in range(rows(given, LINES)):
        least = read(given, LINES, line, LEAST)
        missing = read(given, LINES, line, QUANTITY) - least
        state[state[TOTALS] + SHORT] += least
        state[state[TOTALS] + GIVEN_UP] += read(given, LINES, line, WORTH) * missing
        _reprice(given, state, line, 0, missing)


@jit
def book(given: Ints, state: Ints, line: int, more: int) -> None:
    """Counts `more` flown units of a line (less than 0: fewer) in hire, worth and what is short.

    What must fly and has no case is short; it is priced as if it flew.
    """
    least = read(given, LINES, line, LEAST)
    before = state[state[FLOWN] + line]
    after = before + more
    state[state[FLOWN] + line] = after
    state[state[TOTALS] + SHORT] += max(0, least - after) - max(0, least - before)
    was = read(given, LINES, line, QUANTITY) - max(before, least)
    now = read(given, LINES, line, QUANTITY) - max(after, least)
    if was != now:
        state[state[TOTALS] + GIVEN_UP] += read(given, LINES, line, WORTH) * (now - was)
        _reprice(given, state, line, was, now)


@jit
def _reprice(given: Ints, state: Ints, line: int, was: int, now: int) -> None:
    """Moves a line's missing units from `was` to `now`, at every stop and under every choice."""
    wide = read(given, LINES, line, QUANTITY) + 1
    for s in range(rows(given, PRICE_AT)):
        at = read(given, PRICE_AT, s, line)
        if at < 0:
            continue
        first = read(given, CHOICE_FROM, s, 0)
        kit = read(given, KIT_AT, s, line)
        prices = given[PRICES] + at
        for d in range(read(given, CHOICE_FROM, s + 1, 0) - first):
            change = given[prices + d * wide + now] - given[prices + d * wide + was]
            if kit >= 0:
                k = read(given, KIT_PRICE_AT, kit, 0) + d
                price = read(given, KIT_PRICES, k, 0)
                singly = state[state[KITS] + k]
                state[state[KITS] + k] = singly + change
                change = min(price, singly + change) - min(price, singly)
            state[state[HIRE] + first + d] += change


@jit
def _hire_minor(given: Ints, state: Ints) -> int:
    """The cheapest choice at every stop, summed."""
    total = 0
    for s in range(rows(given, CHOICE_FROM) - 1):
        first = read(given, CHOICE_FROM, s, 0)
        best = state[state[HIRE] + first]
        for d in range(first + 1, read(given, CHOICE_FROM, s + 1, 0)):
            best = min(best, state[state[HIRE] + d])
        total += best
    return int(total)


@jit
def saved_minor(given: Ints, state: Ints, line: int, more: int) -> int:
    """What hire and worth cost less with `more` flown units of a line (less than 0: fewer)."""
    before = _hire_minor(given, state) + state[state[TOTALS] + GIVEN_UP]
    book(given, state, line, more)
    after = _hire_minor(given, state) + state[state[TOTALS] + GIVEN_UP]
    book(given, state, line, -more)
    return int(before - after)


@jit
def tighten(given: Ints, state: Ints, case: int) -> bool:
    """Lets a case travel by the cheapest option of its route that takes its weight, if any."""
    route = read(given, OPTIONS, read(state, SUMS, case, OPTION), ROUTE)
    weight = read(given, CASES, case, TARE) + read(state, SUMS, case, CONTENT_G)
    best = -1
    for o in range(read(given, OPTION_FROM, case, 0), read(given, OPTION_FROM, case + 1, 0)):
        row = given[OPTIONS] + 4 * o
        takes = given[row + ROUTE] == route and given[row + ABOVE] < weight <= given[row + UPTO]
        if takes and (best < 0 or given[row + COST] < read(given, OPTIONS, best, COST)):
            best = o
    if best >= 0:
        state[state[SUMS] + case * state[SUMS + 1] + OPTION] = best
    return best >= 0


@jit
def total_minor(given: Ints, state: Ints) -> int:
    """The objective, with a penalty for what must fly and has no case; every case tightened."""
    pieces = hold_g = sent = sent_g = sent_cm3 = fees = 0
    for case in range(rows(state, SUMS)):
        if read(state, SUMS, case, UNITS) == 0:
            continue
        option = read(state, SUMS, case, OPTION)
        fees += read(given, OPTIONS, option, COST)
        weight = read(given, CASES, case, TARE) + read(state, SUMS, case, CONTENT_G)
        route = read(given, OPTIONS, option, ROUTE)
        if route == HOLD:
            pieces += 1
            hold_g += weight
        elif route == FREIGHT:
            sent += 1
            sent_g += weight
            sent_cm3 += read(given, CASES, case, CM3)
    fees += read(given, PIECES, pieces, 0)
    if sent:
        fees += _freight_minor(given, sent_g, sent_cm3)
    for b in range(rows(given, BILLS)):
        excess_g = max(0, hold_g - read(given, BILLS, b, 0))
        fees += -(-excess_g // 1000) * read(given, BILLS, b, 1)
    fees += state[state[TOTALS] + GIVEN_UP] + MISSING_MINOR * state[state[TOTALS] + SHORT]
    return int(fees + min(IMPOSSIBLE, _hire_minor(given, state)))


@jit
def _freight_minor(given: Ints, total_g: int, total_cm3: int) -> int:
    """The freight charge by contract 5.11."""
    by_volume = -(-2 * total_cm3 // read(given, FREIGHT_ROW, 0, DIVISOR))
    half_kg = max(-(-total_g // 500), by_volume)
    least = 2 * read(given, FREIGHT_ROW, 0, MINIMUM)
    twice = max(least, read(given, FREIGHT_ROW, 0, RATE) * half_kg)
    return int((2 * read(given, FREIGHT_ROW, 0, HANDLING) + twice + 1) // 2)
