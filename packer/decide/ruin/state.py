"""The packing that a walk changes, and how a step is taken back. Compiled.

All tables stand in one array of 64-bit integers, which compiles in seconds where a tuple of
arrays takes a minute: `data[table]` is where a table begins and `data[table + 1]` how wide its
rows are. Units are named by their line: row c of INSIDE holds the lines of the units in case c,
in no order; sums by case and counts by role are kept beside it. A case is saved the first time
that a step touches it, so that undoing costs what changing did.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from packer.decide.ruin.tables import (
    CABIN,
    CAP_OF,
    CAP_OF_FROM,
    CODES,
    ITEM,
    LINES,
    OPTIONS,
    ROUTE,
    read,
    rows,
    tables_of,
    write,
)
from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints

# Tables of a state; those that begin with SAVED have a row for each touched case.
INSIDE, SUMS, ROLES, FLOWN, HIRE, KITS, TOTALS, TOUCHED, MARK = range(0, 18, 2)
SAVED_INSIDE, SAVED_SUMS, SAVED_ROLES, SAVED_FLOWN, SAVED_HIRE, SAVED_KITS = range(18, 30, 2)
SAVED_TOTALS, BEST_INSIDE, BEST_SUMS, POOL, KEYS, FAILED, BUNDLE_UNITS, LUCK = range(30, 46, 2)
MEMO = 46
"""POOL holds parcels as (line, -1) or (-1, bundle); LUCK how often the geometry was asked, and
said yes, by how full the case would be; MEMO what it has answered."""

# Columns of SUMS; HASH adds up codes of rigid items, OPTION is -1 for a case that is not used.
UNITS, CONTENT_G, SUM_GROWN, SUM_OWN, SUM_SOFT, SUM_HALVES, HASH, OPTION = range(8)
SUM_COLUMNS = 8

# Rows of TOTALS; EFFORT is how many looks at empty spaces the geometry takes for one question.
SHORT, GIVEN_UP, CABIN_PIECES, COUNT_TOUCHED, CURRENT, BEST, STEPS, RANDOM, EFFORT = range(9)
TOTAL_ROWS = 9
LASTING = BEST  # this and all after it stay as they are when a step is taken back

MOST_UNITS = 1_000  # in one case
MEMO_SIZE = 1 << 20
FILLS = 32  # rows of LUCK: from empty to full


def new_state(sizes: Mapping[str, int]) -> Ints:
    """A state with nothing packed. `sizes`: lines, cases, roles, choices, kits, units (all)."""
    lines, cases, roles = sizes["lines"], sizes["cases"], sizes["roles"]
    wide = max(1, min(sizes["units"], MOST_UNITS))
    pool = 2 * sizes["units"] + lines + 1
    by_case = [(cases, wide), (cases, SUM_COLUMNS), (cases, roles)]
    by_unit = [(lines, 1), (sizes["choices"], 1), (sizes["kits"], 1), (TOTAL_ROWS, 1)]
    shapes = [*by_case, *by_unit, (cases, 1), (cases, 1), *by_case, *by_unit, *by_case[:2]]
    shapes += [(pool, 2), (pool, 1), (lines, 1), (lines, 1), (FILLS + 1, 2), (MEMO_SIZE, 1)]
    state = tables_of([np.zeros(shape, dtype=np.int64) for shape in shapes])
    for case in range(cases):
        state[state[SUMS] + case * SUM_COLUMNS + OPTION] = -1
    return state


@jit
def dice(state: Ints, below: int) -> int:
    """A random integer in [0, below)."""
    at = state[TOTALS] + RANDOM
    state[at] = state[at] * 6364136223846793005 + 1442695040888963407
    return int(((state[at] >> 33) & 0x7FFFFFFF) % below)


@jit
def copy_row(state: Ints, source: int, row: int, target: int, to: int, count: int) -> None:
    """Copies the first `count` columns of a row of one table to a row of another."""
    start = state[source] + row * state[source + 1]
    end = state[target] + to * state[target + 1]
    for k in range(count):
        state[end + k] = state[start + k]


@jit
def copy_table(state: Ints, source: int, target: int) -> None:
    """Copies a whole table to one of the same shape."""
    start, end = state[source], state[target]
    for k in range(state[source + 2] - start):
        state[end + k] = state[start + k]


@jit
def begin(state: Ints) -> None:
    """Starts a step: whatever is touched from here on can be taken back."""
    state[state[TOTALS] + STEPS] += 1
    state[state[TOTALS] + COUNT_TOUCHED] = 0
    for table in range(FLOWN, TOUCHED, 2):
        copy_table(state, table, table + SAVED_FLOWN - FLOWN)


@jit
def touch(state: Ints, case: int) -> None:
    """Saves a case before its first change in this step."""
    totals = state[TOTALS]
    if read(state, MARK, case, 0) == state[totals + STEPS]:
        return
    write(state, MARK, case, 0, state[totals + STEPS])
    k = state[totals + COUNT_TOUCHED]
    write(state, TOUCHED, k, 0, case)
    state[totals + COUNT_TOUCHED] = k + 1
    copy_row(state, INSIDE, case, SAVED_INSIDE, k, read(state, SUMS, case, UNITS))
    copy_row(state, SUMS, case, SAVED_SUMS, k, SUM_COLUMNS)
    copy_row(state, ROLES, case, SAVED_ROLES, k, state[ROLES + 1])


@jit
def take_back(state: Ints) -> None:
    """Undoes the step; the best, the count of steps and the dice go on."""
    totals = state[TOTALS]
    for k in range(state[totals + COUNT_TOUCHED]):
        case = read(state, TOUCHED, k, 0)
        copy_row(state, SAVED_INSIDE, k, INSIDE, case, read(state, SAVED_SUMS, k, UNITS))
        copy_row(state, SAVED_SUMS, k, SUMS, case, SUM_COLUMNS)
        copy_row(state, SAVED_ROLES, k, ROLES, case, state[ROLES + 1])
    for table in range(FLOWN, TOTALS, 2):
        copy_table(state, table + SAVED_FLOWN - FLOWN, table)
    for k in range(LASTING):
        state[totals + k] = state[state[SAVED_TOTALS] + k]


@jit
def put(given: Ints, state: Ints, case: int, line: int) -> None:
    """Adds a unit to a case that has been touched; flown counts are booked elsewhere."""
    write(state, INSIDE, case, read(state, SUMS, case, UNITS), line)
    _add(given, state, case, line, 1)


@jit
def take(given: Ints, state: Ints, case: int, at: int) -> int:
    """Takes the unit at a position out of a touched case; returns its line."""
    line = read(state, INSIDE, case, at)
    last = read(state, SUMS, case, UNITS) - 1
    write(state, INSIDE, case, at, read(state, INSIDE, case, last))
    _add(given, state, case, line, -1)
    return line


@jit
def _add(given: Ints, state: Ints, case: int, line: int, sign: int) -> None:
    """WEIGHT to HALVES of a line are in the order of CONTENT_G to SUM_HALVES."""
    row = given[LINES] + line * given[LINES + 1]
    sums = state[SUMS] + case * SUM_COLUMNS
    state[sums] += sign
    for k in range(5):
        state[sums + 1 + k] += sign * given[row + k]
    item = given[row + ITEM]
    if item >= 0:
        state[sums + HASH] += sign * given[given[CODES] + item]
    for k in range(read(given, CAP_OF_FROM, line, 0), read(given, CAP_OF_FROM, line + 1, 0)):
        state[state[ROLES] + case * state[ROLES + 1] + read(given, CAP_OF, k, 0)] += sign


@jit
def open_by(given: Ints, state: Ints, case: int, option: int) -> None:
    """Takes an unused, touched case into use by an option (row of OPTIONS)."""
    write(state, SUMS, case, OPTION, option)
    if read(given, OPTIONS, option, ROUTE) == CABIN:
        state[state[TOTALS] + CABIN_PIECES] += 1


@jit
def close(given: Ints, state: Ints, case: int) -> None:
    """Puts an empty, touched case back."""
    if read(given, OPTIONS, read(state, SUMS, case, OPTION), ROUTE) == CABIN:
        state[state[TOTALS] + CABIN_PIECES] -= 1
    write(state, SUMS, case, OPTION, -1)


@jit
def keep_best(state: Ints) -> None:
    """Remembers the packing as the best."""
    totals = state[TOTALS]
    state[totals + BEST] = state[totals + CURRENT]
    copy_table(state, SUMS, BEST_SUMS)
    for case in range(rows(state, SUMS)):
        copy_row(state, INSIDE, case, BEST_INSIDE, case, read(state, SUMS, case, UNITS))
