"""The judge accepts the plan worked out by hand and refuses every way of breaking it, by name."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from support.breaking import (
    Break,
    add_cover,
    both,
    change_case,
    change_gear,
    change_leg,
    change_rule,
    change_trip,
    cover,
    decide,
    drop_cover,
    move,
    place,
    route,
    state,
    state_in,
    take_out,
)
from support.worked import CRANE, HOUSE, LANE, NORTH, SOUTH, worked_plan, worked_trip

from packer.judge import BREACHES, Breach, judge, settle
from packer.model.plan import Costs
from packer.model.plan_json import plan_from_json
from packer.model.trip import Battery, Box, Carry, Chemistry, Choice, Trip

FIGURES = ("empty_g", "contents_g", "planning_g", "cost_minor")


def test_plan_worked_by_hand_is_accepted() -> None:
    """Every figure of the worked plan was computed by hand; the judge finds the same."""
    verdict = judge(worked_trip(), plan_from_json(worked_plan()))
    assert verdict.breaches == ()
    assert verdict.notes == ()
    assert verdict.costs == Costs(95_000, 16_800, 10_500, 9188, 3600)
    assert verdict.accepted


def test_verdict_says_where_the_money_goes() -> None:
    """Hire, delivery and worth by stop: Orrevik 800 + 6000, Tarnhof 7000 + 3000."""
    stops = judge(worked_trip(), plan_from_json(worked_plan())).stops
    assert [
        (each.stop, each.hire_minor, each.delivery_minor, each.worth_minor) for each in stops
    ] == [
        (NORTH, 6800, 2500 + 4000, 1600),
        (SOUTH, 10_000, 3500 + 500, 2000),
    ]


def test_plan_without_figures_is_accepted_and_settled() -> None:
    """A hand-made plan need not state any figure; settling it puts the right ones in."""
    plan = plan_from_json(_without_figures(worked_plan()))
    assert judge(worked_trip(), plan).breaches == ()
    settled = settle(worked_trip(), plan)
    assert settled.costs == Costs(95_000, 16_800, 10_500, 9188, 3600)
    assert settled.pieces == plan_from_json(worked_plan()).pieces
    assert settled.decisions == plan_from_json(worked_plan()).decisions
    assert judge(worked_trip(), settled).breaches == ()


def _without_figures(plan: dict[str, Any]) -> dict[str, Any]:
    for each in plan["pieces"]:
        for name in FIGURES[:3]:
            each.pop(name, None)
    for each in plan["decisions"]:
        for stop in each["stops"]:
            stop.pop("cost_minor", None)
    kept = ("decisions", "pieces", "status", "bound_minor")
    return {key: plan[key] for key in kept if key in plan}


def _extra(gear: str) -> Break:
    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        plan["pieces"][0]["contents"].append({"gear": gear, "unit": 1})
        return trip

    return breaking


def _again(key: str, index: int, **changes: Any) -> Break:
    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        plan[key].append({**plan[key][index], **changes})
        return trip

    return breaking


def _stay(gear: str, number: int = 1) -> Break:
    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        take_out(plan, gear, number)
        return decide(gear, flown=0)(trip, plan)

    return breaking


def _unit_out(gear: str, number: int) -> Break:
    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        take_out(plan, gear, number)
        return trip

    return breaking


def _without_offer(stop: str, target: str, supplier: str) -> Break:
    def breaking(trip: Trip, _: dict[str, Any]) -> Trip:
        gone = (stop, target, supplier)
        left = tuple(
            each for each in trip.offers if (each.stop, each.target, each.supplier) != gone
        )
        assert len(left) == len(trip.offers) - 1
        return replace(trip, offers=left)

    return breaking


LITHIUM_170 = Battery(Chemistry.LITHIUM_ION, energy_mwh=170_000)
LITHIUM_160 = Battery(Chemistry.LITHIUM_ION, energy_mwh=160_000)
METAL_3G = Battery(Chemistry.LITHIUM_METAL, lithium_mg=3_000)

CONSTRAINTS: list[tuple[str, set[str], Break]] = [
    ("gear that nobody has", {"unknown-gear"}, _again("decisions", 0, gear="SINTH", flown=0)),
    ("packed gear that nobody has", {"unknown-gear"}, _extra("LYRE")),
    ("packed twice", {"unit-packed-twice"}, place("MIC", 2, unit=1)),
    ("a case that nobody has", {"unknown-case", "must-fly-stays", "flown-not-packed",
                                "units-uncovered", "role-lost-with-case"},
     state_in("pieces", 0, case="TRUNC")),
    ("two decisions", {"gear-decided-twice"}, _again("decisions", 0, stops=[])),
    ("a case as two pieces", {"case-used-twice", "unit-packed-twice", "flown-not-packed"},
     _again("pieces", 4)),
    ("an empty case", {"case-empty"}, both(_stay("BASS"), change_gear("BASS", needed_at=()))),
    ("a unit above the quantity", {"no-such-unit"}, place("BASS", 1, unit=2)),
    ("a unit left out", {"flown-not-packed", "units-uncovered"},
     _unit_out("SNARE", 1)),
    ("a heavier trunk", {"over-most-gross"}, change_case("TRUNK", most_gross_g=27_899)),
    ("a leg that takes less", {"over-hold-weight"}, change_rule("Stricter", most_weight_g=27_899)),
    ("a cabin that takes less", {"over-cabin-weight"},
     change_rule("By weight", cabin_weight_g=5_099)),
    ("freight that takes less", {"over-freight-weight"}, lambda trip, _: replace(
        trip, freight=replace(trip.freight, most_weight_g=22_499))),
    ("no band", {"weight-in-no-band"}, change_rule("By piece", bands=())),
    ("a leg that takes shorter", {"over-linear-size"},
     change_rule("Stricter", most_linear_mm=1999)),
    ("a smaller cabin", {"over-cabin-size"},
     change_rule("By weight", cabin_mm=(220, 389, 540))),
    ("rack gear in a box", {"wrong-kind-of-case"}, move("RX", 1, "CRATE-2")),
    ("box gear in a rack", {"wrong-kind-of-case", "pack-with-split"}, move("MUTE", 1, "RACK")),
    ("too many rack units", {"rack-overfull"}, change_case("RACK", rack_half_units=7)),
    ("too deep", {"rack-too-shallow"}, change_case("RACK", rack_depth_mm=439)),
    ("another slot", {"wrong-slot"}, change_case("VAULT", slot="horn")),
    ("too few slots", {"slots-overfull"}, change_case("VAULT", slots=0)),
    ("not in the case named", {"outside-only-in"}, change_gear("SNARE", only_in=("CRATE-2",))),
    ("in no case at all", {"outside-only-in"}, change_gear("SNARE", only_in=())),
    ("parted from its pair", {"pack-with-split"},
     move("MUTE", 1, "TRUNK", at_mm=[505, 305, 0], size_mm=[150, 150, 150])),
    ("no place", {"place-missing"}, move("SNARE", 1, "CRATE-1")),
    ("a place in a rack", {"place-not-wanted"},
     place("RX", 1, at_mm=[0, 0, 0], size_mm=[300, 483, 44])),
    ("a place for soft goods", {"place-not-wanted"},
     place("LOOM", 1, at_mm=[0, 0, 0], size_mm=[400, 300, 100])),
    ("gear without lengths", {"gear-without-lengths"}, change_gear("MUTE", size=None)),
    ("a box without lengths", {"case-without-lengths"}, change_case("CRATE-2", inside=None)),
    ("shrunk", {"size-not-a-turn"}, place("MUTE", 1, size_mm=[150, 150, 149])),
    ("laid on its side", {"not-upright"},
     both(place("HEAD", 1, size_mm=[500, 240, 250]), place("SYNTH", 1, at_mm=[0, 0, 255]))),
    ("one millimetre out", {"outside-the-case"}, place("STAND", 1, at_mm=[0, 386, 0])),
    ("less room inside", {"outside-the-case"}, change_case("CRATE-2", inside=Box(554, 440, 330))),
    ("within the clearance of another", {"places-overlap"}, place("MUTE", 1, at_mm=[0, 224, 0])),
    ("more clearance", {"places-overlap", "outside-the-case"}, change_trip(clearance_mm=6)),
    ("on top of the trumpet", {"above-fragile"}, place("STAND", 1, at_mm=[0, 0, 185])),
    ("fragile below", {"above-fragile"}, change_gear("HEAD", fragile=True)),
    ("too much that is soft", {"soft-overfull"},
     change_gear("LOOM", size=Box(440, 330, 243))),
    ("soft and too long", {"soft-too-long"}, change_gear("LOOM", size=Box(600, 100, 100))),
    ("a hold case in the cabin", {"route-not-for-case", "too-many-cabin-pieces",
                                  "over-cabin-weight", "over-cabin-size"}, route("VAULT", "cabin")),
    ("a cabin case in the hold", {"route-not-for-case", "spare-lithium-outside-cabin",
                                  "cabin-gear-outside-cabin"}, route("HAND", "hold")),
    ("a cabin case by freight", {"route-not-for-case", "spare-lithium-outside-cabin",
                                 "cabin-gear-outside-cabin"}, route("HAND", "freight")),
    ("no freight", {"no-freight-offer"}, change_trip(freight=None)),
    ("a laptop in the hold", {"cabin-gear-outside-cabin"},
     move("LAPTOP", 1, "CRATE-2", at_mm=[155, 230, 0], size_mm=[350, 30, 250])),
    ("a laptop by freight", {"cabin-gear-outside-cabin"},
     move("LAPTOP", 1, "CHEST", at_mm=[0, 300, 0], size_mm=[350, 250, 30])),
    ("tools in the cabin", {"hold-gear-in-cabin"},
     change_gear("LAPTOP", carry=Carry.HOLD)),
    ("a spare battery in the hold", {"spare-lithium-outside-cabin"},
     move("PACK", 1, "CRATE-2", at_mm=[155, 230, 0], size_mm=[100, 60, 40])),
    ("a power bank in the hold", {"spare-lithium-outside-cabin"}, change_gear("TOOLS",
     description="Power-Bank", battery=Battery(Chemistry.LITHIUM_ION, energy_mwh=50_000))),
    ("a battery above all classes", {"forbidden-battery-flies"},
     change_gear("LAPTOP", battery=LITHIUM_170)),
    ("lithium metal above 2 g", {"forbidden-battery-flies"}, change_gear("LAPTOP",
     battery=METAL_3G)),
    ("one cabin piece too many", {"too-many-cabin-pieces"}, change_leg("L2", free_cabin_pieces=0)),
    ("must fly and stays", {"must-fly-stays", "units-uncovered"}, _stay("SYNTH")),
    ("must be hired and flies", {"must-stay-flies"}, change_gear("BASS", choice=Choice.HIRE)),
    ("nobody brings it", {"units-uncovered"}, drop_cover("CAB", 0)),
    ("nobody brings any of it", {"units-uncovered", "role-lost-with-case"}, drop_cover("MIC", 0)),
    ("more than stays at home", {"units-overcovered"}, cover("MIC", 0, units=2)),
    ("hired where not needed", {"covered-where-not-needed"}, add_cover("CAB", NORTH, LANE)),
    ("hired from nobody", {"no-such-offer"}, cover("MIC", 0, supplier=CRANE)),
    ("hired at another stop's price", {"no-such-offer"},
     _without_offer(SOUTH, "CAB", HOUSE)),
    ("hired for another line", {"no-such-offer"}, cover("MIC", 0, **{"for": "CAB"})),
    ("hired at no stop", {"no-such-offer", "covered-where-not-needed", "units-uncovered",
                          "role-lost-with-case"}, cover("MIC", 0, stop="Nowhere")),
    ("more than there is", {"offer-overdrawn"},
     both(cover("CAB", 0, units=2), drop_cover("CAB", 1))),
    ("a kit that is gone", {"offer-overdrawn"}, lambda trip, _: replace(trip, offers=tuple(
        replace(each, available=0) if each.is_kit else each for each in trip.offers))),
    ("an offer for nothing", {"cover-without-units"}, add_cover("CAB", SOUTH, LANE, 0)),
    ("a kit for half of its lines", {"kit-offer-incomplete", "units-uncovered"},
     drop_cover("STAND", 0)),
    ("a kit for part of a line", {"kit-offer-incomplete"},
     cover("STAND", 0, supplier=LANE, **{"for": "STAND"})),
    ("both microphones in one case", {"role-lost-with-case"},
     move("MIC", 2, "TRUNK", at_mm=[0, 365, 0], size_mm=[240, 100, 80])),
    ("a bound above the objective", {"bound-above-objective"}, state(bound_minor=135_089)),
    ("optimal without proof", {"optimal-without-proof"}, state(status="optimal")),
    ("a plan that says impossible", {"impossible-with-plan"}, state(status="impossible")),
]  # fmt: skip

FIGURES_BROKEN: list[tuple[str, Break]] = [
    ("wrong-weight", state_in("pieces", 0, planning_g=27_899)),
    ("wrong-weight", state_in("pieces", 0, contents_g=18_399)),
    ("wrong-weight", state_in("pieces", 0, empty_g=8_999)),
    ("wrong-cover-cost", cover("MIC", 0, cost_minor=799)),
    ("wrong-cover-cost", cover("STAND", 0, cost_minor=6000)),
    ("wrong-cover-cost", cover("DRUM", 0, cost_minor=0)),
    ("wrong-charge", state_in("charges", 0, pieces=4)),
    ("wrong-charge", state_in("charges", 0, extra_minor=24_000)),
    ("wrong-charge", state_in("charges", 0, overweight_minor=7500)),
    ("wrong-charge", state_in("charges", 0, oversize_minor=4500)),
    ("wrong-charge", state_in("charges", 1, weight_minor=52_300)),
    ("wrong-charge", state_in("charges", 1, total_minor=0)),
    ("charge-missing", lambda trip, plan: plan["charges"].pop() and trip),
    ("charge-missing", lambda trip, plan: plan["charges"].clear() or trip),
    ("charge-unknown", _again("charges", 1, leg="L2")),
    ("charge-unknown", _again("charges", 1)),
    ("wrong-baggage", state(baggage_minor=94_999)),
    ("wrong-hire", state(hire_minor=16_799)),
    ("wrong-delivery", state(delivery_minor=10_000)),
    ("wrong-freight", state(freight_minor=9187)),
    ("wrong-worth", state(worth_minor=0)),
    ("wrong-cash", state(cash_minor=131_487)),
    ("wrong-objective", state(objective_minor=135_087)),
    ("wrong-currency", state(currency="SEK")),
]


@pytest.mark.parametrize(("codes", "breaking"), [each[1:] for each in CONSTRAINTS],
                         ids=[each[0] for each in CONSTRAINTS])  # fmt: skip
def test_broken_constraint_is_refused_by_its_name(codes: set[str], breaking: Break) -> None:
    """One thing broken, all figures left open: just the breaches that follow from it."""
    plan = worked_plan()
    trip = breaking(worked_trip(), plan)
    verdict = judge(trip, plan_from_json(_without_figures(plan)))
    assert verdict.codes == codes
    assert not verdict.accepted


@pytest.mark.parametrize(("code", "breaking"), FIGURES_BROKEN)
def test_misstated_figure_is_refused_by_its_name(code: str, breaking: Break) -> None:
    """One figure misstated: that breach and no other."""
    plan = worked_plan()
    trip = breaking(worked_trip(), plan)
    assert judge(trip, plan_from_json(plan)).codes == {code}


def test_every_breach_of_the_catalogue_is_tried() -> None:
    """No code of the catalogue is without a plan that trips it."""
    tried = {code for _, codes, _ in CONSTRAINTS for code in codes}
    tried |= {code for code, _ in FIGURES_BROKEN}
    assert set(BREACHES) - tried == set()


BORDER: list[tuple[str, Break]] = [
    ("most gross", change_case("TRUNK", most_gross_g=27_900)),
    ("most weight of a leg", change_rule("Stricter", most_weight_g=27_900)),
    ("cabin weight", change_rule("By weight", cabin_weight_g=5_100)),
    ("most linear", change_rule("Stricter", most_linear_mm=2000)),
    ("cabin lengths, in any order", change_rule("By weight", cabin_mm=(220, 390, 540))),
    ("rack depth", change_case("RACK", rack_depth_mm=440)),
    ("slots", change_case("VAULT", slots=1)),
    ("a battery of just 160 Wh", change_gear("LAPTOP", battery=LITHIUM_160)),
    ("a run of cases named", change_gear("MUTE", only_in=("CRATE-1", "CRATE-2"))),
    ("no rule of one case lost", both(change_trip(one_case_lost=False), move(
        "MIC", 2, "TRUNK", at_mm=[0, 365, 0], size_mm=[240, 100, 80]))),
    ("a role without a spare", both(change_gear("MIC", role_needs=3), move(
        "MIC", 2, "TRUNK", at_mm=[0, 365, 0], size_mm=[240, 100, 80]))),
    ("soft goods that just fit", change_gear("LOOM", size=Box(440, 330, 242))),
]  # fmt: skip


@pytest.mark.parametrize("breaking", [each[1] for each in BORDER], ids=[each[0] for each in BORDER])
def test_equal_to_a_limit_is_within_it(breaking: Break) -> None:
    """Contract, section 5.3: comparisons are on whole grams and millimetres, equal is within.

    Soft goods in CRATE-1: 85 % of 81,312,000 - 39,920,000 mm3 is 35,183,200 mm3; folded to
    440 x 330 x 242 mm they take 35,138,400, with 243 mm 35,283,600.
    """
    plan = worked_plan()
    trip = breaking(worked_trip(), plan)
    assert judge(trip, plan_from_json(_without_figures(plan))).breaches == ()


def test_breach_says_value_limit_and_subject() -> None:
    """The sentence names the case, what it weighs and of what, and the limit."""
    plan = worked_plan()
    trip = change_case("TRUNK", most_gross_g=27_000)(worked_trip(), plan)
    (breach,) = judge(trip, plan_from_json(plan)).breaches
    assert (breach.subject, breach.actual, breach.limit) == ("TRUNK", 27_900, 27_000)
    assert breach.line() == (
        "Case TRUNK plans at 27.9 kg (empty 9 kg, contents 18.4 kg, margin 0.5 kg); "
        "the case may weigh at most 27 kg. [over-most-gross]"
    )


def test_another_trip_and_another_file_are_noted() -> None:
    """Name and digest do not count against a plan."""
    plan = plan_from_json({**worked_plan(), "trip": "Other", "input_sha256": "11" * 32})
    verdict = judge(worked_trip(), plan)
    assert verdict.accepted
    assert len(verdict.notes) == 2


def test_breach_needs_a_code_of_the_catalogue() -> None:
    """A code that the catalogue does not know is a bug."""
    with pytest.raises(ValueError, match="no breach is called"):
        Breach("nonsense", "", "")


def test_verdict_as_json_holds_totals_and_breaches() -> None:
    """The command and the API carry the same figures."""
    told = judge(worked_trip(), plan_from_json(worked_plan())).to_json()
    assert (told["accepted"], told["objective_minor"], told["cash_minor"]) == (
        True,
        135_088,
        131_488,
    )
    assert told["charges"][1]["weight_minor"] == 53_000
    assert told["breaches"] == []
