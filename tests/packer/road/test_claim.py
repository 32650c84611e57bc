"""The claim for lost goods: the convention's limits by date, and deadlines with their label."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from support.road_plans import a_plan, band

from packer.model.plan import Route
from packer.model.trip import Rate
from packer.road.claim import claim, deadlines
from packer.road.lost import lose

TRIP = band()
PLAN = a_plan(TRIP, {"A": [("KEY-A", 1), ("HORN", 1), ("TAPE", 1)], "B": [("HORN", 2)]})


def test_the_limit_follows_the_day():
    """One passenger: 1,288 special drawing rights on 2024-12-01, 1,519 from 2024-12-28."""
    alone = replace(TRIP, legs=(replace(TRIP.legs[0], people=1),))
    loss = lose(TRIP, PLAN, ["A"])
    assert claim(alone, PLAN, loss, date(2024, 12, 1)).limit_sdr == 1288
    assert claim(alone, PLAN, loss, date(2024, 12, 28)).limit_sdr == 1519


def test_two_passengers_double_it():
    """2 x 1,519 = 3,038 on 2025-06-01."""
    two = replace(TRIP, legs=(replace(TRIP.legs[0], people=2),))
    assert claim(two, PLAN, lose(TRIP, PLAN, ["A"]), date(2025, 6, 1)).limit_sdr == 3038


def test_the_trips_own_rate_is_used():
    """A Rates row for XDR at 1.2: 4,557 rights are 5,468.40."""
    trip = replace(TRIP, rates=(Rate("XDR", Decimal("1.2")),))
    assert claim(trip, PLAN, lose(TRIP, PLAN, ["A"]), date(2026, 6, 1)).limit_minor == 546_840


def test_value_above_the_limit_is_for_the_insurance():
    """2,900.00 gone, 911.40 payable to one passenger at 0.60: 1,988.60 beyond."""
    alone = replace(TRIP, legs=(replace(TRIP.legs[0], people=1),))
    sheet = claim(alone, PLAN, lose(TRIP, PLAN, ["A"]), date(2026, 6, 1), Decimal("0.6"))
    assert (sheet.value_minor, sheet.limit_minor, sheet.beyond_minor) == (280_000, 91_140, 188_860)


def test_the_limit_is_per_passenger_and_not_per_bag():
    """Lost 2026-06-01, three people: 3 x 1,519 SDR (article 22(2), in force since 2024-12-28)."""
    loss = lose(TRIP, PLAN, ["A", "B"])
    sheet = claim(TRIP, PLAN, loss, date(2026, 6, 1))
    assert (sheet.people, sheet.limit_sdr, sheet.limit_minor) == (3, 3 * 1519, None)
    assert "TAPE 1" in sheet.without_value
    assert "hwlebsworth" in sheet.limit_source
    priced = claim(TRIP, PLAN, loss, date(2026, 6, 1), Decimal("1.20"))
    assert priced.limit_minor == 546_840
    assert priced.beyond_minor == 0


def test_freight_is_by_the_kilogram():
    """10 kg lost in 2025: 260 SDR (26 a kilogram, article 22(3))."""
    plan = a_plan(TRIP, {"A": [("HORN", 1)]}, routes={"A": Route.FREIGHT})
    plan = replace(plan, pieces=(replace(plan.pieces[0], planning_g=10_000),))
    sheet = claim(TRIP, plan, lose(TRIP, plan, ["A"]), date(2025, 6, 1))
    assert (sheet.baggage_sdr, sheet.freight_sdr) == (0, 260)


def test_deadlines_keep_their_label():
    """Damage 7 days, delay 21 (article 31), from memory: the sheet must say so."""
    days = {d.what: (d.by, d.label) for d in deadlines(date(2026, 6, 1))}
    assert sorted(days.values()) == [
        (date(2026, 6, 8), "FROM MEMORY"),
        (date(2026, 6, 22), "FROM MEMORY"),
        (date(2026, 6, 22), "FROM MEMORY"),
    ]
