"""From a sketch to a plan: unit numbers, an order of packing from the bottom, covers, sums."""

from __future__ import annotations

import pytest
from support.by_hand import LIMITS, crate, price, rack, thing, trip_of
from support.packing import above
from support.searches import POSSIBLE, plan_from
from support.trips import generate

from packer.decide import decide
from packer.decide.cover import Coverer
from packer.decide.finish import Effort, plan_of, unit_numbers
from packer.decide.problem import Problem, build
from packer.decide.sketch import sketch_of
from packer.decide.space import Space
from packer.judge import judge
from packer.model.plan import Cover, Decision, Route, Status
from packer.model.solving import Wishes
from packer.model.trip import Box, Choice


def crates(count: int, units: int, weight_g: int = 1_000) -> Problem:
    """One line of so many units, so many like crates."""
    lines = [thing("A", units, weight_g)]
    cases = [crate(f"C{n}") for n in range(count)]
    return build(trip_of(lines, cases, offers=(price("A", 1200),)), Wishes())


def test_units_are_numbered_from_the_lowest() -> None:
    """Two in the first crate, one in the third."""
    found = sketch_of({0: (Route.HOLD, {0: 2}), 2: (Route.HOLD, {0: 1})})
    assert unit_numbers(crates(3, 5), found, None) == {(0, 0): [1, 2], (0, 2): [3]}


def test_units_that_stay_in_their_case_keep_their_numbers() -> None:
    """Units 1 and 2 were in the first crate, 3 in the second; now the other way about in number:
    one stays in each, and the unit that is new in the second takes the number left free."""
    problem = crates(2, 3)
    before = plan_from(problem, sketch_of({0: (Route.HOLD, {0: 2}), 1: (Route.HOLD, {0: 1})}))
    after = sketch_of({0: (Route.HOLD, {0: 1}), 1: (Route.HOLD, {0: 2})})
    assert unit_numbers(problem, after, before) == {(0, 0): [1], (0, 1): [2, 3]}


def test_numbers_above_the_quantity_are_forgotten() -> None:
    """The earlier trip had five, now there are two."""
    before = plan_from(crates(1, 5), sketch_of({0: (Route.HOLD, {0: 5})}))
    found = sketch_of({0: (Route.HOLD, {0: 2})})
    assert unit_numbers(crates(1, 2), found, before) == {(0, 0): [1, 2]}


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_contents_can_be_lowered_in_as_they_are_listed(flavour: str) -> None:
    """Nothing listed earlier lies above a later one; the first stands on the floor."""
    trip = generate(flavour, "compact", 6)
    plan = decide(trip, LIMITS).plan
    assert plan is not None
    assert judge(trip, plan).breaches == ()
    for piece in plan.pieces:
        places = [packed.place for packed in piece.contents if packed.place is not None]
        assert not places or places[0].at_mm[2] == 0
        for k in range(len(places)):
            assert all(m > k for m in above(places, k))


def test_heavy_rack_gear_is_listed_first_and_soft_goods_last() -> None:
    """It goes low; soft goods fill what the rigid ones leave."""
    lines = [thing("LIGHT", 1, 1_000, rack_half_units=2, depth_mm=300),
             thing("HEAVY", 1, 9_000, rack_half_units=2, depth_mm=300),
             thing("SOFT", 1, 9_000, soft=True), thing("RIGID", 1, 100)]  # fmt: skip
    problem = build(trip_of(lines, [rack("K"), crate("C")]), Wishes())
    found = sketch_of({0: (Route.HOLD, {0: 1, 1: 1}), 1: (Route.HOLD, {2: 1, 3: 1})})
    plan = plan_from(problem, found)
    assert [[p.gear for p in piece.contents] for piece in plan.pieces] == [
        ["HEAVY", "LIGHT"], ["RIGID", "SOFT"],
    ]  # fmt: skip


def test_weights_of_a_piece_add_up() -> None:
    """4 kg empty, 2 kg inside, 0.5 kg margin."""
    [piece] = plan_from(crates(1, 2), sketch_of({0: (Route.HOLD, {0: 2})})).pieces
    assert (piece.empty_g, piece.contents_g, piece.planning_g) == (4_000, 2_000, 6_500)


def test_decisions_say_what_covers_the_rest() -> None:
    """Two of five fly, three are hired at 12.00 each."""
    plan = plan_from(crates(1, 5), sketch_of({0: (Route.HOLD, {0: 2})}))
    assert plan.decisions == (
        Decision("A", 2, (Cover("Quay", "Reed Hire", "A", 3, 3600),)),
    )  # fmt: skip
    assert (plan.costs.hire_minor, plan.costs.baggage_minor) == (3600, 5000)


def test_a_kit_stands_under_its_name_with_its_price_once() -> None:
    """Contract 5.15: on the first line by row."""
    lines = [thing("A", 2, kit="K", choice=Choice.HIRE), thing("B", kit="K", choice=Choice.HIRE)]
    trip = trip_of(lines, [], offers=(price("K", 4000, is_kit=True),))
    plan = plan_from(build(trip, Wishes()), sketch_of({}))
    assert [d.covers for d in plan.decisions] == [
        (Cover("Quay", "Reed Hire", "K", 2, 4000),), (Cover("Quay", "Reed Hire", "K", 1, 0),),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("bound", "status", "stated"),
    [(0, Status.FEASIBLE, 0), (4_999, Status.FEASIBLE, 4_999), (5_000, Status.OPTIMAL, 5_000),
     (9_999, Status.OPTIMAL, 5_000)],
)  # fmt: skip
def test_a_plan_is_optimal_where_it_costs_its_bound(bound, status, stated) -> None:
    """And the bound is never stated above the objective."""
    problem = crates(1, 2)
    found = sketch_of({0: (Route.HOLD, {0: 2})})
    plan = plan_of(problem, found, Space(problem), Coverer(problem.trip, problem.hires), bound,
                   LIMITS, Effort(1.5, 0.25))  # fmt: skip
    assert (plan.status, plan.bound_minor) == (status, stated)
    assert (plan.solver.seconds, plan.solver.deterministic) == (1.5, 0.25)


def test_a_load_without_places_is_a_fault_and_no_plan() -> None:
    """Two of 110 mm in a crate of 210 mm."""
    lines = [thing("A", 2, 100, size=Box(110, 110, 110))]
    problem = build(trip_of(lines, [crate("C")]), Wishes())
    with pytest.raises(AssertionError, match="no places for C"):
        plan_from(problem, sketch_of({0: (Route.HOLD, {0: 2})}))
