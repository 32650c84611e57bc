"""Options of `holdall plan` that change what is written or how work is measured."""

import json

import pytest
from support.road_plans import a_plan
from support.workbooks import minimal_trip, write_workbook

from packer.cli import main
from packer.geometry import Fitter
from packer.model.plan import Route
from packer.model.plan_json import write_plan
from packer.reading import read_trip
from packer.road.repacking import moves_between, repacked


@pytest.fixture
def trip(tmp_path):
    """The minimal trip as a workbook."""
    return write_workbook(tmp_path / "trip.xlsx", minimal_trip())


def plan(trip, out, *options):
    """Runs `holdall plan` and returns its plan without the time it was made."""
    assert main(["plan", str(trip), "-o", str(out), *options]) == 0
    made = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    del made["made"], made["solver"]["seconds"]
    return made


def test_counted_work_gives_the_same_plan_twice(trip, tmp_path):
    """With --work the clock decides nothing, so that the plans are equal to the last figure."""
    one = plan(trip, tmp_path / "one", "--work", "0.5")
    assert one == plan(trip, tmp_path / "two", "--work", "0.5")


def test_object_labels_are_written_when_asked_for(trip, tmp_path):
    """A label for every object is many pages, so it is made only on request."""
    plan(trip, tmp_path / "few", "--work", "0.2")
    plan(trip, tmp_path / "many", "--work", "0.2", "--object-labels")
    assert not (tmp_path / "few" / "object-labels-a6.pdf").exists()
    assert (tmp_path / "many" / "object-labels-a6.pdf").exists()


def test_the_history_says_who_planned_when_and_why(trip, tmp_path, capsys):
    """Two plans in one folder: two entries, the second with the reason given."""
    out = tmp_path / "out"
    plan(trip, out, "--work", "0.2", "--by", "Ines")
    plan(trip, out, "--work", "0.2", "--by", "Ole", "--hire", "HORN", "--why", "horns are hired")
    capsys.readouterr()
    file = str(out / "plan.json")
    words = ["differ", file, file, "--history", str(out / "history.jsonl"), "--json"]
    assert main(words) == 0
    history = json.loads(capsys.readouterr().out)["history"]
    assert [(each["who"], each["kind"], each["why"]) for each in history] == [
        ("Ines", "planned", "planned"),
        ("Ole", "planned", "horns are hired"),
    ]
    assert all(each["at"] for each in history)


def test_with_the_list_issued_only_what_is_on_it_flies(trip, tmp_path, capsys):
    """The plan whose list was issued hires the horns: so does each plan made with the list."""
    sheets = minimal_trip()
    sheets["Gear"][1]["Source"] = "fly"
    trip = write_workbook(tmp_path / "stands.xlsx", sheets)
    first, out, ledger = tmp_path / "first", tmp_path / "out", str(tmp_path / "ledger.jsonl")
    made = plan(trip, first, "--work", "0.2", "--hire", "HORN")
    words = ["border", ledger, "issue", str(trip), str(first / "plan.json")]
    assert main([*words, "--issued", "2026-06-01"]) == 0
    listed = {each["gear"]: each["flown"] for each in made["decisions"]}
    capsys.readouterr()
    assert main(["plan", str(trip), "-o", str(out), "--work", "0.2", "--issued", ledger]) == 0
    assert "Of 2 HORN, 0 are on the list issued on 2026-06-01" in capsys.readouterr().out
    again = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    assert all(each["flown"] <= listed[each["gear"]] for each in again["decisions"])
    assert listed["HORN"] == 0


def test_planning_with_a_ledger_without_a_list_is_refused(trip, tmp_path, capsys):
    """Nothing is solved and nothing written."""
    words = ["plan", str(trip), "-o", str(tmp_path / "out"), "--issued", str(tmp_path / "none")]
    assert main(words) == 2
    assert "No list has been issued" in capsys.readouterr().out
    assert not (tmp_path / "out").exists()


def test_no_more_pieces_than_asked_for(trip, tmp_path, capsys):
    """Two horns take two trunks; with one piece at most, one horn more is hired; with none, all."""
    assert len(plan(trip, tmp_path / "any", "--work", "0.2")["pieces"]) == 2
    assert len(plan(trip, tmp_path / "one", "--work", "0.2", "--pieces", "1")["pieces"]) <= 1
    assert plan(trip, tmp_path / "none", "--work", "0.2", "--pieces", "0")["pieces"] == []
    with pytest.raises(SystemExit):
        main(["plan", str(trip), "-o", str(tmp_path / "bad"), "--pieces", "-1"])
    assert "must be 0 or more" in capsys.readouterr().err


def test_staying_near_says_how_far_it_moved_and_what_nearer_costs(trip, tmp_path, capsys):
    """The same trip again: nothing moved, so nothing is nearer."""
    plan(trip, tmp_path / "one", "--work", "0.2")
    kept = str(tmp_path / "one" / "plan.json")
    capsys.readouterr()
    words = ["plan", str(trip), "-o", str(tmp_path / "two"), "--work", "0.2", "--keep", kept]
    assert main([*words, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["moved"], found["nearer"]) == (0, [])
    assert main(words) == 0
    assert "Against the plan to stay near: 0 objects moved." in capsys.readouterr().out


def test_what_nearer_costs_is_the_price_of_moving_less(tmp_path, capsys):
    """All in one trunk saves, on each of two flights, 75.00 for the second piece and 100.00 for
    its size, for one object moved."""
    sheets = minimal_trip()
    for line in sheets["Gear"]:
        line["Source"] = "fly"
    sheets["Cases"][0] |= {"Inside width": 45, "Inside height": 46, "Outside width": 48}
    sheets["Cases"][0] |= {"Outside height": 50, "Outside length": 73}
    path = write_workbook(tmp_path / "trip.xlsx", sheets)
    trip = read_trip(path).trip
    pile = a_plan(trip, {"pile": [("HORN", 1), ("HORN", 2), *(("STAND", n) for n in (1, 2, 3))]})
    wanted = {"TRUNK-1": {"HORN": 1}, "TRUNK-2": {"HORN": 1, "STAND": 3}}
    routes = dict.fromkeys(wanted, Route.HOLD)
    two = repacked(trip, pile, moves_between(pile, wanted), routes, Fitter(trip.clearance_mm))
    write_plan(two, tmp_path / "two.json")
    out = str(tmp_path / "out")
    words = ["plan", str(path), "-o", out, "--work", "0.5", "--keep", str(tmp_path / "two.json")]
    assert main([*words, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["moved"] == 1
    assert found["nearer"] == [{"moves": 0, "more_minor": 35_000, "proved": True}]
    assert main(words) == 0
    assert "Staying nearer still costs:" in capsys.readouterr().out
