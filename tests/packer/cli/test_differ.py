"""`holdall differ`: what changed between two plans, and who changed it."""

from support.road_commands import answer, codes

from packer.cli import main


def test_a_move_is_named_with_the_cost(road, capsys, tmp_path):
    """One stand from TRUNK-2 to TRUNK-1; nothing else changes."""
    answer(capsys, "weigh", road.trip, road.plan, "TRUNK-2=12.9", "-o", str(tmp_path))
    new = str(tmp_path / "plan.json")
    found = answer(capsys, "differ", road.plan, new)["difference"]
    assert found["moved"] == [
        {"gear": "STAND", "units": 1, "source": "TRUNK-2", "target": "TRUNK-1"}
    ]
    assert (found["flown"], found["covers"], found["cases"]) == ([], [], [])
    assert main(["differ", road.plan, new]) == 0
    assert "1 x STAND: TRUNK-2 to TRUNK-1" in capsys.readouterr().out


def test_the_same_plan_twice(road, capsys):
    """Nothing differs, and it says so."""
    assert main(["differ", road.plan, road.plan]) == 0
    assert "do the same at the same cost" in capsys.readouterr().out


def test_history_tells_who_and_why(road, capsys, tmp_path):
    """A change noted once, however often the same is noted."""
    book = str(tmp_path / "history.jsonl")
    words = ["--history", book, "--why", "lighter van", "--by", "Noor"]
    answer(capsys, "differ", road.plan, road.plan, *words)
    (entry,) = answer(capsys, "differ", road.plan, road.plan, *words)["history"]
    assert (entry["who"], entry["why"], entry["kind"]) == ("Noor", "lighter van", "changed")


def test_plans_in_two_currencies_are_not_compared(road, capsys, tmp_path):
    """Their costs would mean nothing."""
    text = (road.folder / "plan.json").read_text()
    (tmp_path / "chf.json").write_text(text.replace('"EUR"', '"CHF"'))
    assert codes(answer(capsys, "differ", road.plan, str(tmp_path / "chf.json"))) == [
        "two-currencies"
    ]
