"""The first plans are plans: each passes the judge."""

from dataclasses import replace

import pytest
from support.by_hand import OUT, crate, price, thing, trip_of
from support.searches import POSSIBLE, plan_from
from support.trips import generate

from packer.decide.problem import build
from packer.decide.sketch import sketch_of
from packer.decide.space import Space
from packer.decide.start import first_sketches, incomplete_sketch, pack, saving_per_share
from packer.judge import judge
from packer.model.plan import Route
from packer.model.solving import Wishes
from packer.model.trip import Carry, Choice


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_every_first_plan_is_judged_good(flavour: str) -> None:
    """Compact and small trips of every flavour; equal trips start alike."""
    for size, seed in (("compact", 1), ("compact", 2), ("small", 1)):
        trip = generate(flavour, size, seed)
        problem = build(trip, Wishes())
        found = list(first_sketches(problem, Space(problem)))
        assert found
        for sketch in dict.fromkeys(found):
            assert judge(trip, plan_from(problem, sketch)).breaches == ()
        assert list(first_sketches(problem, Space(problem))) == found


def test_what_finds_no_case_is_hired_instead() -> None:
    """Eight of 5 kg want to fly in one crate that takes five; offers take the rest."""
    problem = build(trip_of([thing("A", 8)], [crate("C")], offers=(price("A", 100),)), Wishes())
    found = pack(problem, Space(problem), [8])
    assert found is not None
    assert 0 < found.flown(1)[0] <= 5


def test_what_must_fly_and_finds_no_case_is_no_plan_but_a_beginning() -> None:
    """Eight must fly: no plan; as many as fit stand in the incomplete one."""
    problem = build(trip_of([thing("A", 8, choice=Choice.FLY)], [crate("C")]), Wishes())
    assert pack(problem, Space(problem), [8]) is None
    assert 0 < incomplete_sketch(problem, Space(problem)).flown(1)[0] <= 5


def test_given_loads_stay_and_are_filled_up() -> None:
    """One of three is in the second crate already; the others join it, no other is opened."""
    problem = build(trip_of([thing("A", 3)], [crate("C"), crate("D")]), Wishes())
    found = pack(problem, Space(problem), [3], sketch_of({1: (Route.HOLD, {0: 1})}))
    assert found == sketch_of({1: (Route.HOLD, {0: 3})})


def test_a_free_cabin_piece_is_opened_before_a_dear_hold_piece() -> None:
    """The crate that may go either way goes by cabin."""
    legs = (replace(OUT, free_cabin_pieces=1),)
    trip = trip_of([thing("A")], [crate("C", carry=Carry.EITHER)], legs=legs)
    problem = build(trip, Wishes())
    assert pack(problem, Space(problem), [1]) == sketch_of({0: (Route.CABIN, {0: 1})})


def test_savings_count_worth_and_the_cheapest_offer_by_share_of_a_case() -> None:
    """Worth 3.00 and hire 9.00 are 12.00 for 5 of 27.5 kg."""
    trip = trip_of([thing("A", 1, worth_minor=300)], [crate("C")],
                   offers=(price("A", 900), price("A", 1000, "house")))  # fmt: skip
    problem = build(trip, Wishes())
    assert saving_per_share(problem, problem.lines[0]) == pytest.approx(1200 * 5.5)
