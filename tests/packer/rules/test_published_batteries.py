"""Published limits on batteries: what the checks say, what the judge refuses, what is planned.

Sources, named again beside each value: IATA leaflet on passengers travelling with lithium
batteries (2018); 49 CFR 175.10(a)(18) (edition of 2018); FAA pages; ICAO Addendum 1 (secondary:
dgonline.training). All trips are invented.
"""

from __future__ import annotations

import pytest
from support.rule_cases import ONE_PERSON, SPARE, ion
from support.rule_judging import alone, in_trunk, planned, refusals, routes_of
from support.rule_trips import Change, PieceOf, add, at, cell, line, plan_findings, trip_findings
from support.workbooks import Sheets

from packer.model.outcome import Outcome
from packer.model.plan import Route

ANY_WAY = cell("Cases", 0, "Carry", "either")
BANK = {"Description": "Power bank"}
OUT_OF_HOLD = {
    "spare of 50 Wh": ion(50, **SPARE),  # 49 CFR 175.10(a)(18); IATA leaflet 2018
    "power bank": ion(37, **BANK),  # 175.10(a)(18)(iv): it powers other devices, so a spare
    "marked for the hold": ion(37, Carry="hold", **BANK),
}


def told(sheets: Sheets, code: str) -> str:
    """Message and remedy of the one finding with this code."""
    (found,) = [held for held in trip_findings(sheets) if held.code == code]
    return f"{found.message} {found.remedy}"


def codes(sheets: Sheets) -> set[str]:
    """All codes found in the trip."""
    return {held.code for held in trip_findings(sheets)}


@pytest.mark.parametrize("what", OUT_OF_HOLD.values(), ids=OUT_OF_HOLD)
def test_loose_lithium_in_the_hold_is_refused_by_the_judge(what: Change) -> None:
    """The same plan.json with that piece in the cabin is accepted."""
    sheets = alone(what, ANY_WAY)
    assert refusals(sheets, in_trunk(Route.HOLD)) == {"spare-lithium-outside-cabin"}
    assert refusals(sheets, in_trunk(Route.CABIN)) == set()


@pytest.mark.parametrize("what", OUT_OF_HOLD.values(), ids=OUT_OF_HOLD)
def test_loose_lithium_is_never_planned_into_the_hold(what: Change) -> None:
    """A free hold piece and a paid freight are there: it goes in the cabin, or there is no plan."""
    freight = add("Freight", Rate_per_kg=1)
    assert routes_of(planned(alone(what, ANY_WAY, freight))) == {Route.CABIN}
    held = planned(alone(what, cell("Cases", 0, "Carry", "hold"), freight))
    assert (held.outcome, held.plan) == (Outcome.IMPOSSIBLE, None)


@pytest.mark.parametrize("wh", [160.01, 161.28])
def test_what_is_forbidden_flies_nowhere(wh: float) -> None:
    """IATA leaflet 2018: above 160 Wh in no baggage; 14.4 V x 11.2 Ah is 161.28 Wh."""
    for spare in ({}, SPARE):
        sheets = alone(ion(wh, **spare), ANY_WAY)
        assert "battery-forbidden-aboard" in codes(sheets)
        for route in (Route.HOLD, Route.CABIN):
            assert "forbidden-battery-flies" in refusals(sheets, in_trunk(route))
        assert planned(sheets).plan is None


def test_a_lithium_metal_spare_of_3_g_flies_nowhere() -> None:
    """IATA leaflet 2018: above 2 g for portable medical devices only, which a tuner is not."""
    cells = {"Description": "Cell for a tuner", "Battery": "lithium metal"}
    sheets = alone(line(**cells, Battery_g_lithium=3, **SPARE), ANY_WAY)
    assert "battery-forbidden-aboard" in codes(sheets)
    assert "forbidden-battery-flies" in refusals(sheets, in_trunk(Route.CABIN))
    assert planned(sheets).plan is None


@pytest.mark.parametrize(
    ("wh", "approval", "forbidden"),
    # IATA leaflet 2018: exactly 100 Wh is small, exactly 160 Wh needs approval
    [(100, False, False), (100.1, True, False), (160, True, False), (160.1, False, True)],
)
def test_classes_of_a_spare(wh: float, approval: bool, forbidden: bool) -> None:
    """A limit belongs to the lower class."""
    found = codes(alone(ion(wh, **SPARE), ANY_WAY))
    assert ("battery-needs-approval" in found) is approval
    assert ("battery-forbidden-aboard" in found) is forbidden


@pytest.mark.parametrize(
    ("code", "count", "wh", "more"),
    [
        # IATA leaflet 2018: 2 spares above 100 Wh, 20 spares and 15 devices up to 100 Wh
        ("too-many-medium-batteries", 2, 120, SPARE),  # polexp.com FAQ: 20 V x 6 Ah is 120 Wh
        ("too-many-spare-batteries", 20, 100, SPARE),
        ("too-many-battery-devices", 15, 100, {}),
        # ICAO Addendum 1: two power banks from 27 March 2026 (secondary: dgonline.training)
        ("too-many-power-banks", 2, 37, BANK),
    ],
)
def test_one_more_than_a_person_may_carry(
    code: str, count: int, wh: int, more: dict[str, object]
) -> None:
    """The most is within, one more is not; one person flies, in July 2026."""
    for units, wrong in ((count, False), (count + 1, True)):
        found = trip_findings(alone(ion(wh, Quantity=units, **more), *ONE_PERSON))
        assert bool(at(found, code)) is wrong


def test_approval_does_not_raise_two_spares_above_100_wh() -> None:
    """IATA leaflet 2018: two with approval; of small ones the carrier may take more than 20."""
    medium = alone(ion(120, Quantity=3, **SPARE), *ONE_PERSON)
    assert "approval allows no more" in told(medium, "too-many-medium-batteries")
    assert "must approve" in told(medium, "battery-needs-approval")
    small = alone(ion(100, Quantity=21, **SPARE), *ONE_PERSON)
    assert "ask the carrier for approval of more" in told(small, "too-many-spare-batteries")


@pytest.mark.parametrize(
    ("watt_hours", "off"),
    [
        (80, True),  # IATA leaflet 2018: completely off in the hold, asleep will not do
        (1, False),  # ICAO Council, April 2023 (secondary): up to 2.7 Wh may stay on
    ],
)
def test_what_must_be_off_in_the_hold(watt_hours: int, off: bool) -> None:
    """A trip has no column for a switch: the plan says which devices must be off, not asleep."""
    sheets = alone(ion(watt_hours, Serials="A1"))
    assert refusals(sheets, in_trunk(Route.HOLD)) == set()
    found = plan_findings(sheets, PieceOf("TRUNK-1", Route.HOLD, 8_000, (("NEW", 1),)))
    words = [one.remedy for one in found if one.code == "device-in-hold-switched-off"]
    assert [("not to sleep" in remedy) for remedy in words] == [True] * off


def test_forty_dry_cells_may_go_in_the_hold_with_their_terminals_covered() -> None:
    """FAA page on dry cells: NiMH spares may be checked, protected from short circuit."""
    small = {"Weight": 0.03, "Length": 5, "Width": 2, "Height": 2}
    sheets = alone(line(Battery="NiMH", Quantity=40, Carry="hold", **SPARE, **small))
    assert refusals(sheets, in_trunk(Route.HOLD, 40)) == set()
    assert routes_of(planned(sheets)) == {Route.HOLD}
    assert "Protect each one's terminals" in told(sheets, "spare-battery-terminals")
    wrong = {"spare-battery-in-hold", "too-many-spare-batteries"}
    assert not codes(sheets) & wrong


def test_two_sealed_lead_acid_spares_may_go() -> None:
    """49 CFR 175.10(a)(18)(iii): 12 V and 100 Wh, two spares, each protected."""
    lead = line(Battery="lead acid", Battery_Wh=100, Quantity=2, Description="Sealed", **SPARE)
    sheets = alone(lead, *ONE_PERSON, ANY_WAY)
    for route in (Route.HOLD, Route.CABIN):
        assert refusals(sheets, in_trunk(route, 2)) == set()
    assert "Protect each one's terminals" in told(sheets, "spare-battery-terminals")
    assert not codes(sheets) & {"too-many-lead-acid-batteries", "battery-forbidden-aboard"}
