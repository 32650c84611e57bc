"""A partly packed case that remembers its empty spaces: does this still go in, and where.

For callers that pack one thing after the other. "No place" here means none among the spaces left
as the others lie now, not that the set cannot be packed: ask a `Fitter` for that.
"""

from __future__ import annotations

import numpy as np

from packer.geometry.items import Item, Place, Sides, turns_inside
from packer.geometry.spaces import NOWHERE, as_ints, fill, new_spaces, seek, start

_ANY_WIDTH = as_ints([1, 1, 1])


class PartlyPacked:
    """One case being filled. `rule`: how places are chosen, see `spaces.RULES`."""

    def __init__(self, inside: Sides, clearance_mm: int, rule: int = 0) -> None:
        self.inside = inside
        self.clearance_mm = clearance_mm
        self.rule = rule
        self._spaces = new_spaces()
        self._fresh = new_spaces()
        self._box = np.empty(6, dtype=np.int64)
        self._count = start(self._spaces, as_ints(inside))

    def place_for(self, item: Item) -> Place | None:
        """Where `item` would go; the case stays as it is."""
        sizes = turns_inside(item, self.inside, self.clearance_mm)
        if not sizes:
            return None
        ceiling = self.inside[2] if item.fragile else 0
        turned = as_ints(sizes)
        value = seek(self._spaces, self._count, turned, len(sizes), self.rule, ceiling, self._box)
        return None if value == NOWHERE else self._place()

    def add(self, item: Item) -> Place | None:
        """Put `item` in and return its place, or None and no change."""
        place = self.place_for(item)
        if place is not None:
            if item.fragile:
                self._box[5] = self.inside[2]
            self._count = fill(self._spaces, self._count, self._box, _ANY_WIDTH, self._fresh)
        return place

    def _place(self) -> Place:
        x, y, z, right, back, top = self._box.tolist()
        clear = self.clearance_mm
        return Place((x, y, z), (right - x - clear, back - y - clear, top - z - clear))
