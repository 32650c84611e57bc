"""Room that is surely there: packs the gear of a generated trip that must fly, unit by unit.

In: the cases, how many may go in the cabin, and how full they may be. `Witness.takes(line)` finds a
case and a place for every unit of a line, by cutting free spaces in three, or says no and changes
nothing. What it took can therefore fly together, which is why generated trips have a plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from itertools import permutations
from random import Random

from packer.model.trip import Carry, Case, CaseKind, Gear
from support.trip_groups import CLEARANCE_MM, class_of

HOLD_G, CABIN_G, MARGIN_G = 23_000, 7_000, 500
TRIES = 40  # bins looked at for one unit, so that huge trips stay quick
Sides = tuple[int, int, int]


@dataclass
class Bin:
    """One case and what is left of it: grams, free spaces, half units, slots, cubic millimetres."""

    kind: str
    left_g: int
    spaces: list[Sides] = field(default_factory=list)
    volume_mm3: int = 0
    rigid_mm3: int = 0
    soft_mm3: int = 0
    half_units: int = 0
    depth_mm: int = 0
    slots: int = 0
    fill_percent: int = 100
    inside: Sides = (0, 0, 0)

    def takes(self, line: Gear) -> bool:
        """Put one unit in, if weight and room are left for it."""
        if line.weight_g > self.left_g or not self._has_room(line):
            return False
        self.left_g -= line.weight_g
        return True

    def _has_room(self, line: Gear) -> bool:
        if line.case_kind is CaseKind.RACK:
            return self._racks(line)
        if line.case_kind is CaseKind.SLOTS:
            self.slots -= 1
            return self.slots >= 0
        return self._folds(line) if line.soft else self._places(line)

    def _racks(self, line: Gear) -> bool:
        needs = line.rack_half_units or 0
        if needs > self.half_units or (line.depth_mm or 0) > self.depth_mm:
            return False
        self.half_units -= needs
        return True

    def _folds(self, line: Gear) -> bool:
        assert line.size is not None
        volume = line.size.volume_mm3
        room = (self.volume_mm3 * self.fill_percent // 100 - self.rigid_mm3) * 85 // 100
        if self.soft_mm3 + volume > room or not self._long_enough(line.size.sides):
            return False
        self.soft_mm3 += volume
        return True

    def _long_enough(self, sides: Sides) -> bool:
        pairs = zip(sorted(sides), sorted(self.inside), strict=True)
        return all(side <= limit for side, limit in pairs)

    def _places(self, line: Gear) -> bool:
        assert line.size is not None
        used = self.rigid_mm3 + line.size.volume_mm3 + self.soft_mm3 * 100 // 85 + 1
        if used > self.volume_mm3 * self.fill_percent // 100:
            return False
        grown = tuple(side + CLEARANCE_MM for side in line.size.sides)
        turns = [
            t for t in sorted(set(permutations(grown))) if not line.upright or t[2] == grown[2]
        ]
        for i, space in enumerate(self.spaces):
            for turn in turns:
                if all(side <= limit for side, limit in zip(turn, space, strict=True)):
                    self.spaces[i : i + 1] = _cut(space, turn, line.fragile)
                    self.rigid_mm3 += line.size.volume_mm3
                    return True
        return False


def _cut(space: Sides, taken: Sides, fragile: bool) -> list[Sides]:
    """What is left of a space: above (nothing above what is fragile), beside and before."""
    length, width, height = space
    above = (taken[0], taken[1], 0 if fragile else height - taken[2])
    beside = (length - taken[0], width, height)
    before = (taken[0], width - taken[1], height)
    return [left for left in (above, beside, before) if min(left) > 0]


class Witness:
    """All cases of a trip, filled by and by with what must fly."""

    def __init__(self, rng: Random, cases: Sequence[Case], cabin_pieces: int, percent: int) -> None:
        cabin = [case.name for case in cases if case.carry is not Carry.HOLD][:cabin_pieces]
        self._rng = rng
        self._bins: dict[str, list[Bin]] = {}
        for case in cases:
            if case.carry is Carry.HOLD or case.name in cabin:
                found = _bin(case, case.name in cabin, percent)
                self._bins.setdefault(found.kind, []).append(found)

    def takes(self, line: Gear) -> bool:
        """Find room for all units of a line; those with a role in cases of their own each."""
        kind = class_of(line)
        bins = deepcopy(self._bins.get(kind, []))
        order = self._rng.sample(range(len(bins)), len(bins))
        for _ in range(line.quantity):
            found = next((i for i in order[:TRIES] if _fits(bins, i, line)), None)
            if found is None:
                return False
            if line.role:
                order.remove(found)
        self._bins[kind] = bins
        return True


def _fits(bins: list[Bin], i: int, line: Gear) -> bool:
    tried = deepcopy(bins[i])
    if not tried.takes(line):
        return False
    bins[i] = tried
    return True


def _bin(case: Case, in_cabin: bool, percent: int) -> Bin:
    limit = CABIN_G if in_cabin else HOLD_G
    kind = f"slots {case.slot}" if case.slot else str(case.kind)
    found = Bin(
        "cabin" if in_cabin else kind,
        left_g=max(0, limit - case.empty_g - MARGIN_G) * percent // 100,
        half_units=(case.rack_half_units or 0) * min(100, percent * 3 // 2) // 100,
        depth_mm=case.rack_depth_mm or 0,
        slots=-(-(case.slots or 0) * percent // 100),
        fill_percent=percent,
    )
    if case.inside:
        found.inside = case.inside.sides
        found.spaces = [case.inside.sides]
        found.volume_mm3 = case.inside.volume_mm3
    return found
