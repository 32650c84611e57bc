"""Sets of objects that cannot share a case, learned from geometry, as cuts for every like case."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Cut:
    """In none of `cases` are all of `counts` (line, units) reached together.

    `proved` is False where the geometry only failed to find a packing: such a cut may guide the
    search but no bound may rest on it.
    """

    counts: tuple[tuple[int, int], ...]
    cases: tuple[int, ...]
    proved: bool
