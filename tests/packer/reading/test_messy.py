"""Messy workbooks give the same trip as clean ones, and say what was odd. All data is invented."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from openpyxl.worksheet.worksheet import Worksheet
from support.workbooks import Sheets, minimal_trip, table, write_csv_folder, write_workbook

from packer.model.trip import Trip
from packer.reading import Reading, read_trip


def _bare(reading: Reading) -> Trip:
    assert reading.trip is not None, [each.line() for each in reading.findings]
    gear = tuple(replace(line, extras=()) for line in reading.trip.gear)
    rules = tuple(replace(rule, published=()) for rule in reading.trip.rules)
    return replace(reading.trip, file="", input_sha256="", gear=gear, rules=rules)


@pytest.fixture
def clean(tmp_path: Path) -> Trip:
    """The minimal trip as its clean workbook reads."""
    return _bare(read_trip(write_workbook(tmp_path / "clean.xlsx", minimal_trip())))


def _codes(reading: Reading) -> set[str]:
    return {each.code for each in reading.findings}


def _messy(path: Path) -> Path:
    """The minimal trip as somebody under pressure keeps it."""
    book = openpyxl.Workbook()
    book.worksheets[0].title = "scratch"
    sheets = minimal_trip()
    gear = [
        {
            "LENGTH (mm)": "450",
            "weight [lb]": None,
            "Colour": "red",
            "qty.": "2",
            " gear ": "HORN",
            "Description": "Flugelhorn  in soft\nbag",
            "Weight": "2500 g",
            "Width": "25",
            "Height": "20,0",
            "Worth (EUR)": "100.00",
            "Value": "€ 900,00",
            "ORIGIN": "de",
        },
        {
            "LENGTH (mm)": 500,
            "qty.": 3,
            " gear ": "STAND",
            "Description": "Music stand, folding",
            "Weight": "1,2",
            "Width": 10,
            "Height": "0.08 m",
        },
    ]
    for line in gear:
        line.pop("weight [lb]", None)
    sheets["Gear"] = gear
    sheets["Stops"][0]["Date"] = date(2026, 7, 4)
    sheets["Legs"][0]["Date"] = "3 July 2026"
    sheets["Legs"][1]["Date"] = "05.07.2026"
    sheets["Rules"][0]["Overweight bands"] = "23 – 32 kg: 90"
    for name, rows in sheets.items():
        sheet = book.create_sheet(name.upper() + " ")
        _with_title(sheet, table(rows), 4 if name != "Trip" else 0)
    book.save(path)
    return path


def _with_title(sheet: Worksheet, lines: list[list[Any]], blank: int) -> None:
    """A merged title, empty rows, the table, and formatted rows with nothing in them."""
    if blank:
        sheet["A1"] = "Invented tour, all figures made up"
        sheet.merge_cells("A1:F1")
    for number, line in enumerate(lines, blank + 1):
        for column, value in enumerate(line, 1):
            sheet.cell(number, column).value = value
    for number in range(50, 400):
        sheet.cell(number, 1).number_format = "0.0"
        sheet.cell(number, 2).value = "  "


def test_a_messy_workbook_reads_like_the_clean_one(tmp_path: Path, clean: Trip) -> None:
    """Titles, units, decimal commas, text numbers and odd headings change nothing."""
    reading = read_trip(_messy(tmp_path / "messy.xlsx"))
    assert _bare(reading) == clean
    assert _codes(reading) == {"column-unknown", "sheet-unknown"}
    assert reading.trip is not None
    assert reading.trip.gear[0].extras == (("Colour", "red"),)
    assert str(reading.trip.gear[0].source.cell("weight")).endswith("GEAR !F6")
    assert reading.trip.gear[0].source.cell("name") == reading.trip.gear[0].source.cell("gear")


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_a_csv_folder_reads_like_the_workbook(tmp_path: Path, clean: Trip, delimiter: str) -> None:
    """Comma, semicolon and tab separate fields alike."""
    reading = read_trip(write_csv_folder(tmp_path / "trip", minimal_trip(), delimiter))
    assert reading.findings == ()
    assert _bare(reading) == clean


def test_csv_in_an_old_encoding_is_read_and_noted(tmp_path: Path) -> None:
    """Windows-1252 is taken where UTF-8 fails, and said."""
    folder = write_csv_folder(tmp_path / "trip", minimal_trip())
    text = (folder / "Gear.csv").read_text().replace("Flugelhorn", "Flügelhorn")
    (folder / "Gear.csv").write_bytes(text.encode("cp1252"))
    reading = read_trip(folder)
    assert _codes(reading) == {"csv-encoding"}
    assert reading.trip is not None
    assert reading.trip.gear[0].description == "Flügelhorn in soft bag"


@pytest.mark.parametrize("seed", range(5))
def test_order_of_columns_never_matters(tmp_path: Path, clean: Trip, seed: int) -> None:
    """Shuffled columns, and shuffled sheets, give the same trip."""
    shuffled = random.Random(seed)
    sheets: Sheets = {}
    for name in shuffled.sample(list(minimal_trip()), len(minimal_trip())):
        rows = minimal_trip()[name]
        keys = list(dict.fromkeys(key for row in rows for key in row))
        shuffled.shuffle(keys)
        sheets[name] = [{key: row[key] for key in keys if key in row} for row in rows]
    assert _bare(read_trip(write_workbook(tmp_path / "t.xlsx", sheets))) == clean


def test_order_of_rows_changes_only_the_order(tmp_path: Path, clean: Trip) -> None:
    """Reversed rows give the same lines; legs stand by date all the same."""
    sheets = {name: rows[::-1] for name, rows in minimal_trip().items()}
    trip = _bare(read_trip(write_workbook(tmp_path / "t.xlsx", sheets)))
    assert set(trip.gear) == set(clean.gear)
    assert set(trip.offers) == set(clean.offers)
    assert trip.legs == clean.legs


def test_the_trip_sheet_may_stand_across(tmp_path: Path, clean: Trip) -> None:
    """Fields as headings with the values below them are read as well."""
    sheets = minimal_trip()
    sheets["Trip"] = [{row["Field"]: row["Value"] for row in sheets["Trip"]}]
    assert _bare(read_trip(write_workbook(tmp_path / "t.xlsx", sheets))) == clean


def test_trip_fields_know_their_own_rows(clean: Trip) -> None:
    """Each field of the Trip sheet has a row of its own."""
    assert clean.source.cell("currency").row == 4
    assert clean.source.cell("scale_margin").row == 5
    assert clean.source.cell("trip_name").column == "B"


def test_hidden_rows_sheets_and_columns_are_read_and_noted(tmp_path: Path, clean: Trip) -> None:
    """What is hidden travels all the same, and is said."""
    path = write_workbook(tmp_path / "t.xlsx", minimal_trip())
    book = openpyxl.load_workbook(path)
    book["Gear"].row_dimensions[3].hidden = True
    book["Gear"].column_dimensions["D"].hidden = True
    book["Rates"].sheet_state = "hidden"
    book.save(path)
    reading = read_trip(path)
    assert _bare(reading) == clean
    assert [(str(each.where), each.code) for each in reading.findings] == [
        ("t.xlsx!Gear!D1", "columns-hidden"),
        ("t.xlsx!Gear!A3", "rows-hidden"),
        ("t.xlsx!Rates!A1", "sheet-hidden"),
    ]


def test_stored_results_of_formulas_are_used(tmp_path: Path, clean: Trip) -> None:
    """A formula counts as its result; float noise of the result is cut at 15 digits."""
    path = tmp_path / "t.xlsx"
    with xlsxwriter.Workbook(path) as book:
        for name, rows in minimal_trip().items():
            sheet = book.add_worksheet(name)
            for number, line in enumerate(table(rows)):
                sheet.write_row(number, 0, line)
            if name == "Gear":
                sheet.write_formula("D2", "=1.1+1.4", None, 2.5000000000000004)
                sheet.write_formula("A2", '="HO"&"RN"', None, "HORN")
    assert _bare(read_trip(path)) == clean


def test_a_formula_whose_zero_was_never_calculated_is_reported(tmp_path: Path) -> None:
    """A program that stores 0 and asks for calculation has not calculated."""
    path = tmp_path / "t.xlsx"
    with xlsxwriter.Workbook(path) as book:
        for name, rows in minimal_trip().items():
            sheet = book.add_worksheet(name)
            for number, line in enumerate(table(rows)):
                sheet.write_row(number, 0, line)
            if name == "Gear":
                sheet.write_formula("D2", "=1.1+1.4")
    assert [(str(each.where), each.code) for each in read_trip(path).findings] == [
        ("t.xlsx!Gear!D2", "formula-uncalculated")
    ]


def test_cells_merged_downwards_count_for_each_row(tmp_path: Path) -> None:
    """One stop merged over two offers is the stop of both, and noted."""
    path = write_workbook(tmp_path / "t.xlsx", minimal_trip())
    book = openpyxl.load_workbook(path)
    book["Offers"]["A3"] = None
    book["Offers"].merge_cells("A2:A3")
    book.save(path)
    reading = read_trip(path)
    assert _codes(reading) == {"merged-cells-filled"}
    assert reading.trip is not None
    assert [offer.stop for offer in reading.trip.offers] == ["Lakeside", "Lakeside"]


def test_a_unit_in_the_number_format_counts(tmp_path: Path) -> None:
    """A cell that shows `28 lb` by its format means pounds."""
    path = write_workbook(tmp_path / "t.xlsx", minimal_trip())
    book = openpyxl.load_workbook(path)
    book["Gear"]["D2"] = 28
    book["Gear"]["D2"].number_format = '0.0" lb"'
    book.save(path)
    trip = read_trip(path).trip
    assert trip is not None
    assert trip.gear[0].weight_g == 12701  # 28 x 453.59237 g


def test_date_serials_without_a_format_are_noted(tmp_path: Path, clean: Trip) -> None:
    """46207 is 4 July 2026 in the 1900 date system; it is read and noted."""
    sheets = minimal_trip()
    sheets["Stops"][0]["Date"] = 46207
    reading = read_trip(write_workbook(tmp_path / "t.xlsx", sheets))
    assert _bare(reading) == clean
    assert _codes(reading) == {"date-from-serial"}


def test_references_in_another_spelling_are_noted(tmp_path: Path, clean: Trip) -> None:
    """`lakeside` means Lakeside where no other name is meant."""
    sheets = minimal_trip()
    sheets["Offers"][0]["Stop"] = " lakeside"
    reading = read_trip(write_workbook(tmp_path / "t.xlsx", sheets))
    assert _bare(reading) == clean
    assert _codes(reading) == {"reference-spelling"}


def test_misspelt_headings_and_sheets_are_warned_of(tmp_path: Path) -> None:
    """What was probably meant for us and is not read is a warning, not a note."""
    sheets = minimal_trip()
    sheets["Gear"][0]["Fragil"] = "yes"
    sheets["Freigt"] = [{"Rate per kg": 4, "Minimum": 10}]
    reading = read_trip(write_workbook(tmp_path / "t.xlsx", sheets))
    assert [(str(each.where), each.code) for each in reading.findings] == [
        ("t.xlsx!Freigt!A1", "sheet-misspelt"),
        ("t.xlsx!Gear!K1", "column-misspelt"),
    ]


def test_rules_keep_their_figures_as_published(tmp_path: Path) -> None:
    """The carrier's own figure and unit stay beside the grams, in the order of the schema."""
    sheets = minimal_trip()
    rule = sheets["Rules"][0]
    rule["Most weight (lb)"] = 70
    rule["Free linear"] = "62 in"
    del rule["Most weight"]
    trip = read_trip(write_workbook(tmp_path / "t.xlsx", sheets)).trip
    assert trip is not None
    assert trip.rules[0].published[:3] == (
        ("free_weight", "23"),
        ("most_weight", "70 lb"),
        ("free_linear", "62 in"),
    )
    assert trip.rules[0].most_weight_g == 31751  # 70 lb = 31,751.4659 g


@pytest.mark.parametrize("row", [1, 2, 10])
def test_headings_stand_in_any_of_the_first_ten_rows(tmp_path: Path, clean: Trip, row: int) -> None:
    """Row 10 is early enough."""
    assert _bare(read_trip(_headed_at(tmp_path / "t.xlsx", row))) == clean


def test_headings_in_row_eleven_are_too_late(tmp_path: Path) -> None:
    """The finding says where a heading row was seen."""
    (finding,) = read_trip(_headed_at(tmp_path / "t.xlsx", 11)).findings
    assert finding.code == "heading-row-missing"
    assert "Row 11 looks like one." in finding.message


def _headed_at(path: Path, row: int) -> Path:
    """The minimal trip with the headings of Rates in the given row."""
    book = openpyxl.load_workbook(write_workbook(path, minimal_trip()))
    if row > 1:
        book["Rates"].insert_rows(1, row - 1)
    book.save(path)
    return path


def test_own_columns_that_a_check_reads_are_not_called_unknown(tmp_path: Path) -> None:
    """They are in no template, and kept as they are; another of the user's is noted."""
    sheets = minimal_trip()
    sheets["Gear"][0] |= {"Carnet item": "1-2", "certificate issued": "2026-01-10", "Colour": "red"}
    sheets["Stops"][0] |= {"Carnet accepted": "yes, invented list of 2026-05-02"}
    reading = read_trip(write_workbook(tmp_path / "own.xlsx", sheets))
    assert [found.message for found in reading.findings if found.code == "column-unknown"] == [
        'Heading "Colour" is not known; its column is kept and not used.'
    ]
    assert reading.trip is not None
    assert reading.trip.stops[0].extras == (
        ("Carnet accepted", "yes, invented list of 2026-05-02"),
    )
