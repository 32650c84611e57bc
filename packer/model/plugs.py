"""Wall plugs by letter: which a text names, which sockets they enter, which adapter they need.

What comes in: the text of a Plug cell, and the letters of a country's sockets. What goes out:
letters, yes or no, and an adapter in words. One reading, for the checks and for the papers. Which
plugs enter other sockets stands in `shared` (mains); it says nothing about voltage or earthing
of what is plugged in.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import shared

_PLUG = re.compile(r"(?:\btypes?\s*)?(?<![A-Za-z0-9])([A-O])(?![A-Za-z0-9])")
_LETTERS_ONLY = re.compile(r"\s*(types?\b)?([\s/,;]*\b[a-o]\b)+\s*", re.IGNORECASE)


def parse_plugs(text: str) -> tuple[str, ...]:
    """The plug letters A to O in a text; () where it names none.

    Small letters count where the text is nothing else: `g`, `type e/f`.
    """
    plain = text.upper() if _LETTERS_ONLY.fullmatch(text) else text
    return tuple(dict.fromkeys(_PLUG.findall(plain)))


def fits(plug: str, sockets: Sequence[str]) -> bool:
    """True where a plug letter enters one of the sockets, as `shared` (mains) has it."""
    figures = shared.mains_figures()
    also = {"C": figures.europlug_fits, "A": figures.flat_fits}
    kin = figures.hybrid_fits if plug in figures.hybrid_fits else also.get(plug, ())
    return any(socket == plug or socket in kin for socket in sockets)


def adapter(plugs: Sequence[str], sockets: Sequence[str]) -> str:
    """The adapter that a device with one of these plugs needs: `G to J`; '' where one fits.

    Earthed sockets are named where the country has any.
    """
    if any(fits(plug, sockets) for plug in plugs):
        return ""
    earthed = [socket for socket in sockets if socket not in shared.mains_figures().unearthed]
    return f"{'/'.join(plugs)} to {' or '.join(earthed or sockets)}"
