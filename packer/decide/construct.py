"""A plan built by hand, so to speak: given what is to fly, put it in cases, largest first.

Every state on the way is a real packing: weight, units, roles and bundles hold, and the geometry
has found a place for every rigid object. What finds no case is reported as left over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from packer.decide.problem import SOFT_SHARE_PERCENT, CaseSpec, Option, Problem
from packer.decide.sketch import Sketch, planning_g, sketch_of
from packer.decide.space import Space
from packer.geometry import Verdict
from packer.model.plan import Route
from packer.model.trip import CaseKind

Parcel = tuple[tuple[int, int], ...]
"""Units (line, count) that go into one case together: one unit, or a whole bundle."""


@dataclass(slots=True)
class OpenCase:
    """A case being filled; `ceiling` is the dearest option it may use."""

    spec: CaseSpec
    ceiling: Option
    counts: dict[int, int] = field(default_factory=dict)
    content_g: int = 0
    grown_mm3: int = 0
    own_mm3: int = 0
    soft_mm3: int = 0
    halves: int = 0

    def fill(self, problem: Problem, counts: dict[int, int]) -> None:
        """Sets the contents anew, sums included."""
        lines = problem.lines
        self.counts = counts
        self.content_g = sum(n * lines[i].gear.weight_g for i, n in counts.items())
        self.grown_mm3 = sum(n * lines[i].grown_mm3 for i, n in counts.items())
        self.own_mm3 = sum(n * lines[i].own_mm3 for i, n in counts.items())
        self.soft_mm3 = sum(n * lines[i].soft_mm3 for i, n in counts.items())
        self.halves = sum(n * (lines[i].gear.rack_half_units or 0) for i, n in counts.items())

    @property
    def left_g(self) -> int:
        """What may still be added, by weight."""
        return self.ceiling.upto_g - self.spec.tare_g - self.content_g


class Builder:
    """Fills cases for a given number of flown units of each line."""

    def __init__(self, problem: Problem, space: Space, flown: Sequence[int], effort: int) -> None:
        self._problem = problem
        self._space = space
        self._flown = list(flown)
        self._effort = effort
        self.open: dict[int, OpenCase] = {}
        self._caps = [
            (frozenset(cap.lines), cap.base + sum(flown[i] for i in cap.swing))
            for cap in problem.roles
        ]
        self._cabin_left = problem.cabin_pieces

    def adopt(self, cases: dict[int, OpenCase]) -> None:
        """Takes over cases as they are; they are copied before anything is added to them."""
        self.open = {
            index: replace(case, counts=dict(case.counts)) for index, case in cases.items()
        }
        self._cabin_left -= sum(case.ceiling.route is Route.CABIN for case in cases.values())

    def replace(self, case: int, counts: dict[int, int]) -> None:
        """Leaves only these contents in a case; an empty one is put back."""
        if counts:
            self.open[case].fill(self._problem, counts)
        else:
            self.close_empty(case)

    def open_case(self, case: int, option: Option) -> OpenCase:
        """Takes a case into use by an option."""
        if option.route is Route.CABIN:
            self._cabin_left -= 1
        self.open[case] = OpenCase(self._problem.cases[case], option)
        return self.open[case]

    def may_open(self, option: Option) -> bool:
        """False where no further cabin piece is free."""
        return option.route is not Route.CABIN or self._cabin_left > 0

    def close_empty(self, case: int) -> None:
        """Puts a case back that was opened in vain."""
        if self.open[case].ceiling.route is Route.CABIN:
            self._cabin_left += 1
        del self.open[case]

    def add(self, case: OpenCase, parcel: Parcel) -> bool:
        """Adds a parcel if everything still holds; False leaves the case as it was."""
        if not self._sums_hold(case, parcel) or not self._roles_hold(case, parcel):
            return False
        counts = dict(case.counts)
        for line, count in parcel:
            counts[line] = counts.get(line, 0) + count
        if any(self._problem.lines[line].is_boxed for line, _ in parcel):
            fit = self._space.quick(case.spec.index, sorted(counts.items()), self._effort)
            if fit.verdict is not Verdict.YES:
                return False
        case.counts = counts
        for line, count in parcel:
            self._book(case, line, count)
        return True

    def _book(self, case: OpenCase, line: int, count: int) -> None:
        row = self._problem.lines[line]
        case.content_g += count * row.gear.weight_g
        case.grown_mm3 += count * row.grown_mm3
        case.own_mm3 += count * row.own_mm3
        case.soft_mm3 += count * row.soft_mm3
        case.halves += count * (row.gear.rack_half_units or 0)

    def _sums_hold(self, case: OpenCase, parcel: Parcel) -> bool:
        lines = self._problem.lines
        index = case.spec.index
        for line, _ in parcel:
            if index not in lines[line].cases or case.ceiling.route not in lines[line].routes:
                return False
        if sum(n * lines[i].gear.weight_g for i, n in parcel) > case.left_g:
            return False
        kind = case.spec.case.kind
        if kind is CaseKind.RACK:
            halves = sum(n * (lines[i].gear.rack_half_units or 0) for i, n in parcel)
            return case.halves + halves <= (case.spec.case.rack_half_units or 0)
        if kind is CaseKind.SLOTS:
            units = sum(case.counts.values()) + sum(n for _, n in parcel)
            return units <= (case.spec.case.slots or 0)
        return self._volume_holds(case, parcel)

    def _volume_holds(self, case: OpenCase, parcel: Parcel) -> bool:
        lines = self._problem.lines
        volume = case.spec.volume_mm3
        grown = case.grown_mm3 + sum(n * lines[i].grown_mm3 for i, n in parcel)
        own = case.own_mm3 + sum(n * lines[i].own_mm3 for i, n in parcel)
        soft = case.soft_mm3 + sum(n * lines[i].soft_mm3 for i, n in parcel)
        if soft and 100 * soft > SOFT_SHARE_PERCENT * (volume - own):
            return False
        return grown <= volume

    def _roles_hold(self, case: OpenCase, parcel: Parcel) -> bool:
        for lines, most in self._caps:
            extra = sum(n for i, n in parcel if i in lines)
            if extra and extra + sum(n for i, n in case.counts.items() if i in lines) > most:
                return False
        return True

    def sketch(self) -> Sketch:
        """What has been built; each case by its cheapest sufficient option."""
        return sketch_of(
            {index: (case.ceiling.route, case.counts) for index, case in self.open.items()}
        )


def parcels_of(problem: Problem, flown: Sequence[int]) -> list[Parcel]:
    """What is to be packed, in the order of packing: bundles, then units, hardest first."""
    bundled = {i for bundle in problem.bundles for i in bundle}
    parcels: list[Parcel] = []
    for bundle in problem.bundles:
        parcel = tuple((i, flown[i]) for i in bundle if flown[i])
        if parcel:
            parcels.append(parcel)
    for line in problem.lines:
        if line.index not in bundled:
            parcels += [((line.index, 1),)] * flown[line.index]
    return sorted(parcels, key=lambda parcel: _hardness(problem, parcel), reverse=True)


def _hardness(problem: Problem, parcel: Parcel) -> tuple[int, float, int]:
    """Cabin and few cases first, then the share that it takes of its roomiest case."""
    lines = [problem.lines[i] for i, _ in parcel]
    cabin = all(line.routes == frozenset({Route.CABIN}) for line in lines)
    share = 0.0
    for (_, count), line in zip(parcel, lines, strict=True):
        if not line.cases:
            continue
        room_g = max(problem.cases[c].most_content_g for c in line.cases)
        volume = max(problem.cases[c].volume_mm3 for c in line.cases)
        share += count * max(
            line.gear.weight_g / max(1, room_g),
            (line.grown_mm3 or line.soft_mm3) / max(1, volume),
        )
    return (int(cabin), share, -parcel[0][0])


def open_cases(problem: Problem, start: Sketch) -> dict[int, OpenCase]:
    """The cases of a sketch as cases being filled, each by its cheapest sufficient option."""
    cases: dict[int, OpenCase] = {}
    for load in start.loads:
        spec = problem.cases[load.case]
        weight = planning_g(problem, load)
        option = _option(spec.options, load.route, weight)
        case = OpenCase(spec, option)
        case.fill(problem, dict(load.counts))
        cases[load.case] = case
    return cases


def _option(options: tuple[Option, ...], route: object, weight_g: int) -> Option:
    fitting = [
        option
        for option in options
        if option.route is route and option.above_g < weight_g <= option.upto_g
    ]
    return min(fitting, key=lambda option: option.cost_minor)
