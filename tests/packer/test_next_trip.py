"""The next trip as a library function: what is kept, what is new, what to look at."""

import openpyxl
import pytest
from support.workbooks import minimal_trip, write_workbook

from packer.next_trip import NoStartError, start_next, write_route
from packer.reading import read_trip
from packer.reading.template import write_template


@pytest.fixture
def old(tmp_path):
    """The minimal trip, with a carnet of its own."""
    sheets = minimal_trip()
    sheets["Trip"] += [{"Field": "Carnet number", "Value": "INV-1"}]
    return write_workbook(tmp_path / "old.xlsx", sheets)


def fill(path, sheet, row):
    """Put a row below the headings of a sheet of a workbook, wherever these stand."""
    book = openpyxl.load_workbook(path)
    cells = book[sheet]
    at = next(r for r in range(1, 11) if cells.cell(r, 1).value in row)
    headings = {cells.cell(at, c).value: c for c in range(1, cells.max_column + 1)}
    for heading, value in row.items():
        cells.cell(at + 1, headings[heading]).value = value
    book.save(path)


STOP = {"Stop": "Duneville", "Country": "DK", "Date": "2027-07-08"}
LEG = {"Leg": "OUT", "From": "HAM", "To": "BLL", "Date": "2027-07-07", "Rule": "Plain Air"}


def test_an_empty_workbook_with_stops_and_legs_filled_in_is_enough(old, tmp_path):
    """Sheets that hold only headings leave the old inventory as it is."""
    new = write_template(tmp_path / "new.xlsx")
    fill(new, "Stops", STOP)
    fill(new, "Legs", {**LEG, "Free pieces": 2})
    started = start_next(old, new, tmp_path / "next.xlsx")
    before = read_trip(old).trip
    assert started.trip is not None
    assert [g.name for g in started.trip.gear] == [g.name for g in before.gear]
    assert [s.name for s in started.trip.stops] == ["Duneville"]
    assert (started.trip.name, started.trip.carnet.number) == (before.name, "")
    assert {f.code for f in started.looked} >= {"no-price", "rule-from-old-trip"}
    assert set(started.looked) <= set(started.findings)


def test_fields_of_the_trip_sheet_are_new_where_they_are_filled(old, tmp_path):
    """A new name and clearance; the currency stays."""
    sheets = {"Stops": [STOP], "Legs": [{**LEG, "Free pieces": 2}]}
    trip = [{"Field": "Trip name", "Value": "Next summer"}, {"Field": "Packing clearance"}]
    new = write_workbook(tmp_path / "new.xlsx", {**sheets, "Trip": trip})
    started = start_next(old, new, tmp_path / "next.xlsx").trip
    assert (started.name, started.currency, started.clearance_mm) == ("Next summer", "EUR", 5)


def test_the_old_route_to_be_changed_starts_a_trip(old, tmp_path):
    """Taken, changed in one date, sent back: the same trip on another day."""
    route = tmp_path / "route.xlsx"
    write_route(old, route)
    book = openpyxl.load_workbook(route)
    assert book.sheetnames == ["Stops", "Legs", "Rules"]
    book["Stops"]["C2"].value = "2027-07-10"
    book.save(route)
    started = start_next(old, route, tmp_path / "next.xlsx")
    assert started.trip.stops[0].date.isoformat() == "2027-07-10"


def test_what_does_not_do_writes_nothing(old, tmp_path):
    """No legs, an old trip that is none, a new one that is none."""
    short = write_workbook(tmp_path / "short.xlsx", {"Stops": [STOP]})
    noise = tmp_path / "noise.xlsx"
    noise.write_bytes(b"noise")
    out = tmp_path / "next.xlsx"
    for before, new in ((old, short), (noise, old), (old, noise)):
        with pytest.raises(NoStartError) as problem:
            start_next(before, new, out)
        assert problem.value.findings
        assert not out.exists()
