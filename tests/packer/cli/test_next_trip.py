"""`holdall next`: the next trip from an old one."""

import openpyxl
import pytest
from support.road_commands import answer, codes
from support.workbooks import write_csv_folder

from packer.reading import read_trip

STOPS = [
    {"Stop": "Lakeside", "Country": "CH", "Date": "2027-07-04"},
    {"Stop": "Duneville", "Country": "DK", "Date": "2027-07-08"},
]
LEGS = [
    {
        "Leg": "OUT",
        "From": "HAM",
        "To": "ZRH",
        "Date": "2027-07-03",
        "Rule": "Plain Air",
        "Free pieces": 2,
    }
]


@pytest.fixture
def new(tmp_path):
    """A CSV folder with the new stops and legs."""
    return str(write_csv_folder(tmp_path / "new", {"Stops": STOPS, "Legs": LEGS}))


def test_inventory_and_cases_stay_stops_and_legs_are_new(road, new, capsys, tmp_path):
    """It reads back: same gear and cases, new stops and legs, prices where a stop returns."""
    out = tmp_path / "next.xlsx"
    assert answer(capsys, "next", road.trip, new, "-o", str(out))["code"] == 0
    old, trip = read_trip(road.folder / "trip.xlsx").trip, read_trip(out).trip
    assert [g.name for g in trip.gear] == [g.name for g in old.gear]
    assert [g.weight_g for g in trip.gear] == [g.weight_g for g in old.gear]
    assert [c.outside for c in trip.cases] == [c.outside for c in old.cases]
    assert [s.name for s in trip.stops] == ["Lakeside", "Duneville"]
    assert [leg.free_pieces for leg in trip.legs] == [2]
    assert {o.stop for o in trip.offers} == {"Lakeside"}
    assert all(g.needed_at == ("Lakeside", "Duneville") for g in trip.gear)
    assert (trip.carnet.number, trip.carnet.issued) == ("", None)


def test_what_lacks_a_price_is_listed(road, new, capsys, tmp_path):
    """Horns have no price in Duneville; stands fly anyway. The list is on the last page too."""
    out = tmp_path / "next.xlsx"
    found = answer(capsys, "next", road.trip, new, "-o", str(out))
    missing = [f["subject"] for f in found["findings"] if f["code"] == "no-price"]
    assert missing == ["HORN"]
    assert {"price-from-old-trip", "rule-from-old-trip", "rate-from-old-trip"} <= set(codes(found))
    page = openpyxl.load_workbook(out)["To look at"]
    assert any("Duneville" in str(row[2]) for row in page.iter_rows(values_only=True))


def test_stops_and_legs_are_needed(road, capsys, tmp_path):
    """A folder without Legs starts no trip."""
    folder = str(write_csv_folder(tmp_path / "new", {"Stops": STOPS}))
    found = answer(capsys, "next", road.trip, folder, "-o", str(tmp_path / "next.xlsx"))
    assert (found["code"], codes(found)) == (2, ["sheet-missing"])
    found = answer(capsys, "next", road.trip, folder, "-o", str(tmp_path / "next.txt"))
    assert codes(found) == ["not-a-workbook"]
