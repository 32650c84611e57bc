"""Each rule on the trip: a workbook that trips it at the right cell, and one that passes.

The quiet one differs from the loud one in as little as possible. All data is invented.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from support import rule_cases_baggage, rule_cases_customs, rule_cases_stage
from support.rule_cases import ONE_PERSON, Case, country, ion
from support.rule_trips import add, at, cell, changed, line, place, sensible_trip, trip_findings
from support.workbooks import write_csv_folder, write_workbook

from packer.reading import read_trip
from packer.rules import catalogue, check_trip

CASES = [*rule_cases_baggage.CASES, *rule_cases_customs.CASES, *rule_cases_stage.CASES]


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_rule_points_at_the_cell(case: Case) -> None:
    """One finding, at the cell that holds the cause, in words with figure and limit."""
    sheets = changed(*case.loud)
    findings = trip_findings(sheets)
    assert at(findings, case.code) == [place(sheets, *case.where)]
    found = next(held for held in findings if held.code == case.code)
    for word in case.words:
        assert word in f"{found.message} {found.remedy}"


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_rule_is_quiet_otherwise(case: Case) -> None:
    """The neighbour of the failing workbook passes."""
    assert at(trip_findings(changed(*case.quiet)), case.code) == []


def test_every_rule_on_the_trip_is_tripped_here() -> None:
    """A new rule without a workbook that trips it fails here."""
    on_trip = {page.code for page in catalogue() if page.looks_at != "plan"}
    assert on_trip == {case.code for case in CASES}


def test_a_sensible_trip_has_no_warning() -> None:
    """Only what the route asks of a carnet is noted."""
    assert [held.code for held in trip_findings(sensible_trip())] == ["vouchers-for-route"]


@pytest.mark.parametrize("case", CASES[:: len(CASES) // 8], ids=str)
def test_a_workbook_gives_the_same_cell_as_a_folder(case: Case, tmp_path: Path) -> None:
    """`trip.xlsx!Gear!D5` instead of `trip!Gear!D5`."""
    sheets = changed(*case.loud)
    reading = read_trip(write_workbook(tmp_path / "trip.xlsx", sheets))
    assert reading.trip is not None
    expected = place(sheets, *case.where).replace("trip!", "trip.xlsx!", 1)
    assert at(check_trip(reading.trip), case.code) == [expected]


def test_power_banks_are_counted_from_their_day() -> None:
    """ICAO Technical Instructions 2025-2026, Addendum 1: from 27 March 2026, not before."""
    banks = ion(37, Quantity=3, Description="Power bank")
    late = changed(banks, *ONE_PERSON, cell("Legs", 0, "Date", "2026-03-27"))
    early = changed(
        banks,
        *ONE_PERSON,
        cell("Legs", 0, "Date", "2026-03-25"),
        cell("Legs", 1, "Date", "2026-03-26"),
        country("CH", "2026-03-25"),
    )
    assert len(at(trip_findings(late), "too-many-power-banks")) == 1
    assert at(trip_findings(early), "too-many-power-banks") == []


def test_hired_gear_is_not_checked() -> None:
    """What never flies crosses no border and boards no aircraft."""
    loud = ion(200, Source="hire", Value=None, Origin=None, Mains="110 V", Radio="620")
    assert [held.code for held in trip_findings(changed(loud))] == ["vouchers-for-route"]


def test_one_fact_is_said_once_for_all_stops() -> None:
    """A line at two stops with the wrong voltage is one finding that names both."""
    sheets = changed(
        line(Mains="110 V", Serials="A1"),
        add("Stops", Stop="Hillfoot", Country="CH", Date="2026-07-05"),
    )
    findings = [held for held in trip_findings(sheets) if held.code == "mains-voltage-mismatch"]
    assert len(findings) == 1
    assert "Lakeside (230 V) and Hillfoot (230 V)" in findings[0].message


def test_an_origin_that_is_no_country_is_found_while_reading() -> None:
    """`UK` is not assigned in ISO 3166-1; the United Kingdom is GB."""

    for origin, wrong in (("UK", True), ("United Kingdom", True), ("GB", False)):
        sheets = changed(line(Origin=origin))
        with TemporaryDirectory() as folder:
            reading = read_trip(write_csv_folder(Path(folder) / "trip", sheets))
        assert (at(reading.findings, "origin-unknown") != []) is wrong
