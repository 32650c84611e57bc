"""A plan in the solver's terms, and what it costs."""

from support.by_hand import crate, thing, trip_of
from support.worked import worked_plan, worked_trip

from packer.decide.cover import Coverer
from packer.decide.estimate import sketch_of_plan
from packer.decide.problem import build
from packer.decide.sketch import (
    Load,
    Sketch,
    baggage_minor,
    canonical,
    costs,
    freight_cost_minor,
    planning_g,
    sketch_of,
)
from packer.model.plan import Route
from packer.model.plan_json import plan_from_json
from packer.model.solving import Wishes


def test_a_sketch_leaves_empty_cases_and_lines_at_home() -> None:
    """Loads by case, units by line."""
    found = sketch_of({2: (Route.HOLD, {1: 2, 0: 1, 3: 0}), 1: (Route.HOLD, {0: 0}), 0: (
        Route.CABIN, {0: 4})})  # fmt: skip
    assert [load.case for load in found.loads] == [0, 2]
    assert found.loads[1].counts == ((0, 1), (1, 2))
    assert found.flown(4) == (5, 2, 0, 0)
    assert (found.loads[1].units_of(1), found.loads[1].units_of(3)) == (2, 0)


def test_identical_cases_are_filled_heaviest_first() -> None:
    """The second and third of three like crates become the first two, heavier first."""
    problem = build(trip_of([thing("A", 9)], [crate(f"C{n}") for n in range(3)]), Wishes())
    found = sketch_of({1: (Route.HOLD, {0: 1}), 2: (Route.HOLD, {0: 3})})
    same = canonical(problem, found)
    assert same == sketch_of({0: (Route.HOLD, {0: 3}), 1: (Route.HOLD, {0: 1})})
    assert [planning_g(problem, load) for load in same.loads] == [19_500, 9_500]


def test_money_of_the_worked_plan_is_as_worked_by_hand() -> None:
    """Baggage, freight and worth to the cent; hire and deliveries no dearer than by hand."""
    trip, plan = worked_trip(), plan_from_json(worked_plan())
    problem = build(trip, Wishes())
    found = costs(problem, sketch_of_plan(problem, plan), Coverer(trip, problem.hires))
    assert found.baggage_minor == 95_000
    assert found.freight_minor == 9188
    assert found.worth_minor == 3600
    assert found.hire_minor + found.delivery_minor <= 16_800 + 10_500


def test_nothing_costs_nothing() -> None:
    """No load, no charge, no freight."""
    problem = build(trip_of([], [crate("C")]), Wishes())
    assert baggage_minor(problem, Sketch(())) == freight_cost_minor(problem, Sketch(())) == 0


def test_what_stays_gives_up_its_worth() -> None:
    """One of three flies: two at 7.00."""
    trip = trip_of([thing("A", 3, worth_minor=700)], [crate("C")])
    problem = build(trip, Wishes())
    found = Sketch((Load(0, Route.HOLD, ((0, 1),)),))
    assert costs(problem, found, Coverer(trip, problem.hires)).worth_minor == 1400
