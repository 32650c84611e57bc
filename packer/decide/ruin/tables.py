"""Tables in one array: how they are laid out, read and written; and the names of the fixed ones.

`data[table]` is where a table begins, `data[table + 1]` how wide its rows are; the next table's
beginning is where it ends. So a compiled function takes one argument instead of thirty.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints, as_ints

# Tables of what is given; lists of lists are cut from one table by the next, `..._FROM`.
LINES, RANKS, HOMES, ITEMS, CODES, CASES, OPTIONS, OPTION_FROM, GROUPS, GROUP_FROM = range(0, 20, 2)
CAPS, CAP_OF, CAP_OF_FROM, SWING, SWING_FROM, BUNDLES, BUNDLE_FROM = range(20, 34, 2)
PIECES, BILLS, FREIGHT_ROW, CHOICE_FROM, FIXED, PRICE_AT, PRICES = range(34, 48, 2)
KIT_AT, KIT_LINES, KIT_LINES_FROM, KIT_PRICE_AT, KIT_PRICES, OPTIONAL, SCALARS = range(48, 62, 2)

# Columns of LINES.
WEIGHT, GROWN, OWN, SOFT, HALVES, ITEM, LEAST, MOST, QUANTITY, ROUTES, BUNDLE, WORTH = range(12)

# Columns of RANKS, scaled to integers: how large; what is saved by the room taken; how hard to
# place (few cases and a large share of the roomiest).
LARGE, SAVING, HARD = range(3)

# Columns of ITEMS, after the three sides.
FREEDOM, FRAGILE = 3, 4

# Columns of CASES.
KIND, LONG, WIDE, HIGH, VOLUME, TARE, RACK_HALVES, SLOTS, CM3, SHAPE = range(10)
BOX_KIND, RACK_KIND, SLOTS_KIND = 0, 1, 2

# Columns of OPTIONS.
ROUTE, ABOVE, UPTO, COST = range(4)
HOLD, CABIN, FREIGHT = 0, 1, 2

# Columns of FREIGHT_ROW.
DIVISOR, RATE, HANDLING, MINIMUM = range(4)

# Rows of SCALARS.
CABIN_MOST, SEED = range(2)


def tables_of(parts: Sequence[Ints]) -> Ints:
    """One array from tables (2-D, or 1-D for a single column), in order."""
    header: list[int] = []
    at = 2 * len(parts) + 2
    for part in parts:
        header += [at, part.shape[1] if part.ndim == 2 else 1]
        at += part.size
    return as_ints(np.concatenate([[*header, at, 0], *(part.ravel() for part in parts)]))


def table(data: Ints, which: int) -> Ints:
    """A table as a 2-D view."""
    wide = max(1, int(data[which + 1]))
    found: Ints = data[data[which] : data[which + 2]].reshape(-1, wide)
    return found


@jit
def read(data: Ints, which: int, row: int, column: int) -> int:
    """One figure of a table."""
    return int(data[data[which] + row * data[which + 1] + column])


@jit
def write(data: Ints, which: int, row: int, column: int, value: int) -> None:
    """Sets one figure of a table."""
    data[data[which] + row * data[which + 1] + column] = value


@jit
def rows(data: Ints, which: int) -> int:
    """How many rows a table has."""
    wide = data[which + 1]
    return int((data[which + 2] - data[which]) // wide) if wide else 0
