"""A lost case: known answers on a hand-made trip, and enumeration on small random ones."""

from collections import Counter
from datetime import date
from itertools import product

import pytest
from support.road_plans import a_plan, band, random_plan, random_trip

from packer.model.plan import Cover
from packer.road.lost import lose, lose_each, lose_pairs, stops_ahead

TRIP = band()
PLAN = a_plan(
    TRIP,
    {
        "A": [("KEY-A", 1), ("HORN", 1), ("TAPE", 1)],
        "B": [("KEY-B", 1), ("HORN", 2), ("HORN", 3), ("TAPE", 2)],
        "C": [("PEDAL", 1)],
    },
)


def shorts(stop):
    return {(short.label, short.units) for short in stop.short}


def test_a_lost_spare_needs_no_hire_but_is_said():
    """Without A one keyboard and two horns are left, which is what is needed, and no spare."""
    first = lose(TRIP, PLAN, ["A"]).stops[0]
    assert shorts(first) == {("TAPE", 1)}
    assert first.no_spare_left == ("keys", "brass")


def test_a_role_below_its_need_is_covered_at_the_least_cost():
    """Without B one horn is short: 2500 and 4000 delivery beat 3000 and 5000. Tape has no offer."""
    first, second = lose(TRIP, PLAN, ["B"]).stops
    assert shorts(first) == {("brass", 1), ("TAPE", 1)}
    assert [(p.supplier, p.target, p.units) for p in first.cover.purchases] == [
        ("Blikk", "HORN", 1)
    ]
    assert first.cover.cost_minor == 6500
    assert [(s.label, s.units) for s in first.cover.unmet] == [("TAPE", 1)]
    assert {(s.label, s.units) for s in second.cover.unmet} == {("brass", 1), ("TAPE", 1)}
    assert not first.plays


def test_two_cases_together():
    """Without A and B both keyboards are gone: any keyboard or the kit would do."""
    first, second = lose(TRIP, PLAN, ["A", "B"]).stops
    assert shorts(first) == {("keys", 1), ("brass", 2), ("TAPE", 2)}
    # the kit for the keys 9000, two horns 5000, one delivery 4000
    assert first.cover.cost_minor == 18_000
    assert [(p.target, p.supplier) for p in second.cover.purchases] == [("KEY-B", "house")]
    assert second.cover.cost_minor == 0


def test_a_kit_already_hired_there_is_there_completely():
    """The plan hires the whole kit for KEY-A: a lost pedal of that kit costs nothing more."""
    covers = {"KEY-A": [Cover("Stop 1", "Blikk", "KEYS", 1, 9000)]}
    plan = a_plan(TRIP, {"A": [("KEY-B", 1)], "C": [("PEDAL", 1)]}, covers)
    first, second = lose(TRIP, plan, ["C"]).stops
    assert first.cover.cost_minor == 0
    assert first.cover.unmet == ()
    assert ("PEDAL", 1) in shorts(second)


def test_a_delivery_that_the_plan_pays_is_not_paid_again():
    """The plan hires a pedal from Fjordlyd, so Fjordlyd's horn is the cheaper one."""
    covers = {"PEDAL": [Cover("Stop 1", "Fjordlyd", "PEDAL", 1, 4000)]}
    contents = {"A": [("KEY-A", 1), ("HORN", 1)], "B": [("KEY-B", 1), ("HORN", 2), ("HORN", 3)]}
    first = lose(TRIP, a_plan(TRIP, contents, covers), ["B"]).stops[0]
    assert [(p.supplier, p.units) for p in first.cover.purchases] == [("Fjordlyd", 1)]
    assert first.cover.cost_minor == 3000


def test_only_the_stops_ahead_count():
    """After Stop 1 is played only Stop 2 matters."""
    assert stops_ahead(TRIP, date(2026, 6, 3)) == ("Stop 2",)
    loss = lose(TRIP, PLAN, ["B"], ["Stop 2"])
    assert [stop.stop for stop in loss.stops] == ["Stop 2"]


def test_what_is_gone_with_value_and_serial():
    """Everything in the case and the case itself; what has no value is not given one."""
    gone = lose(TRIP, PLAN, ["B"]).gone
    assert [(g.name, g.unit, g.serial, g.value_minor) for g in gone] == [
        ("B", 0, "", 30_000),
        ("KEY-B", 1, "", 90_000),
        ("HORN", 2, "H2", 50_000),
        ("HORN", 3, "", 50_000),
        ("TAPE", 2, "", None),
    ]
    assert lose(TRIP, PLAN, ["B"]).value_minor == 220_000


def test_the_worst_case_comes_first():
    """B leaves three units that no money covers; A two; C one (no pedal at Stop 2)."""
    table = lose_each(TRIP, PLAN)
    assert [(loss.cases, loss.unmet_units) for loss in table] == [
        (("B",), 3),
        (("A",), 2),
        (("C",), 1),
    ]
    assert table[2].cover_minor == 9000
    assert lose_pairs(TRIP, PLAN, most=1)[0].cases == ("A", "B")


def test_a_case_that_does_not_travel_cannot_be_lost():
    """An unknown case is an error."""
    with pytest.raises(KeyError):
        lose(TRIP, PLAN, ["Z"])


def test_losing_one_more_case_never_costs_less():
    """On random trips a pair is at least as bad as each of its two."""
    for seed in range(30):
        trip = random_trip(seed)
        plan = random_plan(trip, seed)
        single = {loss.cases[0]: loss for loss in lose_each(trip, plan)}
        for pair in lose_pairs(trip, plan):
            for one in (single[case] for case in pair.cases):
                assert pair.unmet_units >= one.unmet_units
                assert pair.badness >= one.badness


def test_small_trips_against_enumeration():
    """Whatever is hired by whomever: nothing covers more, and nothing as much for less."""
    for seed in range(60):
        trip = random_trip(seed, lines=3, cases=2, stops=1)
        plan = random_plan(trip, seed)
        for piece in plan.pieces:
            loss = lose(trip, plan, [piece.case])
            found = (loss.unmet_units, loss.cover_minor)
            assert found == enumerated(trip, plan, piece.case), (seed, piece.case)


def enumerated(trip, plan, case):
    """(units unmet, cost) at the only stop, from every way to buy; written from the meaning."""
    where = trip.stops[0].name
    lost = Counter(u.gear for p in plan.pieces if p.case == case for u in p.contents)
    flown = {d.gear: d.flown for d in plan.decisions}
    taken = Counter()
    for d in plan.decisions:
        for c in d.covers:
            taken[c.supplier, c.target] += c.units
    covered = {d.gear: sum(c.units for c in d.covers) for d in plan.decisions}
    suppliers = {supplier for supplier, _ in taken}
    offers = [o for o in trip.offers if o.stop == where]
    most = [4 if o.available is None else o.available - taken[o.supplier, o.target] for o in offers]
    most = [min(1, m) if o.is_kit else m for o, m in zip(offers, most, strict=True)]
    roles = {g.role for g in trip.gear if g.role}

    def unmet(buy):
        here = Counter({g.name: flown[g.name] - lost[g.name] + covered[g.name] for g in trip.gear})
        bought = Counter()
        for o, n in zip(offers, buy, strict=True):
            for g in trip.gear:
                if where in g.needed_at and (g.kit == o.target if o.is_kit else g.name == o.target):
                    bought[g.name] += n * (g.quantity if o.is_kit else 1)
        total = 0
        for role in roles:
            lines = [g for g in trip.gear if g.role == role]
            if not any(where in g.needed_at for g in lines):
                continue
            had = sum(flown[g.name] + covered[g.name] for g in lines)
            need = min(had, max(g.role_needs for g in lines))
            total += max(0, need - sum(here[g.name] + bought[g.name] for g in lines))
        for g in trip.gear:
            if not g.role and where in g.needed_at:
                total += max(0, lost[g.name] - bought[g.name])
        return total

    def cost(buy):
        used = {o.supplier for o, n in zip(offers, buy, strict=True) if n} - suppliers
        fees = sum(d.price.minor for d in trip.deliveries if d.supplier in used and d.stop == where)
        return fees + sum(o.price.minor * n for o, n in zip(offers, buy, strict=True))

    return min((unmet(buy), cost(buy)) for buy in product(*(range(m + 1) for m in most)))
