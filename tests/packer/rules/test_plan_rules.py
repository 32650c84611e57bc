"""Each rule on the plan: a hand-made plan that trips it at the right cell, and one that passes.

The plans are not judged here: some are made to hold what a judged plan never does.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from support.rule_trips import (
    Change,
    PieceOf,
    add,
    at,
    cell,
    changed,
    field,
    line,
    place,
    plan_findings,
)

from packer.model.finding import Finding
from packer.model.plan import Route
from packer.rules import catalogue

HOLD, CABIN, FREIGHT = Route.HOLD, Route.CABIN, Route.FREIGHT
LAST = -1


def piece(route: Route = HOLD, planning_g: int = 12_000, new: int = 1, **units: int) -> PieceOf:
    """The first trunk with one `NEW` in it and other lines as named."""
    held = (("NEW", new), *units.items()) if new else tuple(units.items())
    return PieceOf("TRUNK-1", route, planning_g, held)


@dataclass(frozen=True)
class Case:
    """A rule's code, a trip, the piece that trips it, where it points, and one that passes."""

    code: str
    trip: tuple[Change, ...]
    loud: PieceOf
    where: tuple[str, int, str]
    quiet: PieceOf
    quiet_trip: tuple[Change, ...] | None = None
    words: tuple[str, ...] = ()
    made: str = "2026-06-20"

    def __str__(self) -> str:
        return f"{self.code}-{'-'.join(self.words)}"


ION = {"Battery": "lithium ion", "Battery Wh": 50, "Serials": "A1"}
SPARE = line(**ION, Battery_spare="yes")
DEVICE = line(**ION)
ALL = {"HORN": 2, "STAND": 3}
AT_HOME_IN_EU = (
    cell("Stops", 0, "Country", "FR"),
    cell("Legs", 0, "To", "CDG"),
    cell("Legs", 1, "From", "CDG"),
)
RICH = line(Value=24_000)
SDR = add("Rates", Currency="XDR", Rate=1.2)  # an invented rate
CUT_OFF = add("Freight", Rate_per_kg=4, Cut_off="2026-06-24")

CASES = [
    Case(
        "spare-battery-in-hold",
        (SPARE,),
        piece(HOLD),
        ("Gear", LAST, "Battery spare"),
        piece(CABIN),
        words=("TRUNK-1 goes by hold",),
    ),
    Case(
        "device-in-hold-switched-off",
        (DEVICE,),
        piece(HOLD),
        ("Gear", LAST, "Battery"),
        piece(CABIN),
        words=("Switch them off completely (not to sleep)",),  # IATA leaflet 2018
    ),
    Case(
        "device-in-hold-switched-off",
        (line(Battery="lithium ion", Battery_Wh=2.8, Serials="A1"),),
        piece(HOLD),
        ("Gear", LAST, "Battery"),
        piece(HOLD),
        (line(Battery="lithium ion", Battery_Wh=2.7, Serials="A1"),),  # ICAO, April 2023
    ),
    Case(
        "device-in-hold-switched-off",
        (line(Battery="lithium metal", Battery_g_lithium=0.4, Serials="A1"),),
        piece(HOLD),
        ("Gear", LAST, "Battery"),
        piece(HOLD),
        (line(Battery="lithium metal", Battery_g_lithium=0.3, Serials="A1"),),
    ),
    Case(
        "tool-in-cabin",
        (line(Description="Folding knife"),),
        piece(CABIN),
        ("Gear", LAST, "Gear"),  # the sheet has no column Carry: the row's first cell
        piece(HOLD),
        words=("knife",),
    ),
    Case(
        "heavy-piece",
        (line(),),
        piece(HOLD, 23_001),
        ("Cases", 0, "Case"),
        piece(HOLD, 23_000),
        words=("23.001 kg", "HEAVY label"),
    ),
    Case(
        "us-instrument-rule",
        (line(), cell("Legs", 0, "To", "JFK")),
        piece(HOLD, 74_843),  # 14 CFR 251.5: 165 lb is 74.84274105 kg
        ("Cases", 0, "Case"),
        piece(HOLD, 74_842),
        words=("74.843 kg", "165 lb"),
    ),
    Case(
        "estimated-weights-near-limit",
        (line(Weight_basis="estimate", Weight=8),),
        piece(HOLD, 22_600),  # 0.4 kg of room, 0.8 kg in doubt
        ("Gear", LAST, "Weight basis"),
        piece(HOLD, 22_600),
        (line(Weight_basis="weighed", Weight=8),),
        words=("0.4 kg below its next limit",),
    ),
    Case(
        "piece-needs-two-people",
        (line(),),
        piece(HOLD, 25_001),  # HSE L23: 25 kg filter figure
        ("Cases", 0, "Case"),
        piece(HOLD, 25_000),
        words=("2 people together", "no medical advice"),
    ),
    Case(
        "piece-needs-two-people",
        (line(),),
        piece(HOLD, 33_334),  # two thirds of 2 x 25 kg is 33.333 kg
        ("Cases", 0, "Case"),
        piece(HOLD, 24_000),
        words=("3 people together",),
    ),
    Case(
        "left-off-the-vouchers",
        (line(),),
        piece(HORN=2),  # the stands stay at home
        ("Gear", 1, "Quantity"),
        piece(**ALL),
        words=("1 line", "STAND", "INVENTED-7"),
    ),
    Case(
        "customs-list-totals",
        (line(),),
        piece(**ALL),
        ("Trip", 0, "Carnet number"),
        piece(**ALL),
        (line(), *AT_HOME_IN_EU),
        # 2 horns and 3 stands of 900, one cowbell of 50, one trunk of 150; 2 x 2.5 kg, 3 x 1.2 kg,
        # 1 kg and 6.5 kg
        words=("7 pieces", "16.1 kg", "4700.00 EUR"),
    ),
    Case(
        "liability-not-compared",
        (RICH,),
        piece(HOLD),
        ("Legs", 0, "People"),
        piece(CABIN),
        words=("24150.00 EUR", "3 people", "4557 SDR", "no rate for XDR"),  # 3 x 1,519
    ),
    Case(
        "hold-value-above-liability",
        (RICH, SDR),
        piece(HOLD),
        ("Legs", 0, "People"),
        piece(HOLD),
        (line(Value=5_000), SDR),
        # 4557 x 1.2 = 5468.40; 24150 - 5468.40 = 18681.60
        words=("5468.40 EUR", "18681.60 EUR is uncovered"),
    ),
    Case(
        "freight-value-above-liability",
        (RICH, SDR, CUT_OFF),
        piece(FREIGHT, 10_000),
        ("Freight", 0, "Rate per kg"),
        piece(FREIGHT, 10_000),
        (line(Value=100), SDR, CUT_OFF),
        words=("260 SDR (312.00 EUR)",),  # 26 SDR a kilogram
    ),
    Case(
        "value-not-known-for-insurance",
        (line(Value=None),),
        piece(HOLD),
        ("Gear", LAST, "Value"),
        piece(CABIN),
        words=("NEW",),
    ),
    Case(
        "loose-battery-by-freight",
        (SPARE, CUT_OFF),
        piece(FREIGHT),
        ("Gear", LAST, "Battery spare"),
        piece(CABIN),
        words=("TRUNK-1",),
    ),
    Case(
        "lithium-device-by-freight",
        (DEVICE, CUT_OFF),
        piece(FREIGHT),
        ("Gear", LAST, "Battery"),
        piece(HOLD),
        words=("forwarder",),
    ),
    Case(
        "freight-cut-off-passed",
        (line(), add("Freight", Rate_per_kg=4, Cut_off="2026-06-19")),
        piece(FREIGHT),
        ("Freight", 0, "Cut-off"),
        piece(FREIGHT),
        (line(), add("Freight", Rate_per_kg=4, Cut_off="2026-06-20")),
        words=("2026-06-19", "2026-06-20"),
    ),
]


def _findings(trip: tuple[Change, ...], held: PieceOf, made: str) -> tuple[Finding, ...]:
    return plan_findings(changed(*trip), held, made=made)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_rule_points_at_the_cell(case: Case) -> None:
    """One finding at the cell behind it, in words with figure and limit."""
    findings = _findings(case.trip, case.loud, case.made)
    assert at(findings, case.code) == [place(changed(*case.trip), *case.where)]
    found = next(held for held in findings if held.code == case.code)
    for word in case.words:
        assert word in f"{found.message} {found.remedy}"


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_rule_is_quiet_otherwise(case: Case) -> None:
    """The neighbour of the failing plan passes."""
    trip = case.trip if case.quiet_trip is None else case.quiet_trip
    assert at(_findings(trip, case.quiet, case.made), case.code) == []


def test_every_rule_on_the_plan_is_tripped_here() -> None:
    """A new rule without a plan that trips it fails here."""
    on_plan = {page.code for page in catalogue() if page.looks_at == "plan"}
    assert on_plan <= {case.code for case in CASES}


ONE_PERSON = (cell("Legs", 0, "People", 1), cell("Legs", 1, "People", 1))
BANKS = {"Description": "Power bank", "Battery": "lithium ion", "Battery Wh": 37}
BANK_HIRE = add("Offers", Stop="Lakeside", For="NEW", Supplier="house", Price=0)


def test_counts_go_by_what_the_plan_flies() -> None:
    """Three power banks that may stay: none counted on the trip, those that fly on the plan."""
    trip = (line(**BANKS, Quantity=3, Source="either"), BANK_HIRE, *ONE_PERSON)
    all_fly, two_fly = (plan_findings(changed(*trip), piece(CABIN, new=n)) for n in (3, 2))
    assert len(at(all_fly, "too-many-power-banks")) == 1
    assert at(two_fly, "too-many-power-banks") == []


def test_the_plan_does_not_repeat_what_the_trip_said() -> None:
    """What can only fly is counted on the trip; the plan is silent about the same."""
    trip = (line(**BANKS, Quantity=3), *ONE_PERSON)
    assert at(plan_findings(changed(*trip), piece(CABIN, new=3)), "too-many-power-banks") == []


def test_what_is_wrong_in_itself_is_said_within_one_territory_too() -> None:
    """A dropped heading and a doubled serial; nothing about what is missing for customs."""
    from support.rule_trips import trip_findings

    odd = line(HS="8525.80", Serials="A1; A1", Quantity=2, Value=None, Origin=None)
    codes = {f.code for f in trip_findings(changed(odd, *AT_HOME_IN_EU))}
    assert codes == {"heading-no-longer-exists", "serials-do-not-match-units"}


def test_home_or_single_territory_asks_for_no_vouchers() -> None:
    """Within the European Union nothing of customs is said, plan or trip."""
    sheets = changed(line(), *AT_HOME_IN_EU, field("Carnet number", "INVENTED-7"))
    findings = plan_findings(sheets, piece(HORN=1))
    assert not {"left-off-the-vouchers", "customs-list-totals"} & {f.code for f in findings}
