"""`holdall tick`: packing progress from the command."""

import pytest
from support.road_commands import answer, codes

from packer.cli import main


@pytest.fixture
def tick(road, tmp_path, capsys):
    """Calls the command on a fresh file of ticks."""

    def call(*words):
        return answer(capsys, "tick", road.trip, road.plan, str(tmp_path / "t.jsonl"), *words)

    return call


def by_case(found):
    return {case["case"]: case for case in found["cases"]}


def test_nothing_is_in_at_first(tick):
    """Five units are out."""
    found = tick()
    assert (found["packed"], found["planned"]) == (0, 5)


def test_units_go_in_and_come_out(tick):
    """Ticked, taken out again, ticked all."""
    first = by_case(tick("--case", "TRUNK-1", "--all", "--by", "Mika"))["TRUNK-1"]
    assert (first["packed"], first["out"]) == (2, [])
    (horn,) = [u for u in by_case(tick())["TRUNK-2"]["out"] if u[0] == "HORN"]
    tick("--case", "TRUNK-2", "--in", f"HORN:{horn[1]}")
    found = tick("--case", "TRUNK-2", "--taken-out", f"HORN:{horn[1]}")
    assert horn in by_case(found)["TRUNK-2"]["out"]


def test_a_case_closes_when_complete_or_excused(tick):
    """First refused, then with the exceptions named."""
    assert codes(tick("--case", "TRUNK-2", "--close")) == ["case-not-complete"]
    out = by_case(tick())["TRUNK-2"]["out"]
    reasons = [f"{gear}:{unit}=left with the repairer" for gear, unit in out]
    case = by_case(tick("--case", "TRUNK-2", "--close", "--without", *reasons))["TRUNK-2"]
    assert case["closed"]
    assert not by_case(tick("--case", "TRUNK-2", "--open"))["TRUNK-2"]["closed"]


def test_the_same_key_counts_once(tick, tmp_path):
    """Sent twice under one key: two ticks, not four."""
    for _ in range(2):
        tick("--case", "TRUNK-1", "--all", "--key", "k")
    assert len((tmp_path / "t.jsonl").read_text().splitlines()) == 2


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--all",), "case-expected"),
        (("--case", "TRUNK-1", "--in", "HORN:x"), "unit-expected"),
        (("--case", "TRUNK-1", "--in", "HORN:7"), "unit-not-flown"),
        (("--case", "TRUNK-3", "--all", "--close"), "case-not-in-plan"),
    ],
)
def test_what_makes_no_sense_is_refused(tick, words, code):
    """Code 2 and a sentence."""
    found = tick(*words)
    assert (found["code"], codes(found)) == (2, [code])


def test_it_reads_well(road, tmp_path, capsys):
    """What is in and what is out, by case."""
    words = ["tick", road.trip, road.plan, str(tmp_path / "t.jsonl"), "--case", "TRUNK-1", "--all"]
    assert main(words) == 0
    assert "2 of 5 units packed." in capsys.readouterr().out
