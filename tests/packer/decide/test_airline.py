"""Airline charges as tables: by number of pieces, by weight of a piece, by total weight."""

from dataclasses import replace

import pytest
from support.by_hand import BACK, BY_PIECE, BY_WEIGHT, LIMITS, OUT, crate, thing, trip_of
from support.worked import worked_plan, worked_trip

from packer.decide import decide
from packer.decide.airline import (
    WeightBand,
    billings,
    charges,
    extra_pieces_minor,
    hold_bands,
    oversize_minor,
    overweight_minor,
    pieces_table,
    total_weight_minor,
)
from packer.model.plan_json import plan_from_json
from packer.model.trip import Band, Box, Choice, Rule, Trip


def trip_by(*rules: Rule) -> Trip:
    """A trip of one leg for each rule, each leg charged by itself."""
    legs = tuple(replace(OUT, name=f"L{n}", rule=rule.name) for n, rule in enumerate(rules))
    return trip_of([], [], legs=legs, rules=rules)


def named(name: str, **changes: object) -> Rule:
    """The rule by piece under another name, with changes."""
    return replace(BY_PIECE, name=name, **changes)  # type: ignore[arg-type]


def test_legs_of_a_ticket_make_one_charge_by_the_rule_and_free_pieces_of_the_first() -> None:
    """Contract 5.1; a ticket called like a leg is still another charge."""
    legs = (
        replace(OUT, ticket="LAST", free_pieces=2),
        replace(OUT, name="ON", ticket="LAST", rule="By weight", free_pieces=9),
        replace(BACK, name="LAST"),
    )
    found = billings(trip_of([], [], legs=legs))
    assert [(b.name, len(b.legs), b.rule.name, b.free_pieces) for b in found] == [
        ("LAST", 2, "By piece", 2),
        ("LAST", 1, "By piece", 0),
    ]


def test_pieces_cost_first_second_and_then_further_fees() -> None:
    """One free: 0, 0, 50.00, + 60.00, + 70.00, + 70.00."""
    bills = billings(trip_of([], [], legs=(replace(OUT, free_pieces=1),)))
    assert pieces_table(bills, 5) == (0, 0, 5000, 11_000, 18_000, 25_000)


def test_fees_may_fall() -> None:
    """90.00, 40.00, 10.00 and 10.00: the table still rises, in smaller steps."""
    bills = billings(trip_by(named("Falling", extra_minor=(9000, 4000, 1000))))
    assert pieces_table(bills, 4) == (0, 9000, 13_000, 14_000, 15_000)


def test_all_legs_add_up_in_one_table_and_weight_rules_count_no_pieces() -> None:
    """Two legs by piece and one by weight: twice the fees of one."""
    bills = billings(trip_by(BY_PIECE, BY_PIECE, BY_WEIGHT))
    assert pieces_table(bills, 3) == (0, 10_000, 22_000, 36_000)
    assert extra_pieces_minor(bills[2], 3) == 0


@pytest.mark.parametrize(
    ("planning_g", "fee"),
    [(23_000, 0), (23_001, 4000), (28_000, 4000), (28_001, None), (30_000, None), (30_001, 7500),
     (32_000, 7500), (32_001, None)],
)  # fmt: skip
def test_bands_hold_above_their_first_figure_up_to_and_with_the_second(planning_g, fee) -> None:
    """Contract section 1; between 28 and 30 kg there is no band, so nothing goes."""
    rule = named("Gap", bands=(Band(23_000, 28_000, 4000), Band(30_000, 32_000, 7500)))
    assert overweight_minor(rule, planning_g) == fee


def test_a_gap_between_bands_is_a_gap_in_the_hold() -> None:
    """28 to 30 kg is in no band of one leg, so in none of the trip."""
    rule = named("Gap", bands=(Band(23_000, 28_000, 4000), Band(30_000, 32_000, 7500)))
    trip = trip_by(rule, BY_WEIGHT)
    assert hold_bands(trip, billings(trip)) == (
        WeightBand(-1, 23_000, 0),
        WeightBand(23_000, 28_000, 4000),
        WeightBand(30_000, 32_000, 7500),
    )


def test_bands_of_several_legs_are_cut_at_every_edge_and_added() -> None:
    """Free to 20 and 23 kg; 25.00 from 20, 40.00 from 23; the stricter leg ends at 30 kg."""
    other = named("Other", free_weight_g=20_000, most_weight_g=30_000,
                  bands=(Band(20_000, 30_000, 2500),))  # fmt: skip
    trip = trip_by(BY_PIECE, other)
    assert hold_bands(trip, billings(trip)) == (
        WeightBand(-1, 20_000, 0),
        WeightBand(20_000, 23_000, 2500),
        WeightBand(23_000, 30_000, 6500),
    )


def test_neighbouring_bands_of_equal_cost_are_one() -> None:
    """23 to 28 and 28 to 32 kg at 40.00 each."""
    trip = trip_by(named("Twice", bands=(Band(23_000, 28_000, 4000), Band(28_000, 32_000, 4000))))
    assert hold_bands(trip, billings(trip))[1:] == (WeightBand(23_000, 32_000, 4000),)


def test_weight_rules_refuse_nothing_below_their_most_weight() -> None:
    """One band from nothing, taken in, to 32 kg, at no fee of its own."""
    trip = trip_by(BY_WEIGHT)
    assert hold_bands(trip, billings(trip)) == (WeightBand(-1, 32_000, 0),)


def test_a_piece_that_weighs_nothing_flies() -> None:
    """No empty weight, no margin, no weight of its own: still a piece, at 50.00."""
    weightless = thing("A", weight_g=0, choice=Choice.FLY)
    trip = trip_of([weightless], [crate("C", empty_g=0)], scale_margin_g=0)
    plan = decide(trip, LIMITS).plan
    assert plan is not None
    assert plan.objective_minor == 5000


def test_on_a_ticket_later_legs_bind_by_weight_but_charge_nothing() -> None:
    """Contract 5.1: Most weight of every leg, bands of the first."""
    strict = named("Strict", most_weight_g=25_000, free_weight_g=10_000, bands=())
    legs = (replace(OUT, ticket="T"), replace(BACK, ticket="T", rule="Strict"))
    trip = trip_of([], [], legs=legs, rules=(BY_PIECE, strict))
    bands = hold_bands(trip, billings(trip))
    assert bands == (WeightBand(-1, 23_000, 0), WeightBand(23_000, 25_000, 4000))


@pytest.mark.parametrize(("linear", "fee"), [(1580, 0), (1581, 4500)])
def test_a_piece_longer_than_free_linear_pays_once(linear: int, fee: int) -> None:
    """Equal to the limit is within it (contract 5.3)."""
    rule = named("Long", free_linear_mm=1580, oversize_minor=4500)
    case = crate("C", outside=Box(500, 500, linear - 1000))
    assert oversize_minor(rule, case) == fee
    assert oversize_minor(BY_PIECE, case) == 0


@pytest.mark.parametrize(
    ("total_g", "fee"),
    [(40_000, 0), (40_001, 1000), (41_000, 1000), (92_300, 53_000)],
)
def test_kilograms_begun_beyond_the_free_weight_are_charged(total_g: int, fee: int) -> None:
    """40 kg free, 10.00 a kg; 52.3 kg too many are 53."""
    bill = billings(trip_by(BY_WEIGHT))[0]
    assert total_weight_minor(bill, total_g) == fee


def test_charges_of_the_worked_plan_are_those_worked_by_hand() -> None:
    """Ticket by its first leg's rule, then a leg by weight; figures in `support.worked`."""
    plan = plan_from_json(worked_plan())
    assert charges(worked_trip(), plan.pieces) == plan.charges
