"""The search keeps the best plan and the best bound; the joint model with cuts proves the rest."""

from __future__ import annotations

import pytest
from support.by_hand import LIMITS, crate, thing, trip_of
from support.oracle import best_objective
from support.searches import plan_from, search_of
from support.trips import FLAVOURS, generate

from packer.decide.cuts import Cut
from packer.decide.problem import build
from packer.decide.rows import SpaceRow
from packer.decide.search import Search, solve_joint, whole_minor
from packer.decide.sketch import sketch_of
from packer.decide.watch import Watch
from packer.judge import judge
from packer.model.plan import Route
from packer.model.solving import Progress, Wishes
from packer.model.trip import Box, Choice

TWO = sketch_of({0: (Route.HOLD, {0: 1}), 1: (Route.HOLD, {0: 1})})
ONE = sketch_of({0: (Route.HOLD, {0: 2})})


def two_crates() -> Search:
    """Two things of 5 kg and two crates: one piece costs 50.00, two 110.00."""
    return search_of(trip_of([thing("A", 2)], [crate("C"), crate("D")]))


def test_only_cheaper_plans_that_fit_are_taken() -> None:
    """110.00, then 50.00, then 110.00 again; nine cubes in the room of eight never."""
    search = two_crates()
    assert search.offer(TWO, "by hand")
    assert search.offer(ONE, "by hand")
    assert not search.offer(TWO, "by hand")
    assert (search.best, search.best_minor) == (ONE, 5000)
    light = search_of(trip_of([thing("A", 9, 100)], [crate("C")]))
    overfull = sketch_of({0: (Route.HOLD, {0: 9})})
    assert not light.offer(overfull, "by hand")
    assert light.worth(overfull) == float("inf")


def test_the_bound_only_rises_and_proves_where_it_meets_the_best() -> None:
    """30.00, not 20.00, then 50.00."""
    search = two_crates()
    search.raise_bound(3000, "by hand")
    search.raise_bound(2000, "by hand")
    assert search.bound_minor == 3000
    search.offer(ONE, "by hand")
    assert not search.proved
    search.raise_bound(5000, "by hand")
    assert search.proved


def test_progress_tells_best_bound_and_doing() -> None:
    """Each news once, the bound never above the best."""
    news: list[Progress] = []
    problem = build(trip_of([thing("A", 2)], [crate("C")]), Wishes())
    search = Search(problem, Watch(LIMITS, lambda: False), news.append)
    search.raise_bound(4000, "counting")
    search.offer(ONE, "packing")
    search.raise_bound(9000, "proving")
    assert [(n.best_minor, n.bound_minor, n.doing) for n in news] == [
        (None, 4000, "counting"), (5000, 4000, "packing"), (5000, 5000, "proving"),
    ]  # fmt: skip


def test_rows_are_kept_once() -> None:
    """The second time is no news."""
    search, row = two_crates(), SpaceRow((210, 210, 210), ((0, 1),), 1)
    assert search.add_rows([row])
    assert not search.add_rows([row])
    assert search.rows == [row]


@pytest.mark.parametrize(
    ("bound", "minor"), [(99.2, 100), (100.0, 100), (100.000_000_1, 100), (100.01, 101), (0.0, 0)]
)
def test_a_bound_is_rounded_up_to_money_but_not_by_noise(bound: float, minor: int) -> None:
    """No plan costs a part of a cent."""
    assert whole_minor(bound) == minor


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_joint_model_alone_finds_and_proves_the_exact_optimum(flavour: str) -> None:
    """No start is given; what is impossible is called so."""
    for seed in (5, 6):
        trip = generate(flavour, "tiny", seed)
        search = search_of(trip)
        if any(line.least > line.most for line in search.problem.lines):
            assert best_objective(trip) is None
            continue
        solve_joint(search)
        best = best_objective(trip)
        assert search.impossible is (best is None)
        if best is not None:
            assert search.proved
            assert search.best_minor == search.bound_minor == best
            assert search.best is not None
            assert judge(trip, plan_from(search.problem, search.best)).breaches == ()


def test_geometry_teaches_the_model_that_a_second_case_is_needed() -> None:
    """110 and 112 mm stand in each other's way in 210 mm, though volume would let six in."""
    sides = {"A": 110, "B": 112}
    lines = [
        thing(name, 1, 100, size=Box(side, side, side), choice=Choice.FLY)
        for name, side in sides.items()
    ]
    search = search_of(trip_of(lines, [crate("C"), crate("D")]))
    solve_joint(search)
    assert (search.best_minor, search.bound_minor) == (11_000, 11_000)
    assert search.cuts or search.rows
    assert search.honest


def test_once_closed_nothing_changes_any_more() -> None:
    """Whatever a thread that was left behind may still find."""
    search = two_crates()
    search.offer(TWO, "by hand")
    search.raise_bound(3000, "by hand")
    cuts, rows = search.cuts, search.rows
    search.close()
    assert not search.offer(ONE, "too late")
    search.raise_bound(5000, "too late")
    search.add_cuts([Cut((), (0,), True)])
    cuts.append(Cut((), (0,), True))
    assert not search.add_rows([SpaceRow((500, 500, 500), ((0, 1),), 1)])
    rows.append(SpaceRow((500, 500, 500), ((0, 1),), 1))
    search.conclude_impossible()
    assert (search.best, search.bound_minor, search.impossible) == (TWO, 3000, False)
    assert (search.cuts, search.rows) == ([], [])
