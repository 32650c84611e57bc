"""The best choices for one case: places and roles count, and no answer is too low."""

from __future__ import annotations

from itertools import product

import pytest
from support.by_hand import crate, rack, thing, trip_of
from support.searches import POSSIBLE
from support.trips import generate

from packer.decide.problem import Problem, build
from packer.decide.rows import SpaceRow
from packer.decide.space import Space
from packer.decide.stowing import Ground, Stower
from packer.geometry import Verdict
from packer.geometry.spaces import as_ints
from packer.model.solving import Wishes
from packer.model.trip import Box, Gear


def stower_of(lines: list[Gear], room_g: int = 50_000) -> tuple[Ground, Stower]:
    """For one crate, 210 mm on each side, that takes so much."""
    problem = build(trip_of(lines, [crate("C"), rack("R")]), Wishes())
    ground = Ground(problem, Space(problem), [])
    most = [line.most for line in problem.lines]
    return ground, Stower(ground, problem.cases[0], problem.lines, most, [room_g, room_g // 2])


def test_two_that_do_not_lie_beside_each_other_are_never_both_chosen() -> None:
    """Cubes of 110 mm in 210 mm: one of A and B, known before anything is asked, and C."""
    size = Box(110, 110, 110)
    lines = [thing("A", 1, 100, size=size), thing("B", 1, 100, size=size),
             thing("C", 1, 100, size=Box(20, 20, 20))]  # fmt: skip
    ground, stower = stower_of(lines)
    assert len(ground.cuts) == 1
    answer = stower.best(as_ints([5, 7, 1]), 0)
    assert answer is not None
    assert (answer[0], answer[1].tolist()) == (8, [0, 1, 1])


def test_what_geometry_refuses_is_learned() -> None:
    """Of nine plates of 200 x 200 x 40 mm four are 180 mm high; a fifth does not go in."""
    ground, stower = stower_of([thing("PLATE", 9, 100, size=Box(200, 200, 40))])
    answer = stower.best(as_ints([3]), 0)
    assert answer is not None
    assert answer[0] == 12
    assert ground.spent > 0


def test_a_lighter_room_takes_less() -> None:
    """Kinds of case differ in weight: 50 kg take eight cubes of 5 kg, 25 kg take five."""
    _, stower = stower_of([thing("A", 9, 5_000)])
    worths = [stower.best(as_ints([1]), kind) for kind in (0, 1)]
    assert [worth[0] for worth in worths if worth] == [8, 5]


def test_what_is_given_stays_and_the_floor_is_kept() -> None:
    """Two given of the cheap leave six for the dear; nothing is worth more than the floor."""
    _, stower = stower_of([thing("A", 9, 100), thing("B", 9, 100)])
    answer = stower.best(as_ints([5, 1]), 0, [0, 2])
    assert answer is not None
    assert (answer[0], answer[1].tolist()) == (32, [6, 2])
    answer = stower.best(as_ints([5, 1]), 0, [0, 2], 32)
    assert answer is not None
    assert (answer[0], answer[1].tolist()) == (32, [0, 0])


def test_rows_learned_later_are_read() -> None:
    """A row of space that lets four in, though eight would have places."""
    ground, stower = stower_of([thing("A", 9, 100)])
    ground.rows.append(SpaceRow((210, 210, 210), ((0, 2),), 8))
    answer = stower.best(as_ints([1]), 0)
    assert answer is not None
    assert answer[0] == 4


def test_one_case_takes_no_more_of_a_role_than_may_be_lost() -> None:
    """Three of a role of which one is needed: two in any one case at most."""
    _, stower = stower_of([thing("A", 3, 100, role="keys", role_needs=1)])
    answer = stower.best(as_ints([1]), 0)
    assert answer is not None
    assert answer[0] == 2


def test_no_answer_when_time_is_over() -> None:
    """The work ends as soon as it is told to."""
    ground, stower = stower_of([thing("A", 9, 100)])
    ground.over = lambda: True
    assert stower.best(as_ints([1]), 0) is None


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_nothing_that_goes_in_is_worth_more(flavour: str) -> None:
    """Random prices on tiny trips, against every content of every box that has places."""
    problem = build(generate(flavour, "tiny", 3), Wishes())
    for spec in problem.cases:
        lines = [i for i in problem.lines if spec.index in i.cases and i.most]
        if not lines:
            continue
        ground = Ground(problem, Space(problem), [])
        most = [line.most for line in lines]
        stower = Stower(ground, spec, lines, most, [spec.most_content_g])
        for prices in ([3 + 7 * k % 5 for k in range(len(lines))], [1] * len(lines)):
            answer = stower.best(as_ints(prices), 0)
            assert answer is not None
            best = max(
                sum(n * p for n, p in zip(units, prices, strict=True))
                for units in product(*(range(n + 1) for n in most))
                if goes_in(problem, ground.space, spec.index, [line.index for line in lines], units)
            )
            assert answer[0] >= best


def goes_in(
    problem: Problem, space: Space, case: int, lines: list[int], units: tuple[int, ...]
) -> bool:
    """True if these units have places in the case and weigh no more than it takes."""
    counts = [(i, n) for i, n in zip(lines, units, strict=True) if n]
    weight_g = sum(n * problem.lines[i].gear.weight_g for i, n in counts)
    if weight_g > problem.cases[case].most_content_g:
        return False
    spec = problem.cases[case].case
    halves = sum(n * (problem.lines[i].gear.rack_half_units or 0) for i, n in counts)
    if spec.rack_half_units is not None and halves > spec.rack_half_units:
        return False
    if spec.slots is not None and sum(n for _, n in counts) > spec.slots:
        return False
    soft = sum(n * problem.lines[i].soft_mm3 for i, n in counts)
    own = sum(n * problem.lines[i].own_mm3 for i, n in counts)
    if soft and 100 * soft > 85 * (problem.cases[case].volume_mm3 - own):
        return False
    roles = all(
        sum(n for i, n in counts if i in cap.lines) <= cap.base
        for cap in problem.roles
        if not cap.swing
    )
    return roles and space.check(case, counts).verdict is Verdict.YES
