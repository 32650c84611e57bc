"""A plan laid beside its trip: every piece with its case, every packed unit with its gear.

In: a `Trip` and a `Plan`, which may be wrong in any way. Out: `Matched`, which holds only what
could be matched; names that match nothing are reported by `identity` and left out here.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from packer.model.plan import Cover, Packed, Piece, Plan, Route
from packer.model.trip import Case, Gear, Trip


@dataclass(frozen=True, slots=True)
class Unit:
    """One packed unit and its line of gear."""

    packed: Packed
    gear: Gear

    @property
    def name(self) -> str:
        """The unit in words: `HORN unit 2`."""
        return f"{self.gear.name} unit {self.packed.unit}"


@dataclass(frozen=True)
class Loaded:
    """A piece of the plan with its case and its units; weights recomputed, in grams."""

    piece: Piece
    case: Case
    units: tuple[Unit, ...]
    margin_g: int

    @property
    def name(self) -> str:
        """The case's id."""
        return self.case.name

    @property
    def route(self) -> Route:
        """How the plan sends it."""
        return self.piece.route

    @cached_property
    def contents_g(self) -> int:
        """What is in it."""
        return sum(unit.gear.weight_g for unit in self.units)

    @property
    def planning_g(self) -> int:
        """Empty weight + contents + scale margin (contract, section 2, constraint 1)."""
        return self.case.empty_g + self.contents_g + self.margin_g


@dataclass(frozen=True, slots=True)
class Covered:
    """One offer taken for a line: the line, and the cover as the plan states it."""

    gear: Gear
    cover: Cover

    @property
    def is_kit(self) -> bool:
        """True where the offer is for the line's kit and not for the line itself."""
        return self.cover.target != self.gear.name and self.cover.target == self.gear.kit


@dataclass(frozen=True)
class Matched:
    """A plan laid beside its trip."""

    trip: Trip
    plan: Plan

    @cached_property
    def gear(self) -> dict[str, Gear]:
        """Lines of gear by id."""
        return {line.name: line for line in self.trip.gear}

    @cached_property
    def cases(self) -> dict[str, Case]:
        """Single cases by id."""
        return {case.name: case for case in self.trip.cases}

    @cached_property
    def pieces(self) -> tuple[Loaded, ...]:
        """The plan's pieces whose case the trip has, in the plan's order."""
        known = (piece for piece in self.plan.pieces if piece.case in self.cases)
        return tuple(self._load(piece) for piece in known)

    def _load(self, piece: Piece) -> Loaded:
        known = (packed for packed in piece.contents if packed.gear in self.gear)
        units = tuple(Unit(packed, self.gear[packed.gear]) for packed in known)
        return Loaded(piece, self.cases[piece.case], units, self.trip.scale_margin_g)

    def by_route(self, route: Route) -> tuple[Loaded, ...]:
        """The pieces that travel by a route, in the plan's order."""
        return tuple(piece for piece in self.pieces if piece.route is route)

    @cached_property
    def flown(self) -> dict[str, int]:
        """Units really packed, by line of gear; 0 for what stays."""
        counts = dict.fromkeys(self.gear, 0)
        for piece in self.pieces:
            for unit in piece.units:
                counts[unit.gear.name] += 1
        return counts

    @cached_property
    def covers(self) -> tuple[Covered, ...]:
        """Every offer taken for a known line, by row of the gear, then as the plan lists them."""
        rows = {line.name: row for row, line in enumerate(self.trip.gear)}
        known = [each for each in self.plan.decisions if each.gear in rows]
        known.sort(key=lambda decision: rows[decision.gear])
        return tuple(
            Covered(self.gear[decision.gear], cover)
            for decision in known
            for cover in decision.covers
        )

    @cached_property
    def covers_of(self) -> dict[str, list[Covered]]:
        """The offers taken for each line that has any."""
        found: dict[str, list[Covered]] = {}
        for each in self.covers:
            found.setdefault(each.gear.name, []).append(each)
        return found

    @cached_property
    def covered_units(self) -> dict[tuple[str, str], int]:
        """Units covered by any offer, by (gear, stop)."""
        counts: dict[tuple[str, str], int] = {}
        for each in self.covers:
            key = (each.gear.name, each.cover.stop)
            counts[key] = counts.get(key, 0) + each.cover.units
        return counts
