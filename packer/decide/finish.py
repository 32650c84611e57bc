"""From a sketch to a plan: unit numbers, places, packing order, covers, charges, sums."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import version

import packer
from packer.decide import airline, sketch
from packer.decide.cover import Coverer, StopCover
from packer.decide.problem import Problem
from packer.decide.sketch import Load, Sketch
from packer.decide.space import Space
from packer.geometry import arrange
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


@dataclass(frozen=True, slots=True)
class Effort:
    """How long it took: seconds by the clock, and the solver's own count of work."""

    seconds: float
    deterministic: float


def plan_of(
    problem: Problem,
    found: Sketch,
    space: Space,
    coverer: Coverer,
    bound_minor: int,
    limits: Limits,
    effort: Effort,
) -> Plan:
    """The plan that a sketch stands for; `optimal` where its cost equals the proved bound."""
    costs = sketch.costs(problem, found, coverer)
    pieces = _pieces(problem, found, space)
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


def _pieces(problem: Problem, found: Sketch, space: Space) -> tuple[Piece, ...]:
    given = [0] * len(problem.lines)
    pieces: list[Piece] = []
    for load in found.loads:
        numbers: dict[int, list[int]] = {}
        for line, count in load.counts:
            numbers[line] = list(range(given[line] + 1, given[line] + count + 1))
            given[line] += count
        pieces.append(_piece(problem, load, numbers, space))
    return tuple(pieces)


def _piece(problem: Problem, load: Load, numbers: dict[int, list[int]], space: Space) -> Piece:
    spec = problem.cases[load.case]
    planning = sketch.planning_g(problem, load)
    return Piece(
        case=spec.case.name,
        route=Route(load.route),
        empty_g=spec.case.empty_g,
        contents_g=planning - spec.tare_g,
        planning_g=planning,
        contents=_placed(problem, load, numbers, space) + _loose(problem, load, numbers),
    )


def _placed(
    problem: Problem, load: Load, numbers: dict[int, list[int]], space: Space
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
    places, order = _arranged(problem, space, load, fit.places)
    return tuple(
        Packed(problem.lines[units[k][0]].gear.name, units[k][1], places[k]) for k in order
    )


def _arranged(
    problem: Problem, space: Space, load: Load, places: tuple[Place, ...]
) -> tuple[tuple[Place, ...], tuple[int, ...]]:
    inside = problem.cases[load.case].case.inside
    if inside is None:
        raise AssertionError("only boxes are arranged")
    items = space.units(space.rigid(load.counts))
    done = arrange(inside.sides, items, problem.trip.clearance_mm, places)
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
    return tuple(
        Decision(
            line.gear.name,
            flown[line.index],
            tuple(
                row
                for hire, stop in zip(problem.hires, cover.stops, strict=True)
                for row in _covers(problem, hire.stop, stop, line.index)
            ),
        )
        for line in problem.lines
    )


def _covers(problem: Problem, stop: str, cover: StopCover, line: int) -> list[Cover]:
    offers = problem.trip.offers
    return [
        Cover(stop, offers[row.offer].supplier, offers[row.offer].target, row.units, row.cost_minor)
        for row in cover.covered
        if row.line == line
    ]
