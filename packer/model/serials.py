"""Which goods customs tell apart by a serial number, and how a row says that there is none.

What comes in: a gear line, or the text of one serial. What goes out: whether a serial or `NSN` is
expected, and whether the text says `NSN`. One reading, for the checks and for the customs list.
The headings stand in `shared` (carnet).
"""

from __future__ import annotations

import re

import shared
from packer.model.trip import Gear

_NO_SERIAL = re.compile(r"\s*(nsn|none|no serial( number)?|n/?a|-)\s*", re.IGNORECASE)


def is_electrical(line: Gear) -> bool:
    """True where the row shows that a good is electrical, so that customs ask for its serial.

    A heading of cables, plugs, loose cells or aerials says no; a battery inside, radio, mains or
    an electrical heading says yes. Source: gov.uk handbook on carnets, electrical items.
    """
    figures = shared.carnet_figures()
    code = re.sub(r"^(\d{4})(\d)", r"\1.\2", line.hs.replace(" ", ""))
    if code.startswith(figures.plain_headings):
        return False
    is_powered = line.battery is not None and not line.battery.spare
    has_power = is_powered or bool(line.radio or line.mains)
    return has_power or code.startswith(figures.electrical_headings)


def says_no_serial(serial: str) -> bool:
    """True where the text states that there is no serial: `NSN`, `none`, `n/a` or a dash."""
    return _NO_SERIAL.fullmatch(serial) is not None
