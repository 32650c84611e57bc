"""`holdall border`: the ledger from issue to home, and what it refuses."""

import pytest
from support.road_commands import answer, codes, on_the_road

from packer.cli import main
from packer.road.journal import read_journal


@pytest.fixture
def ledger(road, tmp_path, capsys):
    """A ledger with the list of the plan issued: 5 goods and 2 cases, items 1 to 7."""
    path = str(tmp_path / "ledger.jsonl")
    found = answer(capsys, "border", path, "issue", road.trip, road.plan)
    assert found["places"] == {"home": {str(n): 1 for n in range(1, 8)}}
    assert found["last_day"] == "2027-06-01"
    return path


def test_out_in_out_home(ledger, capsys):
    """From home into Switzerland and back; nothing is owed at the end."""
    for words in (
        ("out", "1-4", "--on", "2026-07-03"),
        ("in", "all", "--country", "ch", "--on", "2026-07-03", "--back-by", "2026-08-01"),
    ):
        found = answer(capsys, "border", ledger, *words)
    assert found["places"]["CH"] == {"1": 1, "2": 1, "3": 1, "4": 1}
    show = answer(capsys, "border", ledger, "show", "--today", "2026-07-30")
    assert [(o["place"], o["days"]) for o in show["owed"]] == [("CH", 2), ("home", 306)]
    answer(capsys, "border", ledger, "leave", "1-3", "--country", "CH", "--on", "2026-07-05")
    found = answer(capsys, "border", ledger, "leave", "4", "--country", "CH", "--on", "2026-07-05")
    found = answer(capsys, "border", ledger, "home", "all", "--on", "2026-07-05")
    assert (found["closed"], found["owed"]) == (True, [])


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("out", "8"), "number-not-on-list"),
        (("in", "1", "--country", "CH"), "more-than-went"),
        (("out", "1", "--on", "2027-06-02"), "crossing-after-expiry"),
        (("in", "1"), "country-expected"),
        (("out", "x"), "items-expected"),
        (("out", "all", "--country", "CH"), "territory-not-home"),
        (("correct", "1", "--why", "slip"), "correction-of-nothing"),
    ],
)
def test_what_an_officer_would_refuse(ledger, capsys, words, code):
    """Refused with code 2 and nothing entered."""
    before = read_journal_bytes(ledger)
    day = () if "--on" in words else ("--on", "2026-07-03")
    found = answer(capsys, "border", ledger, *words, *day)
    assert (found["code"], codes(found)) == (2, [code])
    assert read_journal_bytes(ledger) == before


def read_journal_bytes(path):
    with open(path, "rb") as file:
        return file.read()


def test_a_list_is_issued_once(ledger, road, capsys):
    """A second list in the same ledger is refused, and a proforma offered."""
    found = answer(capsys, "border", ledger, "issue", road.trip, road.plan)
    assert codes(found) == ["goods-added-after-issue"]
    assert "proforma" in found["findings"][0]["remedy"]


def test_a_correction_is_a_new_entry(ledger, capsys, tmp_path):
    """Entry 2 was 1-4 and should have been 1-5; both are in the file."""
    answer(capsys, "border", ledger, "out", "1-4", "--on", "2026-07-03", "--by", "Mika")
    words = ["correct", "2", "--why", "miscounted", "--as", "out", "--items", "1-5"]
    found = answer(capsys, "border", ledger, *words, "--on", "2026-07-03")
    assert len(found["places"]["under way"]) == 5
    kinds = [e.event["kind"] for e in read_journal(tmp_path / "ledger.jsonl").entries]
    assert kinds == ["issued", "crossing", "correction"]


def test_the_same_key_counts_once(ledger, capsys, tmp_path):
    """Sent twice from a bad connection: entered once."""
    for _ in range(2):
        answer(capsys, "border", ledger, "out", "1", "--on", "2026-07-03", "--key", "k")
    assert len(read_journal(tmp_path / "ledger.jsonl").entries) == 2


def test_planning_with_the_list_issued(ledger, road, capsys, tmp_path):
    """The plan flies only what is on the list, and a plan that flies more is refused."""
    assert codes(answer(capsys, "border", ledger, "check", road.trip, road.plan)) == []
    out = tmp_path / "out"
    words = ["plan", road.trip, "-o", str(out), "--seconds", "10", "--workers", "1"]
    assert answer(capsys, "border", ledger, *words)["code"] == 0
    found = answer(capsys, "border", ledger, "check", road.trip, str(out / "plan.json"))
    assert codes(found) == []


def test_it_reads_well(ledger, capsys):
    """What is where, the days left, the caution."""
    main(["border", ledger, "out", "1-3", "--on", "2026-07-03", "--by", "Mika"])
    capsys.readouterr()
    assert main(["border", ledger, "show", "--today", "2026-07-03"]) == 0
    text = capsys.readouterr().out
    assert "333 days left" in text
    assert "exportation" in text
    assert "guaranteeing association" in text


def test_an_altered_ledger_is_not_believed(ledger, capsys, tmp_path):
    """A line changed by hand is an error, and nothing is entered."""
    path = tmp_path / "ledger.jsonl"
    path.write_text(path.read_text().replace("INV-1", "INV-2"))
    assert codes(answer(capsys, "border", ledger, "show")) == ["journal-altered"]


def test_of_a_line_listed_in_part_no_more_than_listed_fly(tmp_path, capsys):
    """A list with one horn of two: one flies, the other is hired."""
    from support.road_plans import a_plan

    from packer.judge import settle
    from packer.model.plan_json import read_plan, write_plan
    from packer.reading import read_trip

    road = on_the_road(tmp_path, worth=2000)
    trip = read_trip(road.folder / "trip.xlsx").trip
    one = a_plan(trip, {"TRUNK-1": [("HORN", 1), ("STAND", 1)], "TRUNK-2": [("STAND", 2)],
                        "TRUNK-3": [("STAND", 3)]})  # fmt: skip
    write_plan(settle(trip, one), tmp_path / "one.json")
    ledger, out = str(tmp_path / "ledger.jsonl"), tmp_path / "out"
    answer(capsys, "border", ledger, "issue", road.trip, str(tmp_path / "one.json"))
    words = ["plan", road.trip, "-o", str(out), "--seconds", "10", "--workers", "1"]
    assert answer(capsys, "border", ledger, *words)["code"] == 0
    flown = {d.gear: d.flown for d in read_plan(out / "plan.json").decisions}
    assert flown == {"HORN": 1, "STAND": 3}


def test_goods_refused_get_a_proforma_of_their_own(ledger, road, capsys, tmp_path):
    """A plan that flies one stand more than the list: refused, with the sheet to travel by."""
    from support.road_plans import a_plan

    from packer.judge import settle
    from packer.model.plan_json import write_plan
    from packer.reading import read_trip

    trip = read_trip(road.folder / "trip.xlsx").trip
    more = a_plan(trip, {"TRUNK-1": [("HORN", 1), ("STAND", 1)], "TRUNK-2": [("HORN", 2)],
                         "TRUNK-3": [("STAND", 2), ("STAND", 3)]})  # fmt: skip
    write_plan(settle(trip, more), tmp_path / "more.json")
    words = ["border", ledger, "check", road.trip, str(tmp_path / "more.json")]
    found = answer(capsys, *words, "-o", str(tmp_path / "out"))
    assert (found["code"], codes(found)) == (2, ["goods-added-after-issue"])
    names = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert names == ["proforma-not-on-list.pdf", "proforma-not-on-list.xlsx"]
