"""Sums of what must fly against what cases take: figures by hand, and never against an oracle."""

from __future__ import annotations

from dataclasses import replace

import pytest
from support.by_hand import OUT, crate, rack, thing, trip_of, vault
from support.oracle import best_objective
from support.searches import POSSIBLE, all_fly

from packer.decide.evident import evident
from packer.decide.problem import Problem, build
from packer.decide.sums import Overfull, fewest_cabin_pieces, overfull_around, shortages
from packer.model.solving import Wishes
from packer.model.trip import Carry, Case, Choice, Gear

FLY = {"choice": Choice.FLY}


def problem_of(lines: list[Gear], cases: list[Case], **more: object) -> Problem:
    """The problem without wishes."""
    return build(trip_of(lines, cases, **more), Wishes())


def missing(problem: Problem) -> list[tuple[tuple[int, ...], int, str, int]]:
    """(cases, how much too many, its unit, further cases) of each shortage."""
    found = shortages(problem).values()
    return [(over.cases, over.excess, over.unit, over.further) for over in found]


def test_slots_are_counted() -> None:
    """Seven for two vaults of two: three too many, two more vaults."""
    necks = thing("NECK", 7, 1_000, slot="neck", size=None, **FLY)
    problem = problem_of([necks], [vault("V-1", 2), vault("V-2", 2), crate("C")])
    assert missing(problem) == [((0, 1), 3, "slots", 2)]


def test_rack_units_are_counted_in_halves() -> None:
    """Three of 2.5 U in racks of 3 U and 4 U: 0.5 U too many, one more of the roomier."""
    amps = thing("AMP", 3, 1_000, rack_half_units=5, depth_mm=300, size=None, **FLY)
    problem = problem_of([amps], [rack("R-1", 6), rack("R-2", 8)])
    [over] = shortages(problem).values()
    assert (over.need, over.has, over.scale) == (15, 14, 2)
    assert (over.roomiest, over.further) == (1, 1)


def test_weight_is_added_up() -> None:
    """Three of 12 kg; 32 kg less 4 kg of crate and 0.5 kg of scale margin: 8.5 kg too many."""
    problem = problem_of([thing("LEAD", 3, 12_000, **FLY)], [crate("C")])
    assert missing(problem) == [((0,), 8_500, "kg", 1)]


def test_volume_is_added_up_with_the_clearance() -> None:
    """Nine cubes of 100 mm grown by the clearance in a room of 210 mm."""
    problem = problem_of([thing("A", 9, 100, **FLY)], [crate("C")])
    grown = (100 + problem.trip.clearance_mm) ** 3
    assert missing(problem) == [((0,), 9 * grown - 210**3, "litres", 1)]


def test_what_fits_by_sums_is_no_shortage() -> None:
    """Five of 5 kg, and what may be hired does not count."""
    assert not missing(problem_of([thing("A", 5, **FLY)], [crate("C")]))
    assert overfull_around(problem_of([thing("A", 5, **FLY)], [crate("C")]), 0) is None


def test_a_set_of_cases_is_told_only_for_what_its_parts_do_not_explain() -> None:
    """36 kg only in C, which takes 27.5, while D takes the rest; then the rest is 48 kg."""
    bound = thing("LEAD", 3, 12_000, only_in=("C",), **FLY)
    free = thing("IRON", 2, 12_000, **FLY)
    cases = [crate("C"), crate("D")]
    assert missing(problem_of([bound, free], cases)) == [((0,), 8_500, "kg", 1)]
    over = missing(problem_of([bound, replace(free, quantity=4)], cases))
    assert over == [((0, 1), 29_000, "kg", 2)]


def test_further_cases_are_like_the_roomiest() -> None:
    """10 too many where the roomiest has 4: three more."""
    assert Overfull((0, 1), 17, 17, 7, "slots", 1, roomiest=1, most=4).further == 3


@pytest.mark.parametrize(
    ("units", "owned", "pieces"), [(8, 2, 1), (9, 2, 2), (9, 1, 2), (17, 3, 3)]
)
def test_cabin_pieces_by_what_the_roomiest_hold(units: int, owned: int, pieces: int) -> None:
    """Eight cubes to a crate by volume, whether so many crates are owned or not."""
    legs = (replace(OUT, free_cabin_pieces=5),)
    cases = [crate(f"C{n}", carry=Carry.EITHER) for n in range(owned)]
    lines = [thing("A", units, 100, carry=Carry.CABIN, **FLY)]
    assert fewest_cabin_pieces(problem_of(lines, cases, legs=legs)) == pieces


def test_gear_that_may_go_in_the_hold_takes_no_cabin_piece() -> None:
    """Nobody has to carry it."""
    legs = (replace(OUT, free_cabin_pieces=1),)
    problem = problem_of([thing("A", **FLY)], [crate("C", carry=Carry.EITHER)], legs=legs)
    assert fewest_cabin_pieces(problem) == 0


def test_what_counting_forbids_has_no_plan() -> None:
    """Against the exact solver of tiny trips, which shares no code; and counting finds many."""
    shown = 0
    for flavour in POSSIBLE:
        for seed in range(1, 9):
            trip = all_fly(flavour, seed)
            if evident(build(trip, Wishes())):
                shown += 1
                assert best_objective(trip) is None, (flavour, seed)
    assert shown >= 10
