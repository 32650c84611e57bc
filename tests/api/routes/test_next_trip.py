"""The next trip over HTTP: the old inventory, new stops and legs, and what to look at."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from support.serving import Caller
from support.workbooks import write_workbook

Solved = tuple[str, str]
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
def new(tmp_path: Path) -> bytes:
    """The new stops and legs as a workbook."""
    return write_workbook(tmp_path / "new.xlsx", {"Stops": STOPS, "Legs": LEGS}).read_bytes()


def start(caller: Caller, trip: str, content: bytes, status: int = 201) -> Any:
    files = {"workbook": ("new.xlsx", content)}
    return caller.json("POST", f"/trips/{trip}/next", status, files=files)


def test_a_trip_starts_from_another(caller: Caller, solved: Solved, new: bytes) -> None:
    """Same gear and cases, new stops; what lacks a price is listed, also with the new trip."""
    found = start(caller, solved[0], new)
    old = caller.json("GET", f"/trips/{solved[0]}")
    assert found["from_trip"] == solved[0] != found["trip"]["id"]
    for figure in ("lines", "units", "cases"):
        assert found["trip"]["facts"][figure] == old["facts"][figure]
    assert [one["name"] for one in found["trip"]["facts"]["stops"]] == ["Lakeside", "Duneville"]
    codes = {one["code"] for one in found["look_at"]}
    assert {"no-price", "price-from-old-trip", "rule-from-old-trip"} <= codes
    kept = caller.json("GET", f"/trips/{found['trip']['id']}/findings")["findings"]
    assert codes <= {one["code"] for one in kept}
    content = caller.client.get(f"/api/v1/trips/{found['trip']['id']}/uploads/1/original").content
    assert "To look at" in openpyxl.load_workbook(io.BytesIO(content)).sheetnames


def test_the_old_route_can_be_taken_to_be_changed(caller: Caller, solved: Solved) -> None:
    """Sent back as it is, it starts the same trip again."""
    route = caller.client.get(f"/api/v1/trips/{solved[0]}/next/route").content
    assert openpyxl.load_workbook(io.BytesIO(route)).sheetnames == ["Stops", "Legs", "Rules"]
    found = start(caller, solved[0], route)
    old = caller.json("GET", f"/trips/{solved[0]}")
    assert found["trip"]["facts"] == old["facts"]


def test_what_does_not_do_starts_no_trip(caller: Caller, solved: Solved, tmp_path: Path) -> None:
    """No legs, no workbook, nothing: refused in words, and no trip more."""
    before = len(caller.json("GET", "/trips")["trips"])
    short = write_workbook(tmp_path / "short.xlsx", {"Stops": STOPS}).read_bytes()
    assert start(caller, solved[0], short, 422)["name"] == "sheet-missing"
    assert start(caller, solved[0], b"noise", 422)["name"] == "not-a-trip"
    assert start(caller, solved[0], b"", 422)["name"] == "not-a-trip"
    assert len(caller.json("GET", "/trips")["trips"]) == before
