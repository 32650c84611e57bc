"""The joint model: a bound of the exact optimum, its solutions whole, its cuts and hints kept."""

from __future__ import annotations

from dataclasses import replace

import pytest
from ortools.sat.python import cp_model
from support.by_hand import OUT, crate, price, rack, thing, trip_of, vault
from support.oracle import best_objective
from support.searches import POSSIBLE, solved
from support.trips import generate

from packer.decide.cover import Coverer
from packer.decide.cuts import Cut
from packer.decide.joint import JointModel, build_joint, most_in_case
from packer.decide.problem import build
from packer.decide.rows import SpaceRow
from packer.decide.sketch import Sketch, costs, sketch_of
from packer.model.plan import Route
from packer.model.solving import Wishes
from packer.model.trip import Box, Choice, Trip


def optimum(trip: Trip, *, ordered: bool = True) -> int | None:
    """The least objective without regard to places; None where there is no answer."""
    solver = solved(build_joint(build(trip, Wishes()), ordered=ordered).model)
    return None if solver is None else round(solver.objective_value)


def answer(joint: JointModel) -> tuple[int, Sketch]:
    """The optimum and the sketch that it stands for."""
    solver = solved(joint.model)
    assert solver is not None
    return round(solver.objective_value), joint.sketch(solver)


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_optimum_is_no_more_than_the_exact_one_and_priced_like_a_plan(flavour: str) -> None:
    """The model knows all but places; what it says of money is what the sketch costs."""
    for seed in range(2):
        trip = generate(flavour, "tiny", seed)
        problem = build(trip, Wishes())
        least, found = answer(build_joint(problem))
        money = costs(problem, found, Coverer(trip, problem.hires))
        best = best_objective(trip)
        assert best is not None
        assert money.objective_minor == least <= best
        assert optimum(trip, ordered=False) == money.objective_minor


def test_weight_decides_between_one_piece_and_two() -> None:
    """4 x 5 kg: one piece at 50.00 + 40.00, less than two at 110.00; where nothing is hired."""
    trip = trip_of([thing("A", 4)], [crate("C"), crate("D")])
    assert optimum(trip) == 9000


def test_hiring_is_taken_where_it_is_cheaper() -> None:
    """12.00 a unit at one stop against a piece at 50.00."""
    trip = trip_of([thing("A", 4)], [crate("C")], offers=(price("A", 1200),))
    assert optimum(trip) == 4800


def test_no_room_by_weight_is_no_answer() -> None:
    """Six of 5 kg do not fit the 27.5 kg that one crate may hold."""
    assert optimum(trip_of([thing("A", 6, choice=Choice.FLY)], [crate("C")])) is None


def test_a_cut_holds_in_the_cases_it_names() -> None:
    """No two in the first crate; the second takes both."""
    problem = build(trip_of([thing("A", 2)], [crate("C"), crate("D", empty_g=4_001)]), Wishes())
    joint = build_joint(problem)
    joint.forbid(Cut(((frozenset({0}), 2),), (0,), proved=True))
    assert answer(joint)[1] == sketch_of({1: (Route.HOLD, {0: 2})})
    joint.forbid(Cut(((frozenset({0}), 2),), (0, 1), proved=True))
    assert answer(joint)[0] == 11_000


def test_a_space_row_holds_in_every_box_of_its_size() -> None:
    """One unit to a box of that inside size: two pieces at 110.00."""
    trip = trip_of([thing("A", 2)], [crate("C"), crate("D")])
    joint = build_joint(build(trip, Wishes()))
    joint.limit_space(SpaceRow((999, 210, 210), ((0, 1),), 1))
    assert answer(joint)[0] == 5000
    joint.limit_space(SpaceRow((210, 210, 210), ((0, 1),), 1))
    assert answer(joint)[0] == 11_000


def test_a_known_plan_is_a_complete_hint() -> None:
    """Fixed to its hints the model keeps the plan."""
    trip = trip_of([thing("A", 2)], [crate("C"), crate("D")])
    known = sketch_of({0: (Route.HOLD, {0: 1}), 1: (Route.HOLD, {0: 1})})
    joint = build_joint(build(trip, Wishes()))
    joint.hint(known)
    solver = cp_model.CpSolver()
    solver.parameters.fix_variables_to_their_hinted_value = True
    assert solver.solve(joint.model) == cp_model.OPTIMAL
    assert joint.sketch(solver) == known


@pytest.mark.parametrize(
    ("line", "case", "most"),
    [
        (thing("A", 40), crate("C"), 5),  # 27.5 kg at 5 kg
        (thing("A", 40, 100), crate("C"), 8),  # 9,261,000 mm3 at 105^3
        (thing("A", 40, 100, soft=True), crate("C"), 7),  # 85 % of it at 10^6
        (thing("A", 3, 100), crate("C"), 3),
        (thing("A", 40, 0, rack_half_units=3, depth_mm=1), rack("R"), 2),
        (thing("A", 40, 0, slot="neck"), vault("V", 4), 4),
        (thing("A", 7, 100, role="Voice", role_needs=5), crate("C"), 2),
    ],
)
def test_most_units_of_a_line_in_one_case(line, case, most) -> None:
    """Weight, volume, soft share, quantity, rack units, slots, one case lost."""
    problem = build(trip_of([line], [case]), Wishes())
    assert most_in_case(problem, problem.lines[0], problem.cases[0]) == most


def test_weight_rules_charge_kilograms_begun() -> None:
    """8 x 5 + 2 x 4.5 kg are 49 kg: 9 beyond 40 kg at 10.00; in two crates, as one is full."""
    wide = Box(400, 210, 210)
    trip = trip_of([thing("A", 8)], [crate("C", wide), crate("D", wide)],
                   legs=(replace(OUT, rule="By weight"),))  # fmt: skip
    assert optimum(trip) == 9000
