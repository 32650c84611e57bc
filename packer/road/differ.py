"""What is different between two plans, as people talk about it.

In: an old and a new plan. Out: a `Difference`: objects that moved between cases, that fly now or
no longer, what covers them, cases taken along or left, ways of travel, and the cost by kind.
Identical units stand for each other: a move is counted, whatever the numbers on the units.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from packer.model.plan import Plan, Route
from packer.road.repacking import contents_of


@dataclass(frozen=True, slots=True)
class Moved:
    """Units of a line that are in another case now."""

    gear: str
    units: int
    source: str
    target: str


@dataclass(frozen=True, slots=True)
class FlownChange:
    """A line of which more or fewer units fly; `cases` are where they come in or go out."""

    gear: str
    before: int
    after: int
    cases: tuple[str, ...]

    @property
    def more(self) -> int:
        """Units that fly now and did not; below 0 where fewer fly."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class CoverChange:
    """Units of a line that a supplier covers at a stop, before and now."""

    gear: str
    stop: str
    supplier: str
    before: int
    after: int

    @property
    def units(self) -> int:
        """Units more than before; below 0 where fewer are covered."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class CaseChange:
    """A case whose way of travel changed; None is at home."""

    case: str
    before: Route | None
    after: Route | None


@dataclass(frozen=True, slots=True)
class Difference:
    """All that differs; `costs` holds (kind, before, after) in minor units, all kinds."""

    moved: tuple[Moved, ...]
    flown: tuple[FlownChange, ...]
    covers: tuple[CoverChange, ...]
    cases: tuple[CaseChange, ...]
    costs: tuple[tuple[str, int, int], ...]

    @property
    def moved_units(self) -> int:
        """How many objects change cases."""
        return sum(moved.units for moved in self.moved)

    @property
    def nothing(self) -> bool:
        """True where both plans do the same at the same cost."""
        same_cost = all(before == after for _, before, after in self.costs)
        return same_cost and not (self.moved or self.flown or self.covers or self.cases)


def differ(old: Plan, new: Plan) -> Difference:
    """What changed from an old plan to a new one. Deterministic: by name throughout."""
    moved, entries, exits = _flows(old, new)
    return Difference(
        moved,
        tuple(_flown(old, new, entries, exits)),
        tuple(_covers(old, new)),
        tuple(_cases(old, new)),
        _costs(old, new),
    )


def _flows(
    old: Plan, new: Plan
) -> tuple[tuple[Moved, ...], dict[str, list[str]], dict[str, list[str]]]:
    """Moves by line, and for each line the cases where units come in and go out of the flight."""
    before, after = contents_of(old), contents_of(new)
    names = sorted({gear for inside in (*before.values(), *after.values()) for gear in inside})
    cases = sorted({*before, *after})
    moved: list[Moved] = []
    entries: dict[str, list[str]] = {}
    exits: dict[str, list[str]] = {}
    for gear in names:
        change = {c: _count(after, c, gear) - _count(before, c, gear) for c in cases}
        gone = [case for case in cases for _ in range(-change[case])]
        come = [case for case in cases for _ in range(change[case])]
        paired = Counter(zip(gone, come, strict=False))
        moved += [Moved(gear, units, *pair) for pair, units in sorted(paired.items())]
        exits[gear] = gone[len(come) :]
        entries[gear] = come[len(gone) :]
    return tuple(moved), entries, exits


def _count(contents: dict[str, Counter[str]], case: str, gear: str) -> int:
    return contents[case][gear] if case in contents else 0


def _flown(
    old: Plan, new: Plan, entries: dict[str, list[str]], exits: dict[str, list[str]]
) -> Iterator[FlownChange]:
    before = {decision.gear: decision.flown for decision in old.decisions}
    after = {decision.gear: decision.flown for decision in new.decisions}
    for gear in sorted({*before, *after}):
        was, now = before.get(gear, 0), after.get(gear, 0)
        if was != now:
            cases = dict.fromkeys(entries.get(gear, []) + exits.get(gear, []))
            yield FlownChange(gear, was, now, tuple(cases))


def _covers(old: Plan, new: Plan) -> Iterator[CoverChange]:
    before, after = _covered(old), _covered(new)
    for key in sorted({*before, *after}):
        if before[key] != after[key]:
            yield CoverChange(*key, before[key], after[key])


def _covered(plan: Plan) -> Counter[tuple[str, str, str]]:
    found: Counter[tuple[str, str, str]] = Counter()
    for decision in plan.decisions:
        for cover in decision.covers:
            found[decision.gear, cover.stop, cover.supplier] += cover.units
    return found


def _cases(old: Plan, new: Plan) -> Iterator[CaseChange]:
    before = {piece.case: piece.route for piece in old.pieces}
    after = {piece.case: piece.route for piece in new.pieces}
    for case in sorted({*before, *after}):
        if before.get(case) is not after.get(case):
            yield CaseChange(case, before.get(case), after.get(case))


def _costs(old: Plan, new: Plan) -> tuple[tuple[str, int, int], ...]:
    before, after = old.costs, new.costs
    return (
        ("Baggage", before.baggage_minor, after.baggage_minor),
        ("Hire", before.hire_minor, after.hire_minor),
        ("Delivery", before.delivery_minor, after.delivery_minor),
        ("Freight", before.freight_minor, after.freight_minor),
        ("Cash", before.cash_minor, after.cash_minor),
        ("Worth given up", before.worth_minor, after.worth_minor),
        ("In all", before.objective_minor, after.objective_minor),
    )
