"""What is settled before any search: who may go where, by which route, how many must fly."""

from dataclasses import replace

import pytest
from support.by_hand import (
    BACK,
    BY_PIECE,
    MOOR,
    OUT,
    QUAY,
    crate,
    price,
    rack,
    thing,
    trip_of,
    vault,
)
from support.worked import eur

from packer.decide.airline import billings
from packer.decide.problem import (
    NO_LIMIT_G,
    Option,
    Problem,
    build,
    case_options,
    grown_mm3,
    holds_one,
    role_caps,
    role_needs,
)
from packer.model.plan import Route
from packer.model.solving import Wishes
from packer.model.trip import (
    Band,
    Battery,
    Box,
    Carry,
    Case,
    Chemistry,
    Choice,
    Freight,
    Gear,
    Trip,
)

FREIGHT = Freight(eur(125), eur(5000), eur(2000), most_weight_g=40_000)
CABIN = replace(BY_PIECE, cabin_weight_g=8_000, cabin_mm=(230, 400, 550))


def problem_of(lines: list[Gear], cases: list[Case], **more: object) -> Problem:
    """The problem without wishes."""
    return build(trip_of(lines, cases, **more), Wishes())


def options_of(trip: Trip) -> tuple[Option, ...]:
    """The ways of its first case."""
    return case_options(trip, billings(trip), trip.cases[0])


def test_a_dearer_band_reaches_down_to_nothing_where_all_lighter_ones_cost_less() -> None:
    """Such an option need not say from which weight it is taken."""
    assert options_of(trip_of([], [crate("C")])) == (
        Option(Route.HOLD, -1, 23_000, 0),
        Option(Route.HOLD, -1, 32_000, 4000),
    )


def test_a_band_above_a_gap_keeps_its_lower_end() -> None:
    """No case may pay the upper band to travel at a weight that nobody takes."""
    gap = replace(BY_PIECE, bands=(Band(23_000, 28_000, 4000), Band(30_000, 32_000, 7500)))
    found = options_of(trip_of([], [crate("C")], rules=(gap,)))
    assert [(o.above_g, o.upto_g) for o in found] == [(-1, 23_000), (-1, 28_000), (30_000, 32_000)]


def test_a_cheaper_band_above_a_dearer_one_keeps_its_lower_end() -> None:
    """Fees that fall with weight are taken as they are, not as one would wish."""
    odd = replace(BY_PIECE, bands=(Band(23_000, 28_000, 4000), Band(28_000, 32_000, 1000)))
    found = options_of(trip_of([], [crate("C")], rules=(odd,)))
    assert [(o.above_g, o.cost_minor) for o in found] == [(-1, 0), (-1, 4000), (28_000, 1000)]


def test_most_gross_cuts_the_bands_and_oversize_is_in_each() -> None:
    """Most gross 25 kg; 750 mm is above Free linear 700: 45.00 more."""
    long = replace(BY_PIECE, free_linear_mm=700, oversize_minor=4500)
    found = options_of(trip_of([], [crate("C", most_gross_g=25_000)], rules=(long,)))
    assert [(o.upto_g, o.cost_minor) for o in found] == [(23_000, 4500), (25_000, 8500)]


@pytest.mark.parametrize(("linear_mm", "ways"), [(750, 2), (749, 0)])
def test_the_strictest_leg_says_how_long_a_piece_may_be(linear_mm: int, ways: int) -> None:
    """Outside 250 x 250 x 250 mm is 750 mm: equal is within."""
    strict = replace(BY_PIECE, name="Strict", most_linear_mm=linear_mm)
    trip = trip_of([], [crate("C")], legs=(OUT, replace(BACK, rule="Strict")),
                   rules=(BY_PIECE, strict))  # fmt: skip
    assert len(options_of(trip)) == ways


@pytest.mark.parametrize(
    ("sides", "weight", "ways"),
    [((550, 400, 230), 8_000, 1), ((230, 550, 401), 8_000, 0), ((200, 200, 200), 4_499, 0)],
)
def test_cabin_cases_answer_to_sorted_lengths_and_weight(sides, weight, ways) -> None:
    """4 kg empty and 0.5 kg margin need 4.5 kg of the limit."""
    case = crate("C", outside=Box(*sides), carry=Carry.CABIN)
    legs = (replace(OUT, free_cabin_pieces=1),)
    rule = replace(CABIN, cabin_weight_g=weight)
    assert len(options_of(trip_of([], [case], legs=legs, rules=(rule,)))) == ways


def test_no_free_cabin_piece_on_one_leg_is_none_for_the_trip() -> None:
    """What flies, flies on every leg."""
    legs = (replace(OUT, free_cabin_pieces=2), BACK)
    found = problem_of([], [crate("C", carry=Carry.CABIN)], legs=legs, rules=(CABIN,))
    assert found.cabin_pieces == 0
    assert found.cases[0].options == ()
    assert found.cases[0].most_content_g < 0


def test_freight_is_open_to_all_but_cabin_cases_and_has_its_own_limit() -> None:
    """Contract 5.10: Most gross and the freight row's Most weight only."""
    trip = trip_of([], [crate("C", carry=Carry.EITHER)], freight=FREIGHT)
    assert options_of(trip)[-1] == Option(Route.FREIGHT, -1, 40_000, 0)
    cabin = trip_of([], [crate("C", carry=Carry.CABIN)], freight=FREIGHT)
    assert options_of(cabin) == ()


def test_without_legs_nothing_limits_the_hold() -> None:
    """A trip that drives."""
    found = options_of(trip_of([], [crate("C")], legs=()))
    assert found == (Option(Route.HOLD, -1, NO_LIMIT_G, 0),)


@pytest.mark.parametrize(
    ("line", "case", "holds"),
    [
        (thing("A", size=Box(205, 50, 50)), crate("C"), True),  # 205 + 5 mm in 210 mm
        (thing("A", size=Box(206, 50, 50)), crate("C"), False),
        (thing("A", size=Box(50, 50, 250)), crate("C", Box(300, 100, 100)), True),
        (thing("A", size=Box(50, 50, 250), upright=True), crate("C", Box(300, 100, 100)), False),
        (thing("A", size=Box(250, 50, 50), upright=True), crate("C", Box(100, 300, 100)), True),
        (thing("A", size=Box(210, 210, 178), soft=True), crate("C"), True),  # 84.8 % of the volume
        (thing("A", size=Box(210, 210, 179), soft=True), crate("C"), False),  # 85.2 %
        (thing("A", size=Box(211, 50, 50), soft=True), crate("C"), False),  # longer than the case
        (thing("A", rack_half_units=8, depth_mm=400), rack("R"), True),
        (thing("A", rack_half_units=9, depth_mm=400), rack("R"), False),
        (thing("A", rack_half_units=8, depth_mm=401), rack("R"), False),
        (thing("A", slot="neck"), vault("V"), True),
        (thing("A", slot="bell"), vault("V"), False),
    ],
)  # fmt: skip
def test_one_unit_in_the_empty_case(line: Gear, case: Case, holds: bool) -> None:
    """Turns, clearance once on each length, folded soft goods, rack units, slots."""
    assert holds_one(line, case, 5) is holds


def test_lines_go_to_their_kind_of_case_and_where_only_in_says() -> None:
    """A box line, one bound to the second crate, a rack line, one too heavy for anything."""
    lines = [thing("A"), thing("B", only_in=("C2",)), thing("R", rack_half_units=2, depth_mm=300),
             thing("H", weight_g=27_501)]  # fmt: skip
    found = problem_of(lines, [crate("C1"), crate("C2"), rack("K")])
    assert [line.cases for line in found.lines] == [(0, 1), (1,), (2,), ()]
    assert found.lines[3].most == 0


def test_how_many_must_and_may_fly() -> None:
    """By Source, by what offers reach, by need."""
    lines = [
        thing("FLY", 2, choice=Choice.FLY),
        thing("HIRE", 2, choice=Choice.HIRE),
        thing("SCARCE", 3),  # one to be had of three
        thing("IDLE", 2, needed_at=()),
        thing("SPARE", 2, needed_at=(), role="Voice"),
    ]
    offers = (price("HIRE", 100), price("SCARCE", 100, available=1), price("FLY", 100))
    found = problem_of(lines, [crate("C")], offers=offers)
    assert [(line.least, line.most) for line in found.lines] == [
        (2, 2), (0, 0), (2, 3), (0, 0), (0, 2),
    ]  # fmt: skip


def test_the_scarcest_stop_says_how_many_must_fly() -> None:
    """Three to be had at one stop, one at the other."""
    line = thing("A", 3, needed_at=("Quay", "Moor"))
    offers = (price("A", 100), price("A", 100, stop="Moor", available=1))
    found = problem_of([line], [crate("C")], stops=(QUAY, MOOR), offers=offers)
    assert (found.lines[0].least, found.lines[0].stops) == (2, (0, 1))


def test_wishes_bind_but_never_below_what_must_fly() -> None:
    """Fly all, hire all, at most one of three where two must fly."""
    trip = trip_of([thing("A", 3), thing("B", 3), thing("D", 3)], [crate("C")],
                   offers=(price("A", 1), price("B", 1), price("D", 1, available=1)))  # fmt: skip
    found = build(trip, Wishes(fly=("A",), hire=("B",), at_most=(("D", 1),)))
    assert [(line.least, line.most) for line in found.lines] == [(3, 3), (0, 0), (2, 2)]


def test_carry_and_law_say_by_which_routes_gear_travels() -> None:
    """Spare lithium is cabin whatever the row says; above 160 Wh it flies nowhere."""
    spare = Battery(Chemistry.LITHIUM_ION, energy_mwh=98_000, spare=True)
    large = replace(spare, energy_mwh=160_001)
    lines = [thing("A"), thing("H", carry=Carry.HOLD), thing("K", carry=Carry.CABIN),
             thing("P", battery=spare, carry=Carry.HOLD), thing("X", battery=large)]  # fmt: skip
    case = crate("C", carry=Carry.EITHER)
    legs = (replace(OUT, free_cabin_pieces=1),)
    rule = replace(BY_PIECE, cabin_weight_g=20_000)
    found = problem_of(lines, [case], legs=legs, rules=(rule,))
    assert [sorted(line.routes) for line in found.lines[:4]] == [
        ["cabin", "freight", "hold"], ["freight", "hold"], ["cabin"], ["cabin"],
    ]  # fmt: skip
    assert found.lines[3].cases == (0,)
    assert found.lines[4].most == 0


def test_cases_alike_in_all_that_matters_are_one_group() -> None:
    """A name makes no difference; Only in and weight do."""
    cases = [crate("C1"), crate("C2"), crate("C3", empty_g=4_001), crate("C4")]
    found = problem_of([thing("A", only_in=("C1", "C2", "C3"))], cases)
    assert found.groups == ((0, 1), (2,), (3,))


def test_a_role_with_a_spare_is_a_cap_on_every_case() -> None:
    """Five units for three needed: a case may hold two; needs is the largest figure."""
    lines = [thing("A", 3, role="Voice", role_needs=2), thing("B", 2, role="Voice", role_needs=3)]
    trip = trip_of(lines, [])
    assert role_needs(trip, "Voice") == 3
    assert [(cap.lines, cap.base, cap.swing) for cap in role_caps(trip)] == [((0, 1), 2, ())]
    assert role_caps(replace(trip, one_case_lost=False)) == ()
    assert role_caps(trip_of([lines[1], thing("A", 1, role="Voice")], [])) == ()  # no spare


def test_units_of_a_role_that_a_stop_does_not_need_swing() -> None:
    """Contract 5.6: they count where they fly, outside of the case."""
    lines = [thing("A", 2, role="Voice", role_needs=1),
             thing("B", 1, role="Voice", needed_at=("Moor",))]  # fmt: skip
    caps = role_caps(trip_of(lines, [], stops=(QUAY, MOOR)))
    assert [(cap.stop, cap.base, cap.swing) for cap in caps] == [("Quay", 1, (1,))]


def test_bundles_by_pack_with_and_worth_by_stop() -> None:
    """Two lines share a label; worth counts at each stop that needs the line."""
    lines = [thing("A", pack_with="Brass"), thing("B"), thing("D", pack_with="Brass")]
    lines[1] = replace(lines[1], worth_minor=300, needed_at=("Quay", "Moor"))
    found = problem_of(lines, [crate("C")], stops=(QUAY, MOOR))
    assert found.bundles == ((0, 2),)
    assert found.worth_minor == (0, 600, 0)


def test_volumes_are_grown_for_rigid_gear_own_for_soft() -> None:
    """100 mm cubes: 105^3 with clearance; soft gear is its own 10^6 mm3 (contract 5.7)."""
    found = problem_of([thing("A"), thing("S", soft=True)], [crate("C")])
    rigid, soft = found.lines
    assert (rigid.grown_mm3, rigid.own_mm3, rigid.soft_mm3) == (1_157_625, 1_000_000, 0)
    assert (soft.grown_mm3, soft.own_mm3, soft.soft_mm3) == (0, 0, 1_000_000)
    assert grown_mm3(thing("R", rack_half_units=2), found.trip) == 0
