"""An invented trip on disk with its plan, for tests of the commands of the road."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packer.cli import main
from packer.model.plan_json import write_plan
from packer.reading import read_trip
from packer.road.repacking import moves_between, repacked
from support.workbooks import minimal_trip, write_workbook


@dataclass(frozen=True, slots=True)
class OnTheRoad:
    """A folder with `trip.xlsx` and `plan.json`: horns in TRUNK-1 and TRUNK-2, TRUNK-3 at home."""

    folder: Path

    @property
    def trip(self) -> str:
        """The workbook."""
        return str(self.folder / "trip.xlsx")

    @property
    def plan(self) -> str:
        """Its plan."""
        return str(self.folder / "plan.json")

    def at(self, name: str) -> str:
        """Another file of the folder."""
        return str(self.folder / name)


def on_the_road(folder: Path, worth: int = 100) -> OnTheRoad:
    """Write the trip and its plan: a horn and a stand in TRUNK-1, a horn and two in TRUNK-2.

    `worth`: of a horn and stop, in EUR.
    """
    from packer.geometry import Fitter
    from packer.model.plan import Route
    from support.road_plans import a_plan

    sheets = minimal_trip()
    sheets["Trip"] += [
        {"Field": "Carnet number", "Value": "INV-1"},
        {"Field": "Carnet issued", "Value": "2026-06-01"},
    ]
    sheets["Cases"][0] |= {"Quantity": 3, "Most gross": 13, "Inside width": 45, "Inside height": 46}
    sheets["Cases"][0] |= {"Outside width": 48, "Outside height": 50}
    sheets["Gear"][0]["Worth"] = worth
    sheets["Gear"][1] |= {"Source": "fly", "Value": 40, "Length": 30}
    write_workbook(folder / "trip.xlsx", sheets)
    trip = read_trip(folder / "trip.xlsx").trip
    assert trip is not None
    pile = a_plan(trip, {"pile": [("HORN", 1), ("HORN", 2), *(("STAND", n) for n in (1, 2, 3))]})
    wanted = {"TRUNK-1": {"HORN": 1, "STAND": 1}, "TRUNK-2": {"HORN": 1, "STAND": 2}}
    routes = dict.fromkeys(wanted, Route.HOLD)
    plan = repacked(trip, pile, moves_between(pile, wanted), routes, Fitter(trip.clearance_mm))
    write_plan(plan, folder / "plan.json")
    return OnTheRoad(folder)


def answer(capsys: Any, *words: str) -> dict[str, Any]:
    """The JSON that a command prints; its code is the command's exit code."""
    code = main([*words, "--json"])
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert found["code"] == code
    return found


def codes(found: dict[str, Any]) -> list[str]:
    """The codes of its findings."""
    return [finding["code"] for finding in found["findings"]]
