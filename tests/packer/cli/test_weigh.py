"""`holdall weigh`: from what the scale says to the mended plan and the sheets of touched cases."""

import json

import pypdfium2
from support.road_commands import answer, codes

from packer.cli import main
from packer.judge import judge
from packer.model.plan_json import read_plan
from packer.reading import read_trip
from packer.road.journal import read_journal
from packer.road.scales import weigh_in


def test_the_fewest_moves_and_their_price(road, capsys, tmp_path):
    """TRUNK-2 (most gross 13 kg) plans at 13.4: one stand moves to TRUNK-1, at no price."""
    words = ["weigh", road.trip, road.plan, "TRUNK-2=12.9", "-o", str(tmp_path)]
    found = answer(capsys, *words)
    assert found["differences"] == [{"case": "TRUNK-2", "listed_g": 11_400, "real_g": 12_900}]
    assert {b["code"] for b in found["breaks"]} == {"over-most-gross"}
    first = found["choices"][0]
    assert (len(first["moves"]), first["proved"]) == (1, True)
    assert first["moves"][0] | {"unit": 0} == {
        "gear": "STAND",
        "unit": 0,
        "from": "TRUNK-2",
        "to": "TRUNK-1",
    }


def test_the_written_plan_holds_by_the_real_weights(road, capsys, tmp_path):
    """The judge accepts it for the trip with the scale's figures."""
    answer(capsys, "weigh", road.trip, road.plan, "TRUNK-2=12.9", "-o", str(tmp_path))
    trip = read_trip(road.folder / "trip.xlsx").trip
    real = weigh_in(trip, read_plan(road.plan), {"TRUNK-2": 12_900}).trip
    assert judge(real, read_plan(tmp_path / "plan.json")).breaches == ()
    entry = read_journal(tmp_path / "history.jsonl").entries[0]
    assert (entry.event["kind"], entry.event["why"]) == ("weighed", "weighed TRUNK-2")


def test_sheets_are_written_for_the_touched_cases_only(road, capsys, tmp_path):
    """Old and new sheets name both trunks that are opened, and no page more."""
    answer(capsys, "weigh", road.trip, road.plan, "TRUNK-2=12.9", "-o", str(tmp_path))
    for name in ("case-sheets-old.pdf", "case-sheets-new.pdf"):
        pages = pypdfium2.PdfDocument(tmp_path / name)
        text = "".join(page.get_textpage().get_text_bounded() for page in pages)
        assert "TRUNK-1" in text
        assert "TRUNK-2" in text
        assert "TRUNK-3" not in text


def test_a_legal_plan_needs_nothing(road, capsys, tmp_path):
    """Heavier, but within every limit: nothing moves and the choice is to pay nothing more."""
    assert main(["weigh", road.trip, road.plan, "TRUNK-1=26 lb", "-o", str(tmp_path)]) == 0
    text = capsys.readouterr().out
    assert "As it stands it is legal." in text
    assert "Nothing moves." in text
    assert "pay instead" in text
    assert "Two people lift" in text


def test_what_no_moves_mend_exits_3(road, capsys, tmp_path):
    """A horn of 14 kg in cases of at most 13: proved that no packing is legal, nothing written."""
    words = ["weigh", road.trip, road.plan, "--all-fly", "-o", str(tmp_path / "no")]
    found = answer(capsys, *words, "--object", "HORN=14 kg")
    assert (found["code"], codes(found)) == (3, ["no-moves-help"])
    assert not (tmp_path / "no").exists()


def test_a_weight_that_is_none_is_refused(road, capsys, tmp_path):
    """Words, nothing, nought, a case that stays at home, a case nobody has."""
    for word, code in (
        ("TRUNK-1=heavy", "number-expected"),
        ("TRUNK-1", "weight-expected"),
        ("TRUNK-1=0", "weight-expected"),
        ("TRUNK-3=9", "case-not-in-plan"),
        ("TRUCK=9", "unknown-name"),
    ):
        found = answer(capsys, "weigh", road.trip, road.plan, word, "-o", str(tmp_path))
        assert (found["code"], codes(found)) == (2, [code])


def test_a_plan_that_did_not_hold_before_is_sent_to_the_judge(road, capsys, tmp_path):
    """Weighing mends weights, not other breaches."""
    data = json.loads((road.folder / "plan.json").read_text())
    data["pieces"][0]["contents"] = data["pieces"][0]["contents"][:1]
    (tmp_path / "bad.json").write_text(json.dumps(data))
    words = ["weigh", road.trip, str(tmp_path / "bad.json"), "TRUNK-1=9", "-o", str(tmp_path)]
    assert codes(answer(capsys, *words)) == ["plan-does-not-hold"]


def test_what_no_case_takes_stays_behind_and_is_hired(road, capsys, tmp_path):
    """Horns of 14 kg stay: two hired from Seebach, 63.00 each and 42.00 to bring them."""
    words = ["weigh", road.trip, road.plan, "--object", "HORN=14 kg", "-o", str(tmp_path)]
    found = answer(capsys, *words)
    first = found["choices"][0]
    assert [(m["gear"], m["to"]) for m in first["moves"]] == [("HORN", None)] * 2
    assert first["orders"] == [
        {"gear": "HORN", "stop": "Lakeside", "supplier": "Seebach Hire", "units": 2}
    ]
    plan = read_plan(tmp_path / "plan.json")
    assert (plan.costs.hire_minor, plan.costs.delivery_minor) == (12_600, 4200)
    assert main(words) == 0
    text = capsys.readouterr().out
    assert "stays behind" in text
    assert "no fee makes it legal" in text
    assert "+2 x HORN" in text


def test_paying_instead_has_its_price(road, capsys, tmp_path):
    """The plan is legal as it stands, at no fee more."""
    found = answer(capsys, "weigh", road.trip, road.plan, "TRUNK-1=11.7", "-o", str(tmp_path))
    assert found["pay_instead_minor"] == 0
    found = answer(capsys, "weigh", road.trip, road.plan, "TRUNK-2=12.9", "-o", str(tmp_path))
    assert found["pay_instead_minor"] is None


def test_the_workbook_with_the_measured_weights_and_the_new_plan_agree(road, capsys, tmp_path):
    """Judged from outside, the written plan holds by the written workbook, and not by the old."""
    book = str(tmp_path / "weighed.xlsx")
    words = ["weigh", road.trip, road.plan, "TRUNK-2=12.9", "-o", str(tmp_path)]
    assert answer(capsys, *words, "--workbook", book)["workbook"] == book
    plan = str(tmp_path / "plan.json")
    assert answer(capsys, "judge", book, plan)["verdict"]["accepted"]
    assert not answer(capsys, "judge", road.trip, plan)["verdict"]["accepted"]
    assert read_plan(plan).input_sha256 == read_trip(tmp_path / "weighed.xlsx").trip.input_sha256
    main([*words, "--workbook", book])
    assert "Judge and plan with it from now on" in capsys.readouterr().out


def test_a_workbook_of_another_ending_is_refused_before_any_work(road, capsys, tmp_path):
    """The copy is an .xlsx."""
    words = ["weigh", road.trip, road.plan, "TRUNK-2=12.9", "-o", str(tmp_path)]
    assert codes(answer(capsys, *words, "--workbook", "weighed.csv")) == ["wrong-ending"]
