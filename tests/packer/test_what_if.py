"""What a change costs, against sums done by hand on the minimal trip."""

from dataclasses import replace

import pytest
from support.workbooks import minimal_trip, write_workbook

from packer.model.outcome import Outcome
from packer.model.solving import Limits
from packer.model.trip import Choice
from packer.pipeline import solve
from packer.reading import read_trip
from packer.what_if import WhatIf, forced, other_ways, tried, what_ifs

LIMITS = Limits(seconds=20, workers=1)


@pytest.fixture(scope="module")
def trip(tmp_path_factory):
    """Two horns, which need a trunk each, and three stands; the second trunk costs 150.00."""
    path = tmp_path_factory.mktemp("trip") / "trip.xlsx"
    return read_trip(write_workbook(path, minimal_trip())).trip


@pytest.fixture(scope="module")
def plan(trip):
    """The best plan of the trip."""
    return solve(trip, limits=LIMITS).plan


def test_the_other_way_of_what_flies_is_hire(trip, plan):
    """And of what stays at home, to fly."""
    assert other_ways(trip, plan, "HORN") == (Choice.HIRE,)
    hired = forced(trip, plan, "HORN", Choice.HIRE, LIMITS).plan
    assert other_ways(trip, hired, "HORN") == (Choice.FLY,)


def test_hiring_the_horns_costs_price_delivery_and_worth_and_saves_a_trunk(trip, plan):
    """2 x 60 CHF at 1.05 = 126.00, delivery 42.00, worth 2 x 100.00, less 2 x 75.00: 218.00."""
    change = forced(trip, plan, "HORN", Choice.HIRE, LIMITS)
    assert change.is_exact
    assert change.most_minor == 21_800


def test_what_is_lent_for_nothing_costs_nothing(trip, plan):
    """The house lends the stands and nobody minds whose they are."""
    change = forced(trip, plan, "STAND", Choice.HIRE, LIMITS)
    assert (change.least_minor, change.most_minor) == (0, 0)


def test_a_limit_that_binds_nothing_costs_nothing(trip, plan):
    """The heavier trunk weighs 13.1 kg."""
    lighter = next(w for w in what_ifs(trip) if w.name == "no piece above 23 kg")
    assert tried(trip, plan, lighter, LIMITS).most_minor == 0


def test_a_change_without_a_plan_has_causes_and_no_figure(trip, plan):
    """Scales so doubtful that no trunk may fly, and no offers either."""
    what_if = WhatIf("nothing", lambda t: replace(t, scale_margin_g=40_000, offers=()))
    change = tried(trip, plan, what_if, LIMITS)
    assert change.outcome is Outcome.IMPOSSIBLE
    assert change.causes
    assert (change.least_minor, change.most_minor) == (None, None)


def test_one_free_piece_less_costs_two_extra_pieces(trip, plan):
    """75.00 for the first trunk on each of two flights; to hire all would be dearer."""
    fewer = next(w for w in what_ifs(trip) if w.name == "1 free piece fewer on every flight")
    assert tried(trip, plan, fewer, LIMITS).most_minor == 15_000


def test_every_what_if_changes_one_thing_and_has_its_own_name(trip):
    """Only the limit of 32 kg, which the trunks have anyway, changes nothing here."""
    names = [what_if.name for what_if in what_ifs(trip)]
    assert len(names) == len(set(names))
    assert all(
        what_if.change(trip) != trip for what_if in what_ifs(trip) if "32" not in what_if.name
    )
