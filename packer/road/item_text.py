"""Item numbers as people write them: `1-5, 8, 12x2`.

In: such a text. Out: counts by item number; and the other way round.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from packer.road.crossings import Count

_PART = re.compile(r"^(\d+)(?:\s*-\s*(\d+))?(?:\s*[x×]\s*(\d+))?$")
_MOST_NUMBERS = 100_000


class ItemsError(ValueError):
    """A text that names no item numbers; the message says which part is wrong."""


def parse_items(text: str, pieces: dict[int, int] | None = None) -> tuple[Count, ...]:
    """`1-5, 8, 12x2` as counts, in order of number; `x2` means two pieces of that number.

    Without `x` all pieces of the number are meant, as given in `pieces` (1 where not given).
    A number written twice counts once for each time. Raises `ItemsError`.
    """
    listed = pieces or {}
    found: dict[int, int] = {}
    for part in re.split(r"[,;]", text):
        if part.strip():
            for number, count in _numbers(part.strip()):
                found[number] = found.get(number, 0) + (count or listed.get(number, 1))
    if not found:
        raise ItemsError("no item numbers given; write them as 1-5, 8, 12x2")
    return tuple(Count(number, found[number]) for number in sorted(found))


def _numbers(part: str) -> list[tuple[int, int]]:
    match = _PART.match(part)
    if match is None:
        raise ItemsError(f"{part!r} is no item number; write them as 1-5, 8, 12x2")
    first, last, count = (int(group) if group else 0 for group in match.groups())
    last = last or first
    if last < first or last - first >= _MOST_NUMBERS:
        raise ItemsError(f"{part!r} does not run upwards")
    if first < 1 or match.group(3) == "0":
        raise ItemsError(f"{part!r}: item numbers and pieces count from 1")
    return [(number, count) for number in range(first, last + 1)]


def items_text(items: Iterable[Count]) -> str:
    """Counts as text: runs of single pieces as `1-5`, several pieces as `12x2`."""
    runs: list[tuple[int, int, int]] = []
    for item in sorted(items):
        if runs and runs[-1][1] == item.number - 1 and runs[-1][2] == item.pieces:
            runs[-1] = (runs[-1][0], item.number, item.pieces)
        else:
            runs.append((item.number, item.number, item.pieces))
    return ", ".join(_run_text(*run) for run in runs)


def _run_text(first: int, last: int, pieces: int) -> str:
    numbers = str(first) if first == last else f"{first}-{last}"
    return numbers if pieces == 1 else f"{numbers}x{pieces}"
