"""Repairs after the scale: fewest moves and least cost against every packing there is."""

import time
from functools import cache
from random import Random

import pytest
from support.road_repairs import all_packings, some_packing, tiny_trip
from support.trips import generate

from packer.decide import decide
from packer.geometry import warm_up
from packer.judge import judge
from packer.model.solving import Limits
from packer.road.repair import mend
from packer.road.scales import weigh_in

SEEDS = range(60)
LONG = {"seconds": 120.0, "further_seconds": 120.0}
"""Enough on a busy machine: what is asserted is the answer, not the clock."""


@pytest.fixture(scope="module", autouse=True)
def _compiled():
    """Compile the packing core once, outside the measured times."""
    warm_up()


@cache
def weighed(seed):
    """A tiny trip whose plan holds, one case of which turns out heavier (or lighter)."""
    trip = tiny_trip(seed)
    plan = some_packing(trip)
    if plan is None:
        return None
    random = Random(seed)
    piece = max(plan.pieces, key=lambda p: p.planning_g)
    listed = piece.empty_g + piece.contents_g
    return weigh_in(trip, plan, {piece.case: listed + random.choice([-500, 4000, 8000, 11_000])})


@pytest.mark.usefixtures("_untidy")
def test_fewest_moves_and_least_cost_by_enumeration():
    """The first row needs as few moves as any packing, each row costs as little as any within."""
    mended = staying = 0
    for seed in SEEDS:
        weighing = weighed(seed)
        if weighing is None:
            continue
        ways = [
            (n, v.costs.objective_minor) for n, _, v in all_packings(weighing.trip, weighing.plan)
        ]
        menu = mend(weighing.trip, weighing.plan, **LONG)
        if not ways:
            assert (menu.choices, menu.impossible) == ((), True), seed
            continue
        least = min(moves for moves, _ in ways)
        assert menu.fewest is not None, seed
        assert (len(menu.fewest.moves), menu.fewest.proved) == (least, True), seed
        mended += 1
        staying += any(choice.left for choice in menu.choices)
        found = {choice.allowed: choice.cost_minor for choice in menu.choices}
        for allowed in range(least, least + 4):
            best = min(cost for moves, cost in ways if moves <= allowed)
            ours = min(cost for row, cost in found.items() if row <= allowed)
            assert ours == best, (seed, allowed)
    assert mended >= 15
    assert staying >= 5


def test_every_choice_is_legal_and_cheaper_than_the_one_before():
    """The judge accepts each plan; more work is only offered where it saves money."""
    for seed in SEEDS:
        weighing = weighed(seed)
        if weighing is None:
            continue
        choices = mend(weighing.trip, weighing.plan).choices
        costs = [choice.cost_minor for choice in choices]
        assert costs == sorted(set(costs), reverse=True)
        for choice in choices:
            assert judge(weighing.trip, choice.plan).accepted
            assert len(choice.moves) <= choice.allowed


def test_untouched_cases_stay_exactly_as_they_are():
    """Nothing outside the touched cases is unpacked, turned or renumbered."""
    for seed in SEEDS:
        weighing = weighed(seed)
        if weighing is None:
            continue
        before = {piece.case: piece for piece in weighing.plan.pieces}
        for choice in mend(weighing.trip, weighing.plan).choices:
            for piece in choice.plan.pieces:
                if piece.case not in choice.touched:
                    assert piece == before[piece.case]


def test_what_no_moves_mend_is_proved_so():
    """A case that is itself heavier than any limit: no packing helps, and that is proved."""
    trip = tiny_trip(5)
    plan = some_packing(trip)
    weighing = weigh_in(trip, plan, {piece.case: 90_000 for piece in plan.pieces})
    menu = mend(weighing.trip, weighing.plan, **LONG)
    assert (menu.choices, menu.impossible, menu.fewest) == ((), True, None)


def test_a_legal_plan_needs_no_move():
    """Nothing is over: nothing moves, and paying nothing more is the choice."""
    trip = tiny_trip(5)
    plan = some_packing(trip)
    menu = mend(trip, plan)
    assert menu.fewest.moves == ()
    assert menu.pay_instead is menu.fewest


def test_a_medium_trip_is_mended_within_a_second(medium_plan):
    """Some 100 units: the fewest moves, proved, within a second of processor time.

    The figure is the target of the tool itself; the clock is not asked, since others use the
    machine too.
    """
    trip, plan = medium_plan
    piece = max(plan.pieces, key=lambda p: p.planning_g)
    weighing = weigh_in(trip, plan, {piece.case: piece.empty_g + piece.contents_g + 1400})
    started = time.process_time()
    menu = mend(weighing.trip, weighing.plan, further=0, seconds=120)
    seconds = time.process_time() - started
    assert menu.fewest is not None
    assert menu.fewest.proved
    assert seconds < 1, f"{seconds:.2f} s"


@pytest.mark.parametrize(
    ("flavour", "leave"),
    [
        ("bulky", True),
        ("bulky", False),
        ("roles", True),
        ("roles", False),
        ("tangled-fees", True),
    ],
)
def test_trips_of_150_units_of_every_kind_are_mended_within_a_second(flavour, leave):
    """Two cases too heavy for their limits: mended, or proved beyond mending, and soon."""
    trip, plan = generated_plan(flavour)
    weighing = weigh_in(trip, plan, dict(two_too_heavy(trip, plan)))
    started = time.process_time()
    menu = mend(weighing.trip, weighing.plan, further=0, seconds=60, leave=leave)
    seconds = time.process_time() - started
    assert menu.impossible or menu.fewest.proved
    assert seconds < 1, f"{seconds:.2f} s"


@cache
def generated_plan(flavour):
    """A medium trip (some 150 units) and a plan of a second's work for it."""
    trip = generate(flavour, "medium", 1)
    plan = decide(trip, Limits(seconds=60, workers=1, deterministic=0.2)).plan
    return trip, plan


def two_too_heavy(trip, plan):
    """(case, grams on the scale) of the two fullest cases, one kilogram above what each may be."""
    for piece in sorted(plan.pieces, key=lambda p: -p.planning_g)[:2]:
        gross = trip.case_named(piece.case).most_gross_g or 32_000
        yield piece.case, gross - trip.scale_margin_g + 1000


def test_leaving_behind_can_be_ruled_out():
    """Without `leave` nothing stays behind, and never fewer objects move."""
    better = 0
    for seed in SEEDS:
        weighing = weighed(seed)
        if weighing is None:
            continue
        free = mend(weighing.trip, weighing.plan, further=0)
        bound = mend(weighing.trip, weighing.plan, further=0, leave=False)
        assert not any(choice.left for choice in bound.choices)
        if bound.fewest is None:
            better += free.fewest is not None
            continue
        assert len(free.fewest.moves) <= len(bound.fewest.moves)
        better += len(free.fewest.moves) < len(bound.fewest.moves)
    assert better
