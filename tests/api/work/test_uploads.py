"""Uploads: what form they have, what is too much, and the sheet's own shape for a page."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from support.tour import broken_sheets, tour_bytes, tour_sheets

from api.settings import Ceilings
from api.work.sheets import sheet_views
from api.work.uploads import (
    NotATripError,
    TooMuchError,
    check_bearable,
    form_of,
    lay_out,
    read_upload,
)


def zip_of(**files: bytes) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        for name, content in files.items():
            archive.writestr(name.replace("__", "/") + ".csv", content)
    return target.getvalue()


def test_the_form_is_told_by_the_bytes(tmp_path: Path) -> None:
    """Names say nothing: a workbook is one by what is in it."""
    assert form_of(tour_bytes(tmp_path)) == "xlsx"
    assert form_of(zip_of(Gear=b"a,b")) == "csv-zip"
    with pytest.raises(NotATripError, match="neither"):
        form_of(zip_of()[:-1] + b"x")


def test_cells_and_bytes_are_counted(tmp_path: Path) -> None:
    """The tour has more than 50 cells and unpacks to more than 1,000 bytes."""
    content = tour_bytes(tmp_path)
    check_bearable(content, "xlsx", Ceilings())
    for less in (replace(Ceilings(), cells=50), replace(Ceilings(), unpacked_bytes=1_000)):
        with pytest.raises(TooMuchError):
            check_bearable(content, "xlsx", less)


def test_a_torn_zip_is_no_trip(tmp_path: Path) -> None:
    """A byte wrong in the middle is found by its check sum."""
    content = bytearray(tour_bytes(tmp_path))
    content[len(content) // 2] ^= 0xFF
    with pytest.raises(NotATripError, match="damaged"):
        check_bearable(bytes(content), "xlsx", Ceilings())


def test_sheets_are_laid_out_under_plain_names(tmp_path: Path) -> None:
    """Folders, dots and strange letters of a name are dropped."""
    content = zip_of(**{"x__..__Ge.ar\u2022": b"1", "__Cases": b"2"})
    found = lay_out(content, "csv-zip", tmp_path)
    assert sorted(path.name for path in found.iterdir()) == ["Cases.csv", "Gear.csv"]


def test_the_sheet_is_shown_in_its_own_shape(tmp_path: Path) -> None:
    """Headings and the rows with findings, each finding at its cell."""
    content = tour_bytes(tmp_path, broken_sheets())
    read = read_upload(content, "xlsx", Ceilings())
    views = {view.name: view for view in sheet_views(content, "xlsx", read.findings)}
    gear = views["Gear"]
    assert gear.columns[:4] == ("A", "B", "C", "D")
    assert [row.number for row in gear.rows][:2] == [1, 2]
    assert gear.rows[0].headings
    hit = gear.rows[1].cells[3]
    assert hit.text == "heavy"
    assert [read.findings[index]["where"] for index in hit.findings] == ["trip.xlsx!Gear!D2"]


def test_titles_above_the_headings_are_no_headings(tmp_path: Path) -> None:
    """With two title rows on top, the fullest row is the one that names the columns."""
    sheets = tour_sheets()
    sheets["Gear"][0]["Weight"] = "heavy"
    content = tour_bytes(tmp_path, sheets)
    book = openpyxl.load_workbook(io.BytesIO(content))
    book["Gear"].insert_rows(1, 2)
    book["Gear"]["A1"] = "Our gear"
    target = io.BytesIO()
    book.save(target)
    read = read_upload(target.getvalue(), "xlsx", Ceilings())
    views = {view.name: view for view in sheet_views(target.getvalue(), "xlsx", read.findings)}
    gear = views["Gear"]
    assert [row.number for row in gear.rows if row.headings] == [3]
    assert gear.rows[1].number == 4
