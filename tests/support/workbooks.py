"""Builds trip workbooks and CSV folders from rows, for tests. All data in here is invented.

In: sheets as `{"Gear": [{"Gear": "HORN", "Weight": 4.2}, ...], ...}`, where the Trip sheet is a
list of `{"Field": ..., "Value": ...}`. Out: a file that `packer.reading.read_trip` reads.
"""

from __future__ import annotations

import copy
import csv
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import openpyxl

Rows = list[dict[str, Any]]
Sheets = dict[str, Rows]

_MINIMAL: Sheets = {
    "Trip": [
        {"Field": "Trip name", "Value": "Invented minimal trip"},
        {"Field": "Home country", "Value": "DE"},
        {"Field": "Currency", "Value": "EUR"},
        {"Field": "Scale margin", "Value": 0.5},
        {"Field": "Packing clearance", "Value": 5},
        {"Field": "One case lost", "Value": "no"},
    ],
    "Stops": [{"Stop": "Lakeside", "Country": "CH", "Date": "2026-07-04"}],
    "Legs": [
        {
            "Leg": "OUT",
            "From": "HAM",
            "To": "ZRH",
            "Date": "2026-07-03",
            "Rule": "Plain Air",
            "Free pieces": 1,
        },
        {
            "Leg": "BACK",
            "From": "ZRH",
            "To": "HAM",
            "Date": "2026-07-05",
            "Rule": "Plain Air",
            "Free pieces": 1,
        },
    ],
    "Rules": [
        {
            "Rule": "Plain Air",
            "Concept": "piece",
            "Free weight": 23,
            "Most weight": 32,
            "Free linear": 158,
            "Most linear": 300,
            "Extra piece 1": 75,
            "Overweight bands": "23-32: 90",
            "Oversize fee": 100,
            "Currency": "EUR",
        }
    ],
    "Gear": [
        {
            "Gear": "HORN",
            "Description": "Flugelhorn in soft bag",
            "Quantity": 2,
            "Weight": 2.5,
            "Length": 45,
            "Width": 25,
            "Height": 20,
            "Worth": 100,
            "Value": 900,
            "Origin": "DE",
        },
        {
            "Gear": "STAND",
            "Description": "Music stand, folding",
            "Quantity": 3,
            "Weight": 1.2,
            "Length": 50,
            "Width": 10,
            "Height": 8,
        },
    ],
    "Cases": [
        {
            "Case": "TRUNK",
            "Kind": "box",
            "Quantity": 2,
            "Inside length": 70,
            "Inside width": 40,
            "Inside height": 35,
            "Outside length": 74,
            "Outside width": 44,
            "Outside height": 40,
            "Empty weight": 6.5,
            "Most gross": 32,
        }
    ],
    "Offers": [
        {
            "Stop": "Lakeside",
            "For": "STAND",
            "Supplier": "house",
            "Price": 0,
        },
        {
            "Stop": "Lakeside",
            "For": "HORN",
            "Supplier": "Seebach Hire",
            "Price": 60,
            "Currency": "CHF",
        },
    ],
    "Suppliers": [
        {"Supplier": "Seebach Hire", "Stop": "Lakeside", "Delivery": 40, "Currency": "CHF"}
    ],
    "Rates": [{"Currency": "CHF", "Rate": 1.05, "Date": "2026-06-01"}],
}


def minimal_trip() -> Sheets:
    """A small invented trip that reads with no finding; a fresh copy each time, to be changed."""
    return copy.deepcopy(_MINIMAL)


def headings_of(rows: Sequence[Mapping[str, Any]]) -> list[str]:
    """The headings of all rows, in order of first use."""
    return list(dict.fromkeys(heading for row in rows for heading in row))


def table(rows: Sequence[Mapping[str, Any]]) -> list[list[Any]]:
    """Rows as a list of lists, headings first; a missing value is None."""
    headings = headings_of(rows)
    return [headings, *([row.get(heading) for heading in headings] for row in rows)]


def write_workbook(path: Path, sheets: Mapping[str, Sequence[Mapping[str, Any]]]) -> Path:
    """Write the sheets as an .xlsx with the headings in row 1; returns the path.

    Text that starts with `=` becomes a formula without a calculated value.
    """
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for line in table(rows):
            sheet.append(line)
    book.save(path)
    return path


def write_csv_folder(
    path: Path, sheets: Mapping[str, Sequence[Mapping[str, Any]]], delimiter: str = ","
) -> Path:
    """Write the sheets as `Gear.csv` and so on into a folder; returns the path."""
    path.mkdir(parents=True, exist_ok=True)
    for name, rows in sheets.items():
        with (path / f"{name}.csv").open("w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file, delimiter=delimiter)
            writer.writerows(table(rows))
    return path
