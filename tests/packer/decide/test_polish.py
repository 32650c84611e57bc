"""Among equals the better plan: near an earlier one, then few pieces, light ones, most room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from random import Random

import pytest
from support.by_hand import LIMITS, crate, price, thing, trip_of
from support.searches import POSSIBLE, plan_from, search_of
from support.trips import generate

from packer.decide import decide
from packer.decide.cover import Coverer
from packer.decide.polish import old_homes, polish, sketch_of_plan
from packer.decide.problem import Problem, build
from packer.decide.sketch import Sketch, costs, sketch_of
from packer.judge import judge
from packer.model.plan import Plan, Route, Status
from packer.model.solving import Wishes
from packer.model.trip import Choice, Trip

MOST_G = 32_000  # of the rule by piece


def planned(trip: Trip, **wishes: object) -> Plan:
    """The plan under these wishes, proved and judged."""
    plan = decide(trip, LIMITS, Wishes(**wishes)).plan  # type: ignore[arg-type]
    assert plan is not None
    assert judge(trip, plan).breaches == ()
    return plan


def rank(plan: Plan) -> tuple[int, int, int]:
    """Contract 5.14, from the plan as written: pieces, grams above 23 kg, least room reversed."""
    over = sum(max(0, piece.planning_g - 23_000) for piece in plan.pieces)
    room = min((MOST_G - piece.planning_g for piece in plan.pieces), default=10**9)
    return len(plan.pieces), over, -room


def homes(plan: Plan) -> set[tuple[str, int, str]]:
    """Which unit is in which case."""
    return {(p.gear, p.unit, piece.case) for piece in plan.pieces for p in piece.contents}


def random_trip(seed: int) -> Trip:
    """Up to five units and three crates of several weights, places to spare, many ties."""
    rng = Random(seed)
    lines = [
        thing(f"L{n}", rng.randint(1, 2), rng.randint(2, 26) * 500,
              choice=rng.choice((Choice.FLY, Choice.EITHER)))
        for n in range(3)
    ]  # fmt: skip
    cases = [crate(f"C{n}", empty_g=rng.choice((2_000, 2_000, 5_000))) for n in range(3)]
    offers = tuple(price(line.name, rng.choice((0, 1000, 4000, 5000))) for line in lines)
    rule = replace(trip_of([], []).rules[0], extra_minor=(0, 0, rng.choice((0, 3000))))
    return trip_of(lines, cases, offers=offers, rules=(rule,))


def every_sketch(problem: Problem) -> Iterator[Sketch]:
    """Every way to put units in crates or leave them, by weight."""
    units = [line.index for line in problem.lines for _ in range(line.most)]
    for where in product((None, *range(len(problem.cases))), repeat=len(units)):
        loads: dict[int, tuple[Route, dict[int, int]]] = {}
        for line, case in zip(units, where, strict=True):
            if case is not None:
                counts = loads.setdefault(case, (Route.HOLD, {}))[1]
                counts[line] = counts.get(line, 0) + 1
        found = sketch_of(loads)
        flown = found.flown(len(problem.lines))
        enough = all(flown[line.index] >= line.least for line in problem.lines)
        if enough and all(
            _weight(problem, load.case, load.counts) <= MOST_G for load in found.loads
        ):
            yield found


def _weight(problem: Problem, case: int, counts: tuple[tuple[int, int], ...]) -> int:
    contents = sum(n * problem.lines[i].gear.weight_g for i, n in counts)
    return problem.cases[case].case.empty_g + problem.trip.scale_margin_g + contents


def sketch_rank(problem: Problem, coverer: Coverer, found: Sketch) -> tuple[int, int, int, int]:
    """Objective first, then as the contract ranks equals."""
    weights = [_weight(problem, load.case, load.counts) for load in found.loads]
    over = sum(max(0, weight - 23_000) for weight in weights)
    room = MOST_G - max(weights, default=MOST_G - 10**9)
    return costs(problem, found, coverer).objective_minor, len(weights), over, -room


@pytest.mark.parametrize("seed", range(12))
def test_no_equal_plan_is_better_by_trial(seed: int) -> None:
    """Of all ways to pack a tiny trip none has the same objective and a better rank."""
    trip = random_trip(seed)
    problem = build(trip, Wishes())
    if any(line.least > line.most for line in problem.lines):
        pytest.fail(f"seed {seed} makes a trip without a plan")
    coverer = Coverer(trip, problem.hires)
    best = min(sketch_rank(problem, coverer, found) for found in every_sketch(problem))
    plan = planned(trip)
    assert (plan.objective_minor, *rank(plan)) == best


def test_fewer_pieces_come_before_less_weight_above_23_kg() -> None:
    """Pieces and bands free of charge: 5 x 5 kg in one crate at 29.5 kg, not in two."""
    rule = replace(trip_of([], []).rules[0], extra_minor=(0, 0, 0), free_weight_g=32_000, bands=())
    trip = trip_of([thing("A", 5, choice=Choice.FLY)], [crate("C"), crate("D")], rules=(rule,))
    assert rank(planned(trip)) == (1, 6_500, -2_500)


def test_less_weight_above_23_kg_then_more_room() -> None:
    """Seven of 5 kg need two crates of 4.5 kg: four and three, 24.5 and 19.5 kg, 1.5 kg above;
    of two crates for one, the lighter leaves more room."""
    rule = replace(trip_of([], []).rules[0], extra_minor=(0, 0, 0), free_weight_g=32_000, bands=())
    lines = [thing("A", 7, choice=Choice.FLY)]
    trip = trip_of(lines, [crate("C"), crate("D")], rules=(rule,))
    assert rank(planned(trip)) == (2, 1_500, -7_500)
    lighter = trip_of([thing("A", choice=Choice.FLY)], [crate("C"), crate("D", empty_g=3_000)],
                      rules=(rule,))  # fmt: skip
    assert [piece.case for piece in planned(lighter).pieces] == ["D"]


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_to_keep_a_best_plan_moves_nothing_and_costs_the_same(flavour: str) -> None:
    """Every unit of the earlier plan stays in its case under its number."""
    trip = generate(flavour, "compact", 2)
    before = planned(trip)
    assert before.status is Status.OPTIMAL
    after = planned(trip, keep=before)
    assert after.objective_minor == before.objective_minor
    assert homes(after) == homes(before)


def test_an_equal_plan_in_other_cases_is_kept_as_it_is() -> None:
    """Six things by hand in the second and third of three like crates."""
    trip = trip_of([thing("A", 6, choice=Choice.FLY)], [crate(f"C{n}") for n in range(3)])
    problem = build(trip, Wishes())
    by_hand = sketch_of({1: (Route.HOLD, {0: 3}), 2: (Route.HOLD, {0: 3})})
    before = plan_from(problem, by_hand)
    after = planned(trip, keep=before)
    assert after.objective_minor == before.objective_minor == 11_000
    assert homes(after) == homes(before)


@pytest.mark.parametrize(("slack", "moved"), [(0, 2), (1_999, 2), (2_000, 0)])
def test_slack_buys_fewer_moves(slack: int, moved: int) -> None:
    """Two in the crate that pays 20.00 for its size: as long as that is too much they move."""
    rule = replace(trip_of([], []).rules[0], free_linear_mm=760, oversize_minor=2000)
    wide = crate("WIDE")
    wide = replace(wide, outside=replace(wide.outside, length_mm=300))
    trip = trip_of([thing("A", 2, choice=Choice.FLY)], [crate("C"), wide], rules=(rule,))
    before = plan_from(build(trip, Wishes()), sketch_of({1: (Route.HOLD, {0: 2})}))
    after = planned(trip, keep=before, keep_slack_minor=slack)
    assert len(homes(after) - homes(before)) == moved
    assert after.objective_minor == (7000 if moved == 0 else 5000)


def test_an_earlier_plan_of_another_trip_is_no_plan_of_this_one() -> None:
    """What the trip does not know is left out; weights that no longer hold are refused."""
    cases = [crate("C")]
    trip = trip_of([thing("A", 2)], cases)
    before = plan_from(build(trip, Wishes()), sketch_of({0: (Route.HOLD, {0: 2})}))
    assert sketch_of_plan(build(trip, Wishes()), before) is not None
    heavier = build(trip_of([thing("A", 2, 20_000)], cases), Wishes())
    assert sketch_of_plan(heavier, before) is None
    other = build(trip_of([thing("B", 2)], cases), Wishes())
    assert old_homes(other, before) == {}


def test_without_a_plan_there_is_nothing_to_polish() -> None:
    """A search that has found nothing."""
    assert polish(search_of(trip_of([thing("A")], [crate("C")])), None, 0) is None
