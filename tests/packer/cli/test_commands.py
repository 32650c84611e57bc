"""The commands from words to exit code, on an invented trip of two horns and three stands."""

import csv
import json

import pytest
from support.workbooks import minimal_trip, write_workbook

from packer.cli import main

QUICK = ["--seconds", "10", "--workers", "1"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A folder with a good trip, its plan, a trip with an error and one that cannot be."""
    folder = tmp_path_factory.mktemp("trips")
    write_workbook(folder / "trip.xlsx", minimal_trip())
    bad, heavy = minimal_trip(), minimal_trip()
    bad["Gear"][0]["Weight"] = "heavy"
    write_workbook(folder / "bad.xlsx", bad)
    heavy["Gear"][0] |= {"Weight": 40, "Source": "fly"}
    write_workbook(folder / "heavy.xlsx", heavy)
    assert main(["plan", str(folder / "trip.xlsx"), "-o", str(folder / "out"), *QUICK]) == 0
    return folder


def _json(capsys, *words):
    code = main([*words, "--json"])
    answer = json.loads(capsys.readouterr().out)
    assert answer["code"] == code
    return answer


def test_plan_prints_costs_pieces_and_papers(folder, capsys):
    """The second trunk costs 75.00 on each of two flights."""
    words = ["plan", str(folder / "trip.xlsx"), "-o", str(folder / "again"), *QUICK]
    assert main(words) == 0
    text = capsys.readouterr().out
    assert "units fly in 2 pieces" in text
    assert "Proved: no plan costs less." in text
    assert "150.00 EUR" in text
    assert "manifest (xlsx)" in text


def test_plan_as_json_carries_the_plan_and_the_papers(folder, capsys):
    """The plan is that of plan.json."""
    trip, out = str(folder / "trip.xlsx"), folder / "json"
    answer = _json(capsys, "plan", trip, "-o", str(out), *QUICK)
    assert answer["plan"] == json.loads((out / "plan.json").read_text(encoding="utf-8"))
    assert str(out / "plan.json") in answer["papers"]


def test_an_impossible_trip_exits_3_with_causes(folder, capsys):
    """The horn of 40 kg is named, and nothing is written."""
    answer = _json(capsys, "plan", str(folder / "heavy.xlsx"), "-o", str(folder / "no"), *QUICK)
    assert answer["code"] == 3
    assert "HORN" in json.dumps(answer["causes"])
    assert not (folder / "no").exists()


@pytest.mark.parametrize("command", ["check", "plan", "judge"])
def test_an_input_with_errors_exits_2(folder, capsys, command):
    """And says in which cell."""
    more = {"plan": ["-o", str(folder / "no")], "judge": [str(folder / "out/plan.json")]}
    assert main([command, str(folder / "bad.xlsx"), *more.get(command, [])]) == 2
    assert "bad.xlsx!Gear!D2: error:" in capsys.readouterr().out


def test_a_folder_that_is_a_file_is_refused_before_solving(folder, capsys):
    """Not after half a minute of work."""
    words = ["plan", str(folder / "trip.xlsx"), "-o", str(folder / "bad.xlsx")]
    assert main(words) == 2
    assert "is a file, not a folder" in capsys.readouterr().out


def test_check_is_clean_and_counts_what_it_found(folder, capsys):
    """Warnings and notes are no errors."""
    answer = _json(capsys, "check", str(folder / "trip.xlsx"))
    assert answer["code"] == 0
    assert not [f for f in answer["findings"] if f["severity"] == "error"]


def test_check_gives_the_workbook_back_marked(folder):
    """Also where there are errors; that is what it is for."""
    target = folder / "marked.xlsx"
    assert main(["check", str(folder / "bad.xlsx"), "--marked", str(target)]) == 2
    assert target.stat().st_size > 0


def test_template_is_written_once_and_not_over_what_is_there(folder, capsys):
    """Unless told so."""
    target = folder / "empty.xlsx"
    assert main(["template", str(target)]) == 0
    before = target.read_bytes()
    assert main(["template", str(target)]) == 2
    assert target.read_bytes() == before
    assert main(["template", str(target), "--force"]) == 0
    assert main(["template", str(folder / "empty.txt")]) == 2
    assert "Call it empty.xlsx." in capsys.readouterr().out


def test_judge_accepts_the_plan_and_reckons_it_anew(folder, capsys):
    """The same 150.00."""
    answer = _json(capsys, "judge", str(folder / "trip.xlsx"), str(folder / "out" / "plan.json"))
    assert (answer["code"], answer["verdict"]["objective_minor"]) == (0, 15_000)


def test_judge_refuses_a_plan_that_misstates_a_weight(folder, capsys):
    """Exit code 1, the breach, and the right figures."""
    plan = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))
    plan["pieces"][0]["planning_g"] -= 1
    spoiled = folder / "spoiled.json"
    spoiled.write_text(json.dumps(plan), encoding="utf-8")
    answer = _json(capsys, "judge", str(folder / "trip.xlsx"), str(spoiled))
    assert answer["code"] == 1
    assert [breach["code"] for breach in answer["verdict"]["breaches"]] == ["wrong-weight"]


def test_what_is_no_plan_is_bad_input(folder, capsys):
    """A workbook where a plan was wanted."""
    assert main(["judge", str(folder / "trip.xlsx"), str(folder / "trip.xlsx")]) == 2
    assert "[not-a-plan]" in capsys.readouterr().out


def test_why_tells_the_difference_to_the_cent(folder, capsys):
    """Hired horns: 126.00 + 42.00 + worth 200.00 less a trunk of 150.00."""
    trip, plan = str(folder / "trip.xlsx"), str(folder / "out" / "plan.json")
    assert main(["why", trip, plan, "horn", *QUICK]) == 0
    assert "To hire HORN costs 218.00 EUR more, proved." in capsys.readouterr().out


def test_why_says_where_the_decision_turns(folder, capsys):
    """Hiring the horns costs 218.00 more at 63.00 each: for nothing it would still cost more."""
    trip, plan = str(folder / "trip.xlsx"), str(folder / "out" / "plan.json")
    assert main(["why", trip, plan, "horn", *QUICK]) == 0
    assert "Hiring costs 63.00 EUR a unit and stop; for nothing" in capsys.readouterr().out


def test_why_without_a_line_asks_about_all(folder, capsys):
    """The stands, lent for nothing, turn at nothing; the horns are far from turning."""
    trip, plan = str(folder / "trip.xlsx"), str(folder / "out" / "plan.json")
    answer = _json(capsys, "why", trip, plan, *QUICK)
    found = {a["gear"]: (a["way"], a["least_minor"], a["most_minor"]) for a in answer["answers"]}
    assert found == {"STAND": ("fly", 0, 0), "HORN": ("hire", 21_800, 21_800)}
    assert main(["why", trip, plan, *QUICK]) == 0
    text = capsys.readouterr().out
    assert "HORN   2 of 2  all hired        218.00   218.00" in text


def test_why_refuses_a_plan_of_another_trip(folder, capsys):
    """Its trunks are not among the trip's cases."""
    other = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))
    other["pieces"] = []
    spoiled = folder / "other.json"
    spoiled.write_text(json.dumps(other), encoding="utf-8")
    trip = minimal_trip()
    trip["Gear"][0]["Source"] = "fly"
    strict = write_workbook(folder / "strict.xlsx", trip)
    assert main(["why", str(strict), str(spoiled), *QUICK]) == 2
    assert "[plan-does-not-serve]" in capsys.readouterr().out


def test_why_asks_for_gear_that_is_there(folder, capsys):
    """A slip of the finger gets the nearest name."""
    trip, plan = str(folder / "trip.xlsx"), str(folder / "out" / "plan.json")
    assert main(["why", trip, plan, "HORNS", *QUICK]) == 2
    assert "Did you mean 'HORN'?" in capsys.readouterr().out


def test_compare_sets_plans_side_by_side(folder, capsys):
    """A trip and the same trip with dearer hire are alike, since nothing is hired."""
    trip, plan = str(folder / "trip.xlsx"), str(folder / "out" / "plan.json")
    assert main(["compare", trip, plan, *QUICK]) == 0
    text = capsys.readouterr().out
    assert "The same units fly in all of them." in text
    assert text.count("150.00") >= 4


def test_compare_names_what_flies_here_and_not_there(folder, capsys):
    """The plan with hired horns."""
    trip, out = str(folder / "trip.xlsx"), folder / "hired"
    assert main(["plan", trip, "-o", str(out), "--hire", "HORN", *QUICK]) == 0
    capsys.readouterr()
    plans = [str(folder / "out" / "plan.json"), str(out / "plan.json")]
    answer = _json(capsys, "compare", *plans)
    assert [plan["flown"]["HORN"] for plan in answer["plans"]] == [2, 0]


def test_sweep_writes_its_table(folder, capsys):
    """One row for the trip as it stands and one for each change."""
    target = folder / "sweep.csv"
    words = ["sweep", str(folder / "trip.xlsx"), "--csv", str(target), "--seconds", "3"]
    assert main([*words, "--workers", "1"]) == 0
    rows = list(csv.reader(target.open(encoding="utf-8")))
    assert rows[1][:2] == ["as it stands", "150.00"]
    assert ["1 free piece fewer on every flight", "300.00", "150.00"] in [row[:3] for row in rows]
    assert "as it stands" in capsys.readouterr().out


def test_sweep_goes_down_in_pieces_and_says_what_a_little_more_saves(folder, capsys):
    """One trunk: a horn for 63.00 + 42.00 + worth 100.00, less 150.00. None: both, 218.00 more."""
    target = folder / "sweep.svg"
    words = ["sweep", str(folder / "trip.xlsx"), "--picture", str(target), "--seconds", "3"]
    answer = _json(capsys, *words, "--workers", "1")
    by_name = {change["name"]: change for change in answer["changes"]}
    assert by_name["at most 1 hold piece"]["least_minor"] == 5_500
    assert by_name["at most 0 hold pieces"]["most_minor"] == 21_800
    margins = {m["name"]: m["saves_least_minor"] for m in answer["margins"]}
    assert margins["1 more free piece on OUT"] == 7_500
    assert "at most 1 hold piece" in target.read_text(encoding="utf-8")
