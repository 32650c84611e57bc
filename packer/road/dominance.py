"""Cuts lifted to larger things: what does not fit does not fit with something larger in its place.

In: the gear lines of a problem, and a set that is proved not to fit a case. Out: further sets
that cannot fit either (solver practice: minimal infeasible sets, lifted to all dominating types).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import product

from packer.model.trip import Gear
from packer.road.repacking import is_rigid

Counts = tuple[tuple[int, int], ...]
"""(index of a line, units), by line."""

MOST = 300
"""No more lifted sets than this from one."""


def no_smaller(lines: Sequence[Gear]) -> tuple[tuple[int, ...], ...]:
    """For each rigid line, itself and all lines that are at least as hard to place."""
    return tuple(
        (i, *(j for j, other in enumerate(lines) if j != i and _harder(other, line)))
        for i, line in enumerate(lines)
    )


def _harder(other: Gear, line: Gear) -> bool:
    """True where any place of `other` holds `line`, turned as need be."""
    if not (is_rigid(line) and is_rigid(other)) or line.size is None or other.size is None:
        return False
    if line.fragile and not other.fragile:
        return False
    if not line.upright:
        return _within(sorted(line.size.sides), sorted(other.size.sides))
    flat, wide = sorted(line.size.sides[:2]), sorted(other.size.sides[:2])
    return other.upright and line.size.height_mm <= other.size.height_mm and _within(flat, wide)


def _within(small: Sequence[int], large: Sequence[int]) -> bool:
    return all(a <= b for a, b in zip(small, large, strict=True))


def lifted(counts: Counts, harder: Sequence[Sequence[int]]) -> Iterator[Counts]:
    """The set itself first, then sets with harder lines in place of its own, up to `MOST`."""
    seen: set[Counts] = set()
    for lines in product(*(harder[line] for line, _ in counts)):
        total: Counter[int] = Counter()
        for line, (_, units) in zip(lines, counts, strict=True):
            total[line] += units
        new = tuple(sorted(total.items()))
        if new not in seen:
            seen.add(new)
            yield new
        if len(seen) >= MOST:
            return
