"""Trips over HTTP: sending, sending again, findings, what is refused."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from support.serving import Caller
from support.tour import broken_sheets, tour_bytes, tour_sheets
from support.workbooks import write_csv_folder


def test_a_trip_is_read_and_counted(caller: Caller, tour: bytes) -> None:
    """Six lines, ten objects, three cases, two flights, two stops, as the rows say."""
    trip = caller.json("GET", f"/trips/{caller.send_trip(tour)}")
    facts = trip["facts"]
    counts = [facts[key] for key in ("lines", "units", "cases", "legs")]
    assert counts == [6, 10, 3, 2]
    assert [stop["name"] for stop in facts["stops"]] == ["Lakeside", "Pierhead"]
    assert trip["name"] == "Invented pier tour"
    assert trip["id"] in [one["id"] for one in caller.json("GET", "/trips")["trips"]]


def test_the_original_comes_back_byte_for_byte(caller: Caller, tour: bytes) -> None:
    """What was sent is what is kept."""
    trip = caller.send_trip(tour)
    answer = caller.client.get(f"/api/v1/trips/{trip}/uploads/1/original")
    assert answer.content == tour


def test_a_zip_of_csv_sheets_is_a_trip(caller: Caller, tmp_path: Path) -> None:
    """The same rows as CSV files give the same counts."""
    folder = write_csv_folder(tmp_path / "csv", tour_sheets())
    trip = caller.json("GET", f"/trips/{caller.send_trip(zipped(folder), 'sheets.zip')}")
    assert (trip["upload"]["form"], trip["facts"]["units"]) == ("csv-zip", 10)


def test_errors_are_found_at_their_cells_and_mended_by_sending_again(
    caller: Caller, tour: bytes, tmp_path: Path
) -> None:
    """The heavy weight at D2 and the unknown gear at B2; both gone after the second upload."""
    trip = caller.send_trip(tour_bytes(tmp_path, broken_sheets()))
    found = caller.json("GET", f"/trips/{trip}/findings")
    errors = [one["where"] for one in found["findings"] if one["severity"] == "error"]
    assert found["code"] == 2
    assert errors == ["trip.xlsx!Gear!D2", "trip.xlsx!Offers!B2"]
    refused = caller.json("POST", f"/trips/{trip}/plans", 422, json={})
    assert (refused["code"], refused["name"]) == (2, "input-has-errors")
    again = caller.json("POST", f"/trips/{trip}/uploads", 201, files={"workbook": ("b.xlsx", tour)})
    assert (again["upload"]["number"], again["upload"]["code"]) == (2, 0)
    uploads = caller.json("GET", f"/trips/{trip}/uploads")["uploads"]
    assert [one["errors"] for one in uploads] == [0, 2]
    assert caller.json("GET", f"/trips/{trip}/findings?upload=1")["code"] == 2


@pytest.mark.parametrize(
    ("content", "status", "name"),
    [
        (b"", 422, "not-a-trip"),
        (b"no workbook at all", 422, "not-a-trip"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"0" * 600, 422, "not-a-trip"),
        (b"PK\x03\x04 torn in the middle", 422, "not-a-trip"),
    ],
)
def test_what_is_no_workbook_is_refused(
    caller: Caller, content: bytes, status: int, name: str
) -> None:
    """Empty, text, encrypted and torn files are refused with one shape, and nothing is kept."""
    before = len(caller.json("GET", "/trips")["trips"])
    refused = caller.json("POST", "/trips", status, files={"workbook": ("x.xlsx", content)})
    assert (refused["code"], refused["name"]) == (2, name)
    assert len(caller.json("GET", "/trips")["trips"]) == before


def test_a_zip_that_unpacks_to_gigabytes_is_refused(caller: Caller) -> None:
    """A megabyte that would unpack to one gigabyte stops at the ceiling."""
    target = io.BytesIO()
    with (
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("Gear.csv", "w") as part,
    ):
        for _ in range(1024):
            part.write(b"0" * 1024 * 1024)
    refused = caller.json("POST", "/trips", 413, files={"workbook": ("x.zip", target.getvalue())})
    assert refused["name"] == "too-large"


def test_names_in_a_zip_never_reach_the_file_system(caller: Caller, tmp_path: Path) -> None:
    """A sheet that calls itself ../../x.csv is written nowhere but in the server's own folder."""
    folder = write_csv_folder(tmp_path / "csv", tour_sheets())
    target = io.BytesIO(zipped(folder))
    with zipfile.ZipFile(target, "a") as archive:
        archive.writestr("../../../../tmp/holdall-escaped.csv", "a,b\n1,2\n")
        archive.writestr("/tmp/holdall-escaped-too.csv", "a,b\n1,2\n")
    caller.send_trip(target.getvalue(), "../../etc/passwd.zip")
    assert not list(Path("/tmp").glob("holdall-escaped*"))


def test_the_sender_s_file_name_is_only_shown(caller: Caller, tour: bytes) -> None:
    """Of a path only its last part is kept."""
    trip = caller.json("GET", f"/trips/{caller.send_trip(tour, '../../etc/passwd')}")
    assert trip["upload"]["file"] == "passwd"


def test_unknown_ids_are_not_found_in_the_one_shape(caller: Caller) -> None:
    """Trips, plans, rules and anything else answer alike."""
    for path in ("/trips/nothing", "/plans/nothing", "/rules/nothing", "/plans/nothing/cases"):
        assert caller.json("GET", path, 404)["name"] == "not-found"
    assert caller.json("GET", "/no/such/path", 404)["code"] == 2


def zipped(folder: Path) -> bytes:
    """The CSV files of a folder as a zip."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        for path in sorted(folder.iterdir()):
            archive.write(path, path.name)
    return target.getvalue()


def test_workbooks_to_take_away(caller: Caller, tmp_path: Path) -> None:
    """The marked copy says at the cell what is wrong; the empty one has the sheets to fill in."""
    trip = caller.send_trip(tour_bytes(tmp_path, broken_sheets()))
    marked = caller.client.get(f"/api/v1/trips/{trip}/marked").content
    sheet = openpyxl.load_workbook(io.BytesIO(marked))["Gear"]
    row = " ".join(str(cell.value) + str(cell.comment or "") for cell in sheet[2])
    assert "expected a number" in row
    empty = caller.client.get("/api/v1/template").content
    assert {"Trip", "Gear", "Cases"} <= set(openpyxl.load_workbook(io.BytesIO(empty)).sheetnames)


def test_a_trip_is_put_away_and_taken_out_again(caller: Caller, tour: bytes) -> None:
    """Out of the list, in the other list, whole as before, and back."""
    trip = caller.send_trip(tour)
    away = caller.json("PUT", f"/trips/{trip}/away", json={"away": True})
    assert away["away"] is not None
    assert trip not in ids(caller.json("GET", "/trips"))
    assert trip in ids(caller.json("GET", "/trips?away=true"))
    assert caller.client.get(f"/api/v1/trips/{trip}/uploads/1/original").content == tour
    assert caller.json("PUT", f"/trips/{trip}/away", json={"away": False})["away"] is None
    assert trip in ids(caller.json("GET", "/trips"))


def test_a_trip_goes_for_ever_only_when_it_is_meant(caller: Caller, tour: bytes) -> None:
    """Not while in the list, not under another name, not while a plan is solved; then gone."""
    trip = caller.send_trip(tour)
    name = "Invented pier tour"
    path = f"/trips/{trip}"
    assert caller.json("DELETE", f"{path}?name={name}", 409)["name"] == "not-put-away"
    caller.json("PUT", f"{path}/away", json={"away": True})
    assert caller.json("DELETE", f"{path}?name=Another", 409)["name"] == "other-name"
    caller.json("DELETE", path, 422)
    plan = caller.ask_plan(trip)
    assert caller.json("DELETE", f"{path}?name={name}", 409)["name"] == "still-solving"
    caller.wait_for(plan)
    caller.json("DELETE", f"{path}?name={name}", 204)
    for gone in (path, f"/plans/{plan}", f"{path}/uploads/1/original"):
        caller.json("GET", gone, 404)
    assert trip not in ids(caller.json("GET", "/trips?away=true"))


def ids(trips: dict[str, Any]) -> list[str]:
    """The ids in a list of trips."""
    return [one["id"] for one in trips["trips"]]
