"""Cases filled one parcel at a time: nothing that does not hold is ever taken in."""

from dataclasses import replace

import pytest
from support.by_hand import BY_PIECE, OUT, crate, rack, thing, trip_of, vault

from packer.decide.construct import Builder, open_cases, parcels_of
from packer.decide.problem import Problem, build
from packer.decide.sketch import sketch_of
from packer.decide.space import Space
from packer.model.plan import Route
from packer.model.solving import Wishes
from packer.model.trip import Box, Carry, Case, Gear

EFFORT = 4_000


def problem_of(lines: list[Gear], cases: list[Case], **more: object) -> Problem:
    """The problem without wishes."""
    return build(trip_of(lines, cases, **more), Wishes())


def builder_of(problem: Problem) -> Builder:
    """A builder for all that may fly."""
    return Builder(problem, Space(problem), [line.most for line in problem.lines], EFFORT)


@pytest.mark.parametrize(
    ("line", "case", "most"),
    [
        (thing("A", 9), crate("C"), 3),  # 23 - 4.5 kg take three of 5 kg
        (thing("A", 9, 100), crate("C"), 8),  # eight places
        (thing("A", 9, 100, soft=True), crate("C"), 7),  # 85 % of the inside
        (thing("A", 9, 100, rack_half_units=3, depth_mm=300), rack("K"), 2),
        (thing("A", 9, 100, slot="neck"), vault("V", 3), 3),
        (thing("A", 9, 100, role="Voice", role_needs=7), crate("C"), 2),
        (thing("A", 9, 100, only_in=("OTHER",)), crate("C"), 0),
    ],
)
def test_a_case_takes_as_many_as_hold(line: Gear, case: Case, most: int) -> None:
    """Weight by the first option, places, soft share, rack units, slots, roles, Only in."""
    problem = problem_of([line], [case, replace(case, name="OTHER", most_gross_g=1)])
    builder = builder_of(problem)
    opened = builder.open_case(0, problem.cases[0].options[0])
    assert sum(builder.add(opened, ((0, 1),)) for _ in range(9)) == most
    assert opened.counts == ({0: most} if most else {})
    assert opened.content_g == most * line.weight_g


def test_a_parcel_goes_in_whole_or_not_at_all() -> None:
    """Four of 5 kg at once are too heavy for 18.5 kg and leave nothing behind."""
    problem = problem_of([thing("A", 4)], [crate("C")])
    builder = builder_of(problem)
    opened = builder.open_case(0, problem.cases[0].options[0])
    assert not builder.add(opened, ((0, 4),))
    assert (opened.counts, opened.left_g) == ({}, 18_500)
    assert builder.add(opened, ((0, 3),))
    assert opened.left_g == 3_500


def test_cabin_pieces_are_counted_and_given_back() -> None:
    """One is free; once it is put back it may be opened again."""
    legs = (replace(OUT, free_cabin_pieces=1),)
    case = crate("C", carry=Carry.CABIN)
    problem = problem_of([thing("A")], [case, replace(case, name="D")], legs=legs)
    builder, option = builder_of(problem), problem.cases[0].options[0]
    assert option.route is Route.CABIN
    assert builder.may_open(option)
    builder.open_case(0, option)
    assert not builder.may_open(option)
    builder.close_empty(0)
    assert builder.may_open(option)


def test_cases_taken_over_are_copies() -> None:
    """What is added later is not in the original; what is taken out neither."""
    problem = problem_of([thing("A", 3)], [crate("C")])
    start = sketch_of({0: (Route.HOLD, {0: 1})})
    cases = open_cases(problem, start)
    builder = builder_of(problem)
    builder.adopt(cases)
    assert builder.add(builder.open[0], ((0, 1),))
    assert (builder.open[0].counts, cases[0].counts) == ({0: 2}, {0: 1})
    assert builder.sketch() == sketch_of({0: (Route.HOLD, {0: 2})})
    builder.replace(0, {})
    assert builder.open == {}


@pytest.mark.parametrize(("units", "cost"), [(3, 0), (4, 4000)])
def test_a_known_load_opens_by_its_cheapest_sufficient_option(units: int, cost: int) -> None:
    """19.5 kg goes free of overweight, 24.5 kg in the band."""
    problem = problem_of([thing("A", 4)], [crate("C")], rules=(BY_PIECE,))
    opened = open_cases(problem, sketch_of({0: (Route.HOLD, {0: units})}))[0]
    assert opened.ceiling.cost_minor == cost
    assert (opened.content_g, opened.own_mm3) == (units * 5_000, units * 1_000_000)


def test_parcels_come_hardest_first_and_bundles_whole() -> None:
    """Cabin gear first, then by the share of a case; a bundle is one parcel."""
    lines = [
        thing("SMALL", 2, 100, size=Box(10, 10, 10)),
        thing("HEAVY", 1, 15_000),
        thing("B1", 2, 2_000, pack_with="Brass"),
        thing("B2", 1, 1_000, pack_with="Brass"),
        thing("HAND", 1, 10, carry=Carry.CABIN),
    ]
    problem = problem_of(lines, [crate("C")])
    assert parcels_of(problem, [2, 1, 2, 1, 1]) == [
        ((4, 1),), ((1, 1),), ((2, 2), (3, 1)), ((0, 1),), ((0, 1),),
    ]  # fmt: skip
    assert parcels_of(problem, [0, 1, 0, 0, 0]) == [((1, 1),)]
