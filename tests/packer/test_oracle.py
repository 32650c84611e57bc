"""The exact solver for tiny trips finds what can be computed by hand; its plans are judged good.

It is what the product's solver is held against, so it must be right itself.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from support.oracle import best_objective, best_plan
from support.trips import FLAVOURS, generate
from support.worked import eur, worked_plan, worked_trip

from packer.judge import judge
from packer.model.plan import Route
from packer.model.trip import (
    Band,
    Battery,
    Box,
    Carry,
    Case,
    CaseKind,
    Chemistry,
    Choice,
    Concept,
    Delivery,
    Freight,
    Gear,
    Leg,
    Offer,
    Rule,
    Stop,
    Trip,
)

STOP = Stop("S", "NO", date(2026, 6, 2))
LEG = Leg("L", "A", "B", date(2026, 6, 1), "R", 0)
RULE = Rule("R", Concept.PIECE, 23_000, extra_minor=(5000, 6000, 7000),
            bands=(Band(23_000, 32_000, 4000),))  # fmt: skip
CUBE = Box(100, 100, 100)


def gear(name: str, quantity: int = 1, weight_g: int = 5_000, **more: object) -> Gear:
    """A cube of 100 mm, needed at the one stop."""
    line = Gear(name, name, quantity, weight_g, size=CUBE, needed_at=("S",))
    return replace(line, **more)  # type: ignore[arg-type]


def box(name: str, inside: Box, **more: object) -> Case:
    """A box of 4 kg."""
    outside = Box(*(side + 40 for side in inside.sides))
    case = Case(name, name, CaseKind.BOX, outside, 4_000, inside=inside)
    return replace(case, **more)  # type: ignore[arg-type]


def trip(lines: list[Gear], cases: list[Case], **more: object) -> Trip:
    """One stop, one leg, pieces at 50.00, 60.00 and 70.00."""
    found = Trip("t", "DE", "EUR", (STOP,), (LEG,), (RULE,), tuple(lines), tuple(cases))
    return replace(found, **more)  # type: ignore[arg-type]


def offer(target: str, cents: int, supplier: str = "X", **more: object) -> Offer:
    """An offer at the one stop."""
    found = Offer("S", target, False, supplier, eur(cents))
    return replace(found, **more)  # type: ignore[arg-type]


def test_flying_costs_one_piece_and_hiring_its_price() -> None:
    """50.00 to fly against 49.99, 50.00 and 50.01 to hire; without an offer it flies."""
    one = [gear("G")], [box("B", Box(210, 210, 210))]
    for cents, best in ((4999, 4999), (5000, 5000), (5001, 5000)):
        assert best_objective(trip(*one, offers=(offer("G", cents),))) == best
    assert best_objective(trip(*one)) == 5000


def test_delivery_and_worth_tip_the_scale() -> None:
    """30.00 + 15.00 of delivery + 6.00 of worth is 51.00, more than 50.00."""
    lines, cases = [gear("G", worth_minor=600)], [box("B", Box(210, 210, 210))]
    offers, delivery = (offer("G", 3000),), (Delivery("X", "S", eur(1500)),)
    assert best_objective(trip(lines, cases, offers=offers, deliveries=delivery)) == 5000
    assert best_objective(trip(lines, cases, offers=offers)) == 3600


def test_clearance_decides_what_fits() -> None:
    """Two cubes of 100 mm with 5 mm each need 210 mm; 209 mm take one: a second case, 110.00."""
    lines = [gear("G", 2)]
    assert best_objective(trip(lines, [box("B", Box(210, 105, 105))])) == 5000
    cases = [box("B", Box(209, 105, 105)), box("C", Box(209, 105, 105))]
    assert best_objective(trip(lines, cases)) == 11_000
    assert best_objective(trip(lines, cases[:1])) is None


def test_turns_and_upright() -> None:
    """A plank of 300 mm fits a tall narrow box only on its end, unless it must stand upright."""
    plank = gear("G", size=Box(300, 100, 50))
    tall = [box("B", Box(105, 55, 305))]
    assert best_objective(trip([plank], tall)) == 5000
    assert best_objective(trip([replace(plank, upright=True)], tall)) is None


def test_nothing_lies_above_fragile_gear() -> None:
    """Two in a tower: one fragile may stand on the other, two fragile ones may not."""
    tower = [box("B", Box(105, 105, 210))]
    sturdy, fragile = gear("A"), gear("B", fragile=True)
    assert best_objective(trip([sturdy, fragile], tower)) == 5000
    assert best_objective(trip([replace(sturdy, fragile=True), fragile], tower)) is None


def test_soft_goods_take_85_percent_of_what_is_left() -> None:
    """A box of 8,000,000 mm3 takes six folded cubes (6,000,000 of 6,800,000) and not seven."""
    case = [box("B", Box(200, 200, 200))]
    assert best_objective(trip([gear("G", 6, 100, soft=True)], case)) == 5000
    assert best_objective(trip([gear("G", 7, 100, soft=True)], case)) is None


def test_overweight_against_a_second_piece() -> None:
    """20 + 4 + 0.5 kg pays the band: 50.00 + 40.00, less than two pieces at 110.00."""
    lines, cases = [gear("G", 4)], [box(name, Box(210, 210, 210)) for name in "BC"]
    assert best_objective(trip(lines, cases)) == 9000
    dear = replace(RULE, bands=(Band(23_000, 32_000, 7000),))
    assert best_objective(trip(lines, cases, rules=(dear,))) == 11_000


def test_role_parts_its_units_over_two_cases() -> None:
    """One case lost leaves one: two pieces, 110.00; without the rule one piece, 50.00."""
    lines = [gear("G", 2, role="Voice", role_needs=1)]
    cases = [box(name, Box(210, 210, 210)) for name in "BC"]
    assert best_objective(trip(lines, cases)) == 11_000
    assert best_objective(trip(lines, cases, one_case_lost=False)) == 5000
    assert best_objective(trip(lines, cases[:1])) is None
    assert best_objective(trip(lines, cases[:1], offers=(offer("G", 700, available=1),))) == 5700


def test_kit_costs_its_price_once() -> None:
    """A kit at 40.00 covers both lines; alone they would cost 30.00 each."""
    lines = [gear("A", kit="K", choice=Choice.HIRE), gear("B", kit="K", choice=Choice.HIRE)]
    offers = (offer("A", 3000), offer("B", 3000), offer("K", 4000, is_kit=True))
    assert best_objective(trip(lines, [], offers=offers)) == 4000
    assert best_objective(trip(lines, [], offers=offers[:2])) == 6000


def test_scarce_cheap_units_are_filled_up_by_dear_ones() -> None:
    """Two of the house for nothing, the third at 12.00."""
    lines = [gear("G", 3, choice=Choice.HIRE)]
    offers = (offer("G", 0, "house", available=2), offer("G", 1200))
    assert best_objective(trip(lines, [], offers=offers)) == 1200
    assert best_objective(trip(lines, [], offers=offers[:1])) is None


def test_ticket_is_charged_once() -> None:
    """Two legs cost twice 50.00, on one ticket once."""
    legs = (LEG, replace(LEG, name="M", date=date(2026, 6, 3)))
    lines, cases = [gear("G")], [box("B", Box(210, 210, 210))]
    assert best_objective(trip(lines, cases, legs=legs)) == 10_000
    on_ticket = tuple(replace(leg, ticket="T") for leg in legs)
    assert best_objective(trip(lines, cases, legs=on_ticket)) == 5000


def test_weight_concept_charges_kg_begun() -> None:
    """5 + 4 + 0.5 kg with 8 kg free: two kg at 9.00."""
    rule = Rule("R", Concept.WEIGHT, 8_000, per_kg_minor=900)
    found = trip([gear("G")], [box("B", Box(210, 210, 210))], rules=(rule,))
    assert best_objective(found) == 1800


def test_freight_beats_a_dear_piece() -> None:
    """9.5 kg at 1.50 is 14.25, handling 10.00: 24.25 against 50.00; the minimum may lift it."""
    lines, cases = [gear("G")], [box("B", Box(210, 210, 210))]
    freight = Freight(eur(150), eur(0), eur(1000))
    assert best_objective(trip(lines, cases, freight=freight)) == 2425
    least = replace(freight, minimum=eur(2000))
    assert best_objective(trip(lines, cases, freight=least)) == 3000


def test_spare_lithium_goes_by_cabin_or_not_at_all() -> None:
    """It flies free in a cabin case, and in no hold case; above 160 Wh nowhere."""
    pack = Battery(Chemistry.LITHIUM_ION, energy_mwh=100_000, spare=True)
    lines = [gear("G", battery=pack)]
    cabin = [box("B", Box(210, 210, 210), carry=Carry.CABIN)]
    legs = (replace(LEG, free_cabin_pieces=1),)
    assert best_objective(trip(lines, cabin, legs=legs)) == 0
    assert best_objective(trip(lines, [box("B", Box(210, 210, 210))], legs=legs)) is None
    large = replace(lines[0], battery=replace(pack, energy_mwh=160_001))
    assert best_objective(trip([large], cabin, legs=legs)) is None


def test_racks_and_slots_count() -> None:
    """Four halves take two units of one U; a slot takes one instrument."""
    rack = Case("K", "K", CaseKind.RACK, Box(600, 500, 200), 4_000, rack_half_units=4,
                rack_depth_mm=300)  # fmt: skip
    units = gear("G", 2, rack_half_units=2, depth_mm=300)
    assert best_objective(trip([units], [rack])) == 5000
    assert best_objective(trip([replace(units, quantity=3)], [rack])) is None
    assert best_objective(trip([replace(units, depth_mm=301)], [rack])) is None
    vault = Case("V", "V", CaseKind.SLOTS, Box(900, 400, 200), 4_000, slot="neck", slots=1)
    assert best_objective(trip([gear("G", slot="neck")], [vault])) == 5000
    assert best_objective(trip([gear("G", 2, slot="neck")], [vault])) is None


def test_worked_plan_can_be_beaten_and_never_beats_the_oracle() -> None:
    """The plan worked by hand costs 1350.88 and is valid, so the best is no dearer."""
    best = best_plan(worked_trip())
    assert best is not None
    assert judge(worked_trip(), best).breaches == ()
    assert best.objective_minor <= worked_plan()["objective_minor"]


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_plans_of_generated_trips_are_judged_good(flavour: str) -> None:
    """The judge finds nothing wrong, and the very objective that the model minimised."""
    for seed in range(3):
        found = generate(flavour, "tiny", seed)
        plan = best_plan(found)
        if flavour.startswith("impossible"):
            assert plan is None
        elif plan is not None:
            assert judge(found, plan).breaches == ()
            assert all(piece.route in Route for piece in plan.pieces)
