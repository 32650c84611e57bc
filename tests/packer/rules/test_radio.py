"""Edges of radio ranges, and who transmits. All data is invented."""

from __future__ import annotations

import pytest
from support.rule_cases import radio, stop_radio
from support.rule_trips import add, at, changed, trip_findings

OUTSIDE, PARTLY = "radio-outside-stop-ranges", "radio-partly-outside-stop-ranges"


@pytest.mark.parametrize(
    ("own", "allowed", "code"),
    [
        ("863.0", "863-865", None),  # a fixed frequency on the edge is inside
        ("865.0", "863-865", None),
        ("862.9", "863-865", OUTSIDE),
        ("863-865", "863-865", None),
        ("865-867", "863-865", OUTSIDE),  # ranges that only touch share nothing
        ("861-863", "863-865", OUTSIDE),
        ("864-866", "863-865", PARTLY),
        ("860-870", "863-865", PARTLY),
        ("470-480; 863-865", "863-865", PARTLY),
        ("863-865", "863-864; 864-865", None),  # allowed ranges that touch are one
        ("863-865", "863-863.9; 864-865", PARTLY),
        ("470-480", "470-475; 475-490; 600-610", None),
        ("470-480", "475-490; 470-476", None),  # in any order
    ],
)
def test_edges(own: str, allowed: str, code: str | None) -> None:
    """Both ends of a range belong to it."""
    findings = trip_findings(changed(radio(own), stop_radio(allowed)))
    assert {f.code for f in findings} & {OUTSIDE, PARTLY} == ({code} if code else set())


def test_one_finding_names_every_stop_that_is_outside() -> None:
    """And what the first of them allows; a stop that allows nothing says so."""
    second = {"Stop": "Hillfoot", "Country": "CH", "Date": "2026-07-05"}
    both = add("Stops", **second, Radio_ranges="470-480", Radio_source="invented")
    sheets = changed(radio("600-610"), stop_radio("863-865"), both)
    found = [f for f in trip_findings(sheets) if f.code == OUTSIDE]
    assert len(found) == 1
    assert "Lakeside and Hillfoot allows (863-865 MHz at the first)" in found[0].message
    alone = trip_findings(changed(radio("600-610"), stop_radio("863-865")))
    assert "at the first" not in next(f for f in alone if f.code == OUTSIDE).message


@pytest.mark.parametrize(
    ("description", "emits"),
    [
        ("Receiver", False),
        ("Belt receiver for in-ear monitors", False),
        ("Transmitter", True),
        ("Hand-held microphone", True),
        ("Receiver and transmitter, set", True),
    ],
)
def test_only_transmitters_are_coordinated(description: str, emits: bool) -> None:
    """A receiver disturbs nobody; what does not say is taken to transmit."""
    sheets = changed(radio("863-865", Quantity=2, Description=description), stop_radio("863-865"))
    assert bool(at(trip_findings(sheets), "radio-devices-overlap")) is emits


def test_devices_that_only_touch_do_not_share_a_range() -> None:
    """470-480 and 480-490 MHz have no channel in common."""
    sheets = changed(radio("470-480"), radio("480-490", "OTHER"), stop_radio("470-694"))
    assert at(trip_findings(sheets), "radio-devices-overlap") == []


@pytest.mark.parametrize(("own", "warned"), [("617", True), ("652", True), ("616.9", False)])
def test_edges_of_a_closed_range(own: str, warned: bool) -> None:
    """fcc.gov: 617-652 MHz since 13 July 2020; its ends belong to it."""
    from support.rule_cases import country

    sheets = changed(radio(own), stop_radio("470-694"), country("US"))
    assert bool(at(trip_findings(sheets), "radio-range-closed")) is warned


@pytest.mark.parametrize(("day", "warned"), [("2020-07-13", True), ("2020-07-12", False)])
def test_a_range_is_closed_from_its_day(day: str, warned: bool) -> None:
    """fcc.gov: after 13 July 2020."""
    from support.rule_cases import country
    from support.rule_trips import cell, field

    dates = (cell("Legs", 0, "Date", day), cell("Legs", 1, "Date", day), field("Carnet issued", ""))
    sheets = changed(radio("620"), stop_radio("470-694"), country("US", day), *dates)
    assert bool(at(trip_findings(sheets), "radio-range-closed")) is warned
