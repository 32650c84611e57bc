"""From a sketch to a plan: unit numbers, places, packing order, covers, charges, sums."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import version
from itertools import islice

import packer
from packer.decide import airline, sketch
from packer.decide.cover import Covered, Coverer
from packer.decide.hire import grouped
from packer.decide.pace import Pace
from packer.decide.problem import Problem
from packer.decide.sketch import Load, Sketch
from packer.decide.space import Space
from packer.geometry import ARRANGE_EFFORT, arrange
from packer.model.plan import (
    Cover,
    Decision,
    Packed,
    Piece,
    Place,
    Plan,
    Route,
    SolverNote,
    Status,
)
from packer.model.solving import Limits

FINISH_SHARE = 0.4  # of the time it took to begin
ARRANGE_S = 0.002  # to pack one case well for carrying


@dataclass(frozen=True, slots=True)
class Effort:
    """How long it took: seconds by the clock, and the solver's own count of work."""

    seconds: float
    deterministic: float


def finish_s(problem: Problem, begun_s: float) -> float:
    """About how long a plan takes from its sketch to the judge's word, on a machine that needed
    `begun_s` seconds to make the problem ready."""
    return FINISH_SHARE * begun_s + ARRANGE_S * len(problem.cases)


def plan_of(
    problem: Problem,
    found: Sketch,
    space: Space,
    coverer: Coverer,
    bound_minor: int,
    limits: Limits,
    effort: Effort,
    keep: Plan | None = None,
    seconds: float | None = None,
) -> Plan:
    """The plan that a sketch stands for; `optimal` where its cost equals the proved bound.

    Units that stay in the case where an earlier plan `keep` had them keep their numbers. In about
    so many `seconds` cases are packed as well for carrying as it goes; None: however long it takes.
    """
    costs = sketch.costs(problem, found, coverer)
    pace = Pace(seconds, len(found.loads), ARRANGE_EFFORT, limits.workers)
    pieces = _pieces(problem, found, space, keep, pace, limits.workers)
    optimal = bound_minor >= costs.objective_minor
    return Plan(
        holdall=packer.__version__,
        trip=problem.trip.name,
        input_sha256=problem.trip.input_sha256,
        made=datetime.now(UTC).isoformat(timespec="seconds"),
        status=Status.OPTIMAL if optimal else Status.FEASIBLE,
        currency=problem.trip.currency,
        costs=costs,
        bound_minor=min(bound_minor, costs.objective_minor),
        decisions=_decisions(problem, found, coverer),
        pieces=pieces,
        charges=airline.charges(problem.trip, pieces),
        findings=(),
        solver=SolverNote(
            seconds=round(effort.seconds, 3),
            workers=limits.workers,
            seed=limits.seed,
            ortools=version("ortools"),
            deterministic=round(effort.deterministic, 3),
        ),
    )


def _pieces(
    problem: Problem, found: Sketch, space: Space, keep: Plan | None, pace: Pace, workers: int
) -> tuple[Piece, ...]:
    numbers = unit_numbers(problem, found, keep)

    def made(load: Load) -> Piece:
        own = {line: numbers[line, load.case] for line, _ in load.counts}
        with pace.one() as effort:
            return _piece(problem, load, own, space, effort)

    with ThreadPoolExecutor(max(1, workers)) as threads:
        return tuple(threads.map(made, found.loads))


def unit_numbers(
    problem: Problem, found: Sketch, keep: Plan | None
) -> dict[tuple[int, int], list[int]]:
    """Which units of a line are in which case: as in `keep` where possible, else the lowest."""
    before = _earlier_numbers(problem, keep) if keep is not None else {}
    numbers = {
        (line, load.case): before.get((line, load.case), [])[:count]
        for load in found.loads
        for line, count in load.counts
    }
    taken: dict[int, set[int]] = {}
    for (line, _), units in numbers.items():
        taken.setdefault(line, set()).update(units)
    for load in found.loads:
        for line, count in load.counts:
            free = (n for n in range(1, problem.lines[line].gear.quantity + 1)
                    if n not in taken[line])  # fmt: skip
            more = list(islice(free, count - len(numbers[line, load.case])))
            taken[line].update(more)
            numbers[line, load.case] = sorted(numbers[line, load.case] + more)
    return numbers


def _earlier_numbers(problem: Problem, keep: Plan) -> dict[tuple[int, int], list[int]]:
    lines = {line.gear.name: line.index for line in problem.lines}
    cases = {spec.case.name: spec.index for spec in problem.cases}
    found: dict[tuple[int, int], list[int]] = {}
    for piece in keep.pieces:
        for packed in piece.contents:
            line, case = lines.get(packed.gear), cases.get(piece.case)
            if line is None or case is None:
                continue
            if packed.unit <= problem.lines[line].gear.quantity:
                found.setdefault((line, case), []).append(packed.unit)
    return found


def _piece(
    problem: Problem, load: Load, numbers: dict[int, list[int]], space: Space, effort: int
) -> Piece:
    spec = problem.cases[load.case]
    planning = sketch.planning_g(problem, load)
    return Piece(
        case=spec.case.name,
        route=Route(load.route),
        empty_g=spec.case.empty_g,
        contents_g=planning - spec.tare_g,
        planning_g=planning,
        contents=_placed(problem, load, numbers, space, effort) + _loose(problem, load, numbers),
    )


def _placed(
    problem: Problem, load: Load, numbers: dict[int, list[int]], space: Space, effort: int
) -> tuple[Packed, ...]:
    """Rigid units in a box, in the order in which they can be lowered in."""
    rigid = space.rigid(load.counts)
    inside = problem.cases[load.case].case.inside
    fit = space.check(load.case, load.counts)
    if not rigid or inside is None:
        return ()
    if fit.places is None:
        raise AssertionError(f"no places for {problem.cases[load.case].case.name}")
    units = [(line, number) for line, _ in rigid for number in numbers[line]]
    places, order = _arranged(problem, space, load, fit.places, effort)
    return tuple(
        Packed(problem.lines[units[k][0]].gear.name, units[k][1], places[k]) for k in order
    )


def _arranged(
    problem: Problem, space: Space, load: Load, places: tuple[Place, ...], effort: int
) -> tuple[tuple[Place, ...], tuple[int, ...]]:
    inside = problem.cases[load.case].case.inside
    if inside is None:
        raise AssertionError("only boxes are arranged")
    items = space.units(space.rigid(load.counts))
    clearance = problem.trip.clearance_mm
    done = arrange(inside.sides, items, clearance, places, effort=effort)
    return done.places, done.order


def _loose(problem: Problem, load: Load, numbers: dict[int, list[int]]) -> tuple[Packed, ...]:
    """Units without a place: racks (heavy first, to go low), slots, soft goods."""
    lines = [line for line, _ in load.counts if not problem.lines[line].is_boxed]
    lines.sort(key=lambda i: (-problem.lines[i].gear.weight_g, i))
    return tuple(
        Packed(problem.lines[line].gear.name, number) for line in lines for number in numbers[line]
    )


def _decisions(problem: Problem, found: Sketch, coverer: Coverer) -> tuple[Decision, ...]:
    flown = found.flown(len(problem.lines))
    cover = coverer.cover(flown)
    rows = [grouped(stop.covered, lambda row: row.line) for stop in cover.stops]
    return tuple(
        Decision(
            line.gear.name,
            flown[line.index],
            tuple(
                row
                for hire, of_line in zip(problem.hires, rows, strict=True)
                for row in _covers(problem, hire.stop, of_line.get(line.index, ()))
            ),
        )
        for line in problem.lines
    )


def _covers(problem: Problem, stop: str, covered: Sequence[Covered]) -> list[Cover]:
    offers = problem.trip.offers
    return [
        Cover(stop, offers[row.offer].supplier, offers[row.offer].target, row.units, row.cost_minor)
        for row in covered
    ]
