"""One broken workbook for each failure: what is said, and of which cell."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from support.workbooks import Sheets, minimal_trip, write_workbook

from packer.model.finding import Severity
from packer.reading import read_trip
from packer.reading.codes import SEVERITIES


def _set(sheet: str, row: int, **cells: Any) -> Callable[[Sheets], None]:
    """Put values into a row (from 0), `_` in a heading standing for a space; None removes."""

    def change(sheets: Sheets) -> None:
        record = sheets[sheet][row]
        for heading, value in cells.items():
            record[heading.replace("_", " ")] = value

    return change


def _trip(field: str, value: Any) -> Callable[[Sheets], None]:
    def change(sheets: Sheets) -> None:
        rows = sheets["Trip"]
        known = next((row for row in rows if row["Field"] == field), None)
        if known is None:
            rows.append({"Field": field, "Value": value})
        else:
            known["Value"] = value

    return change


def _add(sheet: str, **cells: Any) -> Callable[[Sheets], None]:
    def change(sheets: Sheets) -> None:
        record = {heading.replace("_", " "): value for heading, value in cells.items()}
        sheets.setdefault(sheet, []).append(record)

    return change


def _again(sheet: str, row: int, **cells: Any) -> Callable[[Sheets], None]:
    """One more row like an earlier one, with some cells changed."""

    def change(sheets: Sheets) -> None:
        record = {heading.replace("_", " "): value for heading, value in cells.items()}
        sheets[sheet].append({**sheets[sheet][row], **record})

    return change


def _rename(sheet: str, old: str, new: str | None) -> Callable[[Sheets], None]:
    """Rename a column, or drop it."""

    def change(sheets: Sheets) -> None:
        sheets[sheet] = [
            {(new if k == old else k): v for k, v in row.items() if new or k != old}
            for row in sheets[sheet]
        ]

    return change


def _drop(sheet: str) -> Callable[[Sheets], None]:
    return lambda sheets: sheets.pop(sheet) and None


def _both(*changes: Callable[[Sheets], None]) -> Callable[[Sheets], None]:
    def change(sheets: Sheets) -> None:
        for each in changes:
            each(sheets)

    return change


_WEIGHT_RULE = {"Concept": "weight", "Extra piece 1": None, "Overweight bands": None}
_RACK = {"Kind": "rack", "Rack units": 4, "Rack depth": 50}

CASES: dict[str, tuple[Callable[[Sheets], None], list[tuple[str, str]]]] = {
    "no sheet": (_drop("Legs"), [("Legs!A1", "sheet-missing")]),
    "two sheets alike": (_add("stop", Stop="x", Country="CH"), [("stop!A1", "sheet-duplicate")]),
    "no stop": (lambda s: s.update(Stops=[{"Stop": None, "Country": None, "Date": None}]),
                [("Stops!A1", "sheet-empty")]),
    "no column of names": (_rename("Stops", "Stop", None), [("Stops!A1", "column-missing")]),
    "no sheet of gear": (_drop("Gear"), [("Gear!A1", "sheet-missing")]),
    "rates without headings": (lambda s: s.update(Rates=[{"EUR/CHF": 1.05, "x": 1}]),
                               [("Rates!A1", "heading-row-missing")]),
    "no headings": (lambda s: s.update(Cases=[{"one": 1, "two": 2}]),
                    [("Cases!A1", "heading-row-missing")]),
    "heading twice": (_set("Gear", 0, WEIGHT=3), [("Gear!K1", "heading-duplicate")]),
    "no required column": (_rename("Gear", "Weight", None), [("Gear!A1", "column-missing")]),
    "unit of a heading unknown": (_rename("Gear", "Weight", "Weight (stone)"),
                                  [("Gear!D1", "unit-unknown")]),
    "unit of a cell unknown": (_set("Gear", 0, Weight="28 stone"), [("Gear!D2", "unit-unknown")]),
    "length as a weight": (_set("Gear", 0, Weight="28 cm"), [("Gear!D2", "unit-unknown")]),
    "no weight": (_set("Gear", 1, Weight=None), [("Gear!D3", "cell-missing")]),
    "no id": (_set("Gear", 0, Gear=None), [("Gear!A2", "cell-missing"),
                                           ("Offers!B3", "offer-target-unknown")]),
    "formula never calculated": (_set("Gear", 0, Weight="=1+1"),
                                 [("Gear!D2", "formula-uncalculated")]),
    "escaped control character": (_set("Gear", 0, Description="a_x0007_b"),
                                  [("Gear!B2", "control-character")]),
    "text that runs backwards": (_set("Gear", 0, Description="a\u202eb"),
                                 [("Gear!B2", "control-character")]),
    "text too long": (_set("Gear", 0, Description="a" * 5001), [("Gear!B2", "text-too-long")]),
    "id too long": (_set("Cases", 0, Case="a" * 101), [("Cases!A2", "text-too-long")]),
    "id with a separator": (_set("Cases", 0, Case="A;B"), [("Cases!A2", "name-character")]),
    "stop called all": (_again("Stops", 0, Stop="All"), [("Stops!A3", "name-character")]),
    "words for a number": (_set("Gear", 0, Weight="heavy"), [("Gear!D2", "number-expected")]),
    "about a number": (_set("Gear", 0, Weight="ca. 12 kg"), [("Gear!D2", "number-expected")]),
    "a range for a number": (_set("Gear", 0, Weight="12-13 kg"), [("Gear!D2", "number-expected")]),
    "yes for a number": (_set("Gear", 0, Weight=True), [("Gear!D2", "number-expected")]),
    "comma of two meanings": (_set("Gear", 0, Weight="1,234"), [("Gear!D2", "number-ambiguous")]),
    "point of two meanings beside decimal commas": (
        _both(_set("Gear", 0, Weight="1.234"), _set("Gear", 1, Weight="1,5")),
        [("Gear!D2", "number-ambiguous")]),
    "below zero": (_set("Gear", 0, Weight=-1), [("Gear!D2", "number-negative")]),
    "below zero as text": (_set("Gear", 0, Weight="-1 kg"), [("Gear!D2", "number-negative")]),
    "price below zero": (_set("Offers", 1, Price=-60), [("Offers!D3", "number-negative")]),
    "quantity below zero": (_set("Gear", 0, Quantity=-2), [("Gear!C2", "number-negative")]),
    "length zero": (_set("Gear", 0, Length=0), [("Gear!E2", "number-not-above-zero")]),
    "rate zero": (_set("Rates", 0, Rate=0), [("Rates!B2", "number-not-above-zero")]),
    "inside below a millimetre": (_set("Cases", 0, Inside_length=0.01),
                                  [("Cases!D2", "number-not-above-zero")]),
    "absurd weight": (_set("Gear", 0, Weight=1e9), [("Gear!D2", "number-absurd")]),
    "absurd length": (_set("Gear", 0, Length="1 000 000 cm"), [("Gear!E2", "number-absurd")]),
    "absurd exponent": (_set("Gear", 0, Weight=1e300), [("Gear!D2", "number-absurd")]),
    "absurd quantity": (_set("Gear", 0, Quantity=10**7), [("Gear!C2", "number-absurd")]),
    "absurd run": (_set("Cases", 0, Quantity=501), [("Cases!C2", "number-absurd")]),
    "half a unit": (_set("Gear", 0, Quantity=1.5), [("Gear!C2", "number-not-whole")]),
    "a third of a rack unit": (
        _set("Gear", 0, Rack_units=1.3), [("Gear!K2", "number-not-half")]),
    "unknown choice": (_set("Cases", 0, Kind="bx"), [("Cases!B2", "choice-unknown")]),
    "neither yes nor no": (_set("Gear", 0, Fragile="maybe"), [("Gear!K2", "choice-unknown")]),
    "lithium of no kind": (_set("Gear", 0, Battery="lithium"), [("Gear!K2", "choice-unknown")]),
    "no date": (_set("Legs", 0, Date="soon"), [("Legs!D2", "date-unreadable")]),
    "date of two meanings": (_set("Legs", 0, Date="03/04/2026"), [("Legs!D2", "date-ambiguous")]),
    "no such day": (_set("Legs", 0, Date="2026-02-30"), [("Legs!D2", "date-impossible")]),
    "day of another age": (_set("Legs", 0, Date="0206-07-03"), [("Legs!D2", "date-absurd")]),
    "a number of another age": (_set("Legs", 0, Date=7), [("Legs!D2", "date-unreadable")]),
    "UK": (_set("Stops", 0, Country="UK"), [("Stops!B2", "country-unknown")]),
    "a country's name": (_trip("Home country", "Germany"), [("Trip!B3", "country-unknown")]),
    "unknown currency": (_set("Rules", 0, Currency="EUO"), [("Rules!J2", "currency-unknown")]),
    "withdrawn currency": (_trip("Currency", "HRK"), [("Trip!B4", "currency-unknown")]),
    "no currency": (_trip("Currency", None), [("Trip!B4", "cell-missing")]),
    "two currencies": (_set("Offers", 1, Price="60 EUR"), [("Offers!D3", "currency-conflict")]),
    "a sign of two currencies": (_set("Offers", 0, Price="¥ 100"),
                                 [("Offers!D2", "currency-conflict")]),
    "no rate": (_set("Offers", 1, Currency="GBP"), [("Offers!D3", "rate-missing")]),
    "rate of the trip's own currency": (
        _add("Rates", Currency="EUR", Rate=2, Date="2026-06-01"),
        [("Rates!B3", "rate-of-own-currency")]),
    "currency twice": (_again("Rates", 0), [("Rates!A3", "name-duplicate")]),
    "radio range downwards": (_set("Gear", 0, Radio="613-606"), [("Gear!K2", "range-malformed")]),
    "radio in words": (_set("Stops", 0, Radio_ranges="all"), [("Stops!D2", "range-malformed")]),
    "bands without a fee": (_set("Rules", 0, Overweight_bands="23-32"),
                            [("Rules!H2", "bands-malformed")]),
    "bands downwards": (_set("Rules", 0, Overweight_bands="32-23: 90"),
                        [("Rules!H2", "bands-malformed")]),
    "bands over each other": (_set("Rules", 0, Overweight_bands="23-32: 90; 30-45: 200"),
                              [("Rules!H2", "bands-overlap")]),
    "id twice": (_again("Gear", 0), [("Gear!A4", "name-duplicate")]),
    "stop twice": (_again("Stops", 0), [("Stops!A3", "name-duplicate")]),
    "run meets a case": (_again("Cases", 0, Case="TRUNK-2", Quantity=1),
                         [("Cases!A2", "case-run-duplicate"),
                          ("Cases!A3", "case-run-duplicate")]),
    "offer twice": (_again("Offers", 1, Price=70), [("Offers!A4", "offer-duplicate")]),
    "delivery twice": (_again("Suppliers", 0), [("Suppliers!A3", "delivery-duplicate")]),
    "two freight offers": (
        _both(_add("Freight", Rate_per_kg=4), _add("Freight", Rate_per_kg=5)),
        [("Freight!A3", "freight-several")]),
    "unknown rule": (_set("Legs", 0, Rule="Plane Air"), [("Legs!E2", "rule-unknown")]),
    "unknown stop": (_set("Offers", 0, Stop="Lakesid"), [("Offers!A2", "stop-unknown")]),
    "needed at an unknown stop": (_set("Gear", 0, Needed_at="Lakeside; Hillside"),
                                  [("Gear!K2", "stop-unknown")]),
    "only in an unknown case": (_set("Gear", 0, Only_in="TRUNK, TRUNKS-9"),
                                [("Gear!K2", "case-unknown")]),
    "offer for nothing known": (_set("Offers", 0, For="STANDS"),
                                [("Offers!B2", "offer-target-unknown")]),
    "offer for a kit that is a line": (_set("Gear", 0, Kit="STAND"),
                                       [("Offers!B2", "offer-target-ambiguous")]),
    "rack and slot": (_set("Gear", 0, Rack_units=1, Slot="horn"),
                      [("Gear!L2", "gear-rack-and-slot")]),
    "rack gear without depth": (_set("Gear", 0, Rack_units=1, Length=None),
                                [("Gear!E2", "gear-length-missing")]),
    "box gear without a length": (_set("Gear", 0, Height=None),
                                  [("Gear!G2", "gear-size-missing")]),
    "hired gear without a length": (_set("Gear", 0, Height=None, Source="hire"),
                                    [("Gear!G2", "gear-size-missing")]),
    "spare battery of no kind": (_set("Gear", 0, Battery_spare="yes"),
                                 [("Gear!A2", "battery-kind-missing")]),
    "box without an inside": (_set("Cases", 0, Inside_height=None),
                              [("Cases!F2", "case-inside-missing")]),
    "rack without depth": (_set("Cases", 0, Kind="rack", **{"Rack units": 4}),
                           [("Cases!A2", "case-rack-incomplete")]),
    "slots without a number": (_set("Cases", 0, Kind="slots", Slot="horn"),
                               [("Cases!A2", "case-slots-incomplete")]),
    "no slots": (_set("Cases", 0, Kind="slots", Slot="horn", Slots=0),
                 [("Cases!M2", "number-not-above-zero")]),
    "inside larger than outside": (_set("Cases", 0, Inside_length=75),
                                   [("Cases!D2", "case-inside-larger")]),
    "gross below empty": (_set("Cases", 0, Most_gross=6),
                          [("Cases!K2", "case-gross-below-empty")]),
    "piece rule without a fee": (_set("Rules", 0, Extra_piece_1=None),
                                 [("Rules!G2", "rule-extra-missing")]),
    "weight rule without a fee": (_set("Rules", 0, **_WEIGHT_RULE),
                                  [("Rules!A2", "rule-fee-missing")]),
    "weight rule without an allowance": (
        _set("Rules", 0, **_WEIGHT_RULE, Fee_per_kg=12, Free_weight=None),
        [("Rules!C2", "rule-free-missing")]),
    "leg without free pieces": (_set("Legs", 0, Free_pieces=None),
                                [("Legs!F2", "leg-pieces-missing")]),
    "divisor zero": (_add("Freight", Rate_per_kg=4, Divisor=0),
                     [("Freight!B2", "number-not-above-zero")]),
}  # fmt: skip


def _errors(path: Path) -> list[tuple[str, str]]:
    reading = read_trip(path)
    assert (reading.trip is None) == any(
        each.severity is Severity.ERROR for each in reading.findings
    )
    return [
        (str(each.where).partition("!")[2], each.code)
        for each in reading.findings
        if each.severity is Severity.ERROR
    ]


@pytest.mark.parametrize("name", CASES)
def test_each_failure_names_its_cell(tmp_path: Path, name: str) -> None:
    """A workbook with one thing broken gives that finding, at its cell, and no other error."""
    change, expected = CASES[name]
    sheets = minimal_trip()
    change(sheets)
    assert sorted(_errors(write_workbook(tmp_path / "t.xlsx", sheets))) == sorted(expected)


def test_the_minimal_trip_reads_clean(tmp_path: Path) -> None:
    """Nothing is said of a trip with nothing wrong."""
    reading = read_trip(write_workbook(tmp_path / "t.xlsx", minimal_trip()))
    assert reading.findings == ()
    assert reading.trip is not None


def test_error_cells_are_reported(tmp_path: Path) -> None:
    """`#N/A` and the like are findings, not text."""
    path = write_workbook(tmp_path / "t.xlsx", minimal_trip())
    book = openpyxl.load_workbook(path)
    book["Gear"]["D2"] = "#N/A"
    book["Gear"]["D2"].data_type = "e"
    book.save(path)
    assert _errors(path) == [("Gear!D2", "cell-error")]


def test_everything_wrong_is_found_at_once(tmp_path: Path) -> None:
    """Faults on five sheets come in one go."""
    sheets = minimal_trip()
    for name in ("unknown rule", "no weight", "unknown choice", "UK", "rate zero"):
        CASES[name][0](sheets)
    found = {code for _, code in _errors(write_workbook(tmp_path / "t.xlsx", sheets))}
    assert found == {
        "rule-unknown",
        "cell-missing",
        "choice-unknown",
        "country-unknown",
        "number-not-above-zero",
    }


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("unknown rule", "Did you mean Plain Air?"),
        ("unknown stop", "Did you mean Lakeside?"),
        ("offer for nothing known", "Did you mean STAND?"),
        ("only in an unknown case", "Did you mean TRUNK"),
        ("unknown choice", "Did you mean box?"),
        ("UK", "Write GB"),
        ("a country's name", "Did you mean DE?"),
        ("unknown currency", "Did you mean EUR?"),
        ("date of two meanings", "2026-04-03"),
    ],
)
def test_findings_say_what_to_do(tmp_path: Path, name: str, words: str) -> None:
    """A finding about a name suggests the nearest one."""
    sheets = minimal_trip()
    CASES[name][0](sheets)
    (finding, *_) = read_trip(write_workbook(tmp_path / "t.xlsx", sheets)).findings
    assert words in finding.remedy


def test_every_code_of_an_error_has_its_broken_file() -> None:
    """No error can be listed without a test here or among the unreadable files."""
    tested = {code for _, expected in CASES.values() for _, code in expected}
    elsewhere = {"cell-error", "trip-several"} | {
        code for code in SEVERITIES if code.startswith("file-")
    }
    errors = {code for code, severity in SEVERITIES.items() if severity is Severity.ERROR}
    assert errors - tested - elsewhere == set()
