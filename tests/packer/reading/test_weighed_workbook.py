"""The workbook with what the scale says: read back, it is the trip as weighed."""

from dataclasses import replace

import openpyxl
import pytest
from support.workbooks import minimal_trip, write_csv_folder, write_workbook

from packer.reading import read_trip
from packer.reading.values import Unreadable
from packer.reading.weighed_workbook import write_weighed


def trip_of(path):
    """The trip in a file, which reads without errors; the run of a case does not matter here."""
    trip = read_trip(path).trip
    assert trip is not None
    cases = tuple(replace(case, run="") for case in trip.cases)
    return replace(trip, file="", input_sha256="", cases=cases)


def weighed(trip, cases_g, gear_g):
    cases = tuple(replace(c, empty_g=cases_g.get(c.name, c.empty_g)) for c in trip.cases)
    gear = tuple(replace(g, weight_g=gear_g.get(g.name, g.weight_g)) for g in trip.gear)
    return replace(trip, cases=cases, gear=gear)


@pytest.mark.parametrize("write", [write_workbook, write_csv_folder])
def test_read_back_it_is_the_trip_as_weighed(tmp_path, write):
    """One case of a run of two, named by `Only in` as a run, and one line of objects."""
    sheets = minimal_trip()
    sheets["Gear"][0]["Only in"] = "TRUNK"
    sheets["Cases"][0]["Serial"] = "S 1; S 2"
    source = write(tmp_path / "trip.xlsx", sheets)
    out = write_weighed(source, {"TRUNK-2": 6901}, {"STAND": 1255}, tmp_path / "weighed.xlsx")
    assert trip_of(out) == weighed(trip_of(source), {"TRUNK-2": 6901}, {"STAND": 1255})


def test_a_heading_in_pounds_gets_grams_with_their_unit(tmp_path):
    """15.2 lb in the heading's unit, 7,001 g on the scale."""
    sheets = minimal_trip()
    sheets["Cases"] = [
        {("Empty weight (lb)" if k == "Empty weight" else k): v for k, v in row.items()}
        for row in sheets["Cases"]
    ]
    sheets["Cases"][0] |= {"Quantity": 1, "Empty weight (lb)": 15.2}
    source = write_workbook(tmp_path / "trip.xlsx", sheets)
    out = write_weighed(source, {"TRUNK": 7001}, {}, tmp_path / "weighed.xlsx")
    assert trip_of(out).case_named("TRUNK").empty_g == 7001


def test_rows_keep_their_places_and_unknown_sheets_stay(tmp_path):
    """A title above the headings and a diary are still there, and text like a formula."""
    sheets = minimal_trip()
    sheets["Cases"][0]["Quantity"] = 1
    source = write_workbook(tmp_path / "trip.xlsx", {**sheets, "Diary": [{"Day": "quiet"}]})
    book = openpyxl.load_workbook(source)
    book["Cases"].insert_rows(1, 2)
    book["Cases"]["A1"] = "Our cases"
    book["Diary"]["B2"].value = "=cmd()"
    book["Diary"]["B2"].data_type = "s"
    book.save(source)
    out = write_weighed(source, {"TRUNK": 7000}, {}, tmp_path / "weighed.xlsx")
    copy = openpyxl.load_workbook(out)
    assert (copy["Cases"]["A1"].value, copy["Cases"]["A3"].value) == ("Our cases", "Case")
    assert (copy["Diary"]["A2"].value, copy["Diary"]["B2"].data_type) == ("quiet", "s")
    assert trip_of(out).case_named("TRUNK").empty_g == 7000


def test_an_object_weighed_is_said_to_be(tmp_path):
    """Weight basis becomes `weighed` where the sheet has the column."""
    sheets = minimal_trip()
    for row in sheets["Gear"]:
        row["Weight basis"] = "estimate"
    source = write_workbook(tmp_path / "trip.xlsx", sheets)
    out = write_weighed(source, {}, {"HORN": 2600}, tmp_path / "weighed.xlsx")
    bases = {g.name: str(g.weight_basis) for g in trip_of(out).gear}
    assert bases == {"HORN": "weighed", "STAND": "estimate"}


def test_what_is_no_workbook_is_not_copied(tmp_path):
    """Nothing is written."""
    (tmp_path / "trip.xlsx").write_bytes(b"no workbook")
    with pytest.raises(Unreadable):
        write_weighed(tmp_path / "trip.xlsx", {}, {}, tmp_path / "weighed.xlsx")
    assert not (tmp_path / "weighed.xlsx").exists()
