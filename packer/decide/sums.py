"""Sums of what must fly against what cases take: the proofs that anybody can follow.

Lines that go in some cases only, all together, must not weigh, fill or number more than those
take. In: a problem. Out: the sets of cases that are overfull, with the figures; by how many cases
at least, and how many cabin pieces what must be in the cabin takes at least.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from packer.decide.problem import SOFT_SHARE_PERCENT, CaseSpec, Line, Problem
from packer.model.plan import Route
from packer.model.trip import CaseKind

LITRE_MM3 = 1_000_000


@dataclass(frozen=True, slots=True)
class Overfull:
    """What must fly of some lines needs more than their cases have: `need` against `has`.

    Both in a measure of which `scale` make one `unit` for people; `most` is what the roomiest of
    `cases` has, `roomiest` that case.
    """

    cases: tuple[int, ...]
    units: int
    need: int
    has: int
    unit: str
    scale: int
    roomiest: int
    most: int

    @property
    def excess(self) -> int:
        """By how much too many."""
        return self.need - self.has

    @property
    def further(self) -> int:
        """How many more cases it takes at least, be they all like the roomiest."""
        return -(-self.excess // max(1, self.most))


def overfull(
    problem: Problem, lines: Sequence[Line], cases: Iterable[int], *, single: bool = False
) -> Overfull | None:
    """The first sum of what must fly in these cases only that exceeds what they take.

    `single`: all has to go in one of them.
    """
    chosen = sorted(cases)
    within = frozenset(chosen)
    inside = [line for line in lines if line.least and within.issuperset(line.cases)]
    specs = [problem.cases[c] for c in chosen]
    for need, room, unit, scale in _measures(inside, specs):
        has, most = (max(room) if single else sum(room)), max(room)
        if need > has:
            units = sum(line.least for line in inside)
            roomiest = chosen[room.index(most)]
            return Overfull(tuple(chosen), units, need, has, unit, scale, roomiest, most)
    return None


def shortages(problem: Problem) -> dict[int, Overfull]:
    """The overfull sets of cases by the group of their roomiest case, the worst of each.

    A set that holds other overfull ones is left out where those explain all that it misses.
    """
    found: list[Overfull] = []
    for cases in _sets(problem):
        over = overfull(problem, problem.lines, cases)
        if over is not None and over.excess > _explained(over, found):
            found.append(over)
    worst: dict[int, Overfull] = {}
    for over in found:
        group = problem.cases[over.roomiest].group
        if group not in worst or over.further > worst[group].further:
            worst[group] = over
    return worst


def _explained(over: Overfull, found: Sequence[Overfull]) -> int:
    """How much of what a set misses its parts miss by themselves."""
    parts = (p for p in found if p.unit == over.unit and set(over.cases).issuperset(p.cases))
    return sum(part.excess for part in parts)


def overfull_around(problem: Problem, case: int) -> Overfull | None:
    """The smallest overfull set of cases with this one among them."""
    found = (overfull(problem, problem.lines, cases) for cases in _sets(problem) if case in cases)
    return next((over for over in found if over is not None), None)


def _sets(problem: Problem) -> list[frozenset[int]]:
    """The cases that some line is held to, and all of a kind and slot; the smallest sets first."""
    alike: dict[tuple[object, ...], set[int]] = {}
    for spec in problem.cases:
        alike.setdefault((spec.case.kind, spec.case.slot), set()).add(spec.index)
    held = {frozenset(line.cases) for line in problem.lines if line.least and line.cases}
    return sorted(held | set(map(frozenset, alike.values())), key=lambda s: (len(s), sorted(s)))


def _measures(
    lines: Sequence[Line], specs: Sequence[CaseSpec]
) -> Iterator[tuple[int, list[int], str, int]]:
    """(what is needed, what each case has, unit, divisor for people) by each measure."""
    kinds = {spec.case.kind for spec in specs}
    if kinds == {CaseKind.SLOTS}:
        yield sum(line.least for line in lines), [s.case.slots or 0 for s in specs], "slots", 1
    if kinds == {CaseKind.RACK}:
        halves = sum(line.least * (line.gear.rack_half_units or 0) for line in lines)
        yield halves, [s.case.rack_half_units or 0 for s in specs], "U", 2
    yield (
        sum(line.least * line.gear.weight_g for line in lines),
        [max(0, s.most_content_g) for s in specs], "kg", 1000,
    )  # fmt: skip
    if kinds == {CaseKind.BOX}:
        grown = sum(line.least * line.grown_mm3 for line in lines)
        yield grown, [s.volume_mm3 for s in specs], "litres", LITRE_MM3
        both = sum(
            line.least * (100 * line.soft_mm3 // SOFT_SHARE_PERCENT + line.own_mm3)
            for line in lines
        )
        yield both, [s.volume_mm3 for s in specs], "litres (soft goods at 85 %)", LITRE_MM3


def fewest_cabin_pieces(problem: Problem) -> int:
    """How many cabin pieces hold what must be in the cabin, at least, if the roomiest are taken."""
    carried = [line for line in problem.lines if line.least and line.routes == {Route.CABIN}]
    by_kind: dict[tuple[object, ...], list[Line]] = {}
    for line in carried:
        by_kind.setdefault((line.gear.case_kind, line.gear.slot), []).append(line)
    return sum(_fewest(problem, lines) for lines in by_kind.values())


def _fewest(problem: Problem, lines: Sequence[Line]) -> int:
    """Pieces for lines of one kind of case, by the measure that asks for most."""
    chosen = sorted({c for line in lines for c in line.cases})
    specs = [_in_cabin(problem.cases[c]) for c in chosen]
    pieces = [_fewest_of(need, room) for need, room, *_ in _measures(lines, specs)]
    return max(pieces, default=0)


def _in_cabin(spec: CaseSpec) -> CaseSpec:
    return replace(spec, options=tuple(o for o in spec.options if o.route is Route.CABIN))


def _fewest_of(need: int, room: Sequence[int]) -> int:
    """How many of the roomiest have so much; beyond those there are, more like the roomiest."""
    count = 0
    for has in sorted(room, reverse=True):
        if need <= 0 or has <= 0:
            break
        need -= has
        count += 1
    most = max(room, default=0)
    return count + (-(-need // most) if need > 0 and most > 0 else 0)
