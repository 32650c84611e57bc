"""The order in which letters of mixed direction are printed, after UAX #9 (Unicode 15) in short.

Names and descriptions have no embedding marks, so levels come from the letters alone: strong
letters set a run, numbers after right-to-left letters keep their own order inside it, neutrals
follow their neighbours or else the line. Brackets are mirrored where the run is shaped.
"""

from __future__ import annotations

import unicodedata

_RIGHT = frozenset({"R", "AL"})
_NUMBER = frozenset({"EN", "AN"})
_JOINS_NUMBERS = frozenset({"CS", "ES", "ET"})


def is_right_to_left(text: str) -> bool:
    """True where the first strong letter reads from the right (UAX #9, rules P2 and P3)."""
    for letter in text:
        kind = unicodedata.bidirectional(letter)
        if kind in _RIGHT or kind == "L":
            return kind in _RIGHT
    return False


def levels(text: str) -> list[int]:
    """The embedding level of each letter: odd levels read from the right."""
    base = 1 if is_right_to_left(text) else 0
    kinds = _with_marks([unicodedata.bidirectional(letter) for letter in text])
    if base == 0 and not any(kind in _RIGHT for kind in kinds):
        return [0] * len(text)
    return _resolve(_strong(kinds), base)


def visual_order(text_levels: list[int]) -> list[int]:
    """Indexes of letters from left to right on the page (UAX #9, rule L2)."""
    order = list(range(len(text_levels)))
    odd = [level for level in text_levels if level % 2]
    if not odd:
        return order
    for level in range(max(text_levels), min(odd) - 1, -1):
        _reverse_from(order, text_levels, level)
    return order


def _with_marks(kinds: list[str]) -> list[str]:
    """Marks that sit on a letter take its kind (rule W1)."""
    found, previous = [], "ON"
    for kind in kinds:
        previous = previous if kind == "NSM" else kind
        found.append(previous)
    return found


def _strong(kinds: list[str]) -> list[str]:
    """Each kind as L, R, N (a number within right-to-left text) or '' for neutral."""
    found, last = [], ""
    for index, kind in enumerate(kinds):
        if kind == "L" or kind in _RIGHT:
            last = "L" if kind == "L" else "R"
            found.append(last)
        elif kind in _NUMBER:
            found.append("N" if last == "R" or kind == "AN" else "L")
        elif kind in _JOINS_NUMBERS and _between_numbers(kinds, index):
            found.append(found[-1])
        else:
            found.append("")
    return found


def _between_numbers(kinds: list[str], index: int) -> bool:
    if not 0 < index < len(kinds) - 1:
        return False
    return kinds[index - 1] in _NUMBER and kinds[index + 1] in _NUMBER


def _resolve(strong: list[str], base: int) -> list[int]:
    found: list[int] = []
    for index, kind in enumerate(strong):
        side = kind or _neutral(strong, index, base)
        if side == "N":
            found.append(2)
        elif side == "R":
            found.append(1)
        else:
            found.append(base + base % 2)
    return found


def _neutral(strong: list[str], index: int, base: int) -> str:
    """A neutral takes the side that both neighbours share, else the line's (rules N1, N2)."""
    line = "R" if base else "L"
    before = next((k for k in reversed(strong[:index]) if k), line)
    after = next((k for k in strong[index + 1 :] if k), line)
    sides = {"R" if side == "N" else side for side in (before, after)}
    return sides.pop() if len(sides) == 1 else line


def _reverse_from(order: list[int], text_levels: list[int], level: int) -> None:
    start = None
    for position in range(len(order) + 1):
        inside = position < len(order) and text_levels[order[position]] >= level
        if inside and start is None:
            start = position
        elif not inside and start is not None:
            order[start:position] = reversed(order[start:position])
            start = None
