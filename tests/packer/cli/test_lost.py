"""`holdall lost`: what the show lacks, what covers it, what to claim."""

from pathlib import Path

from support.road_commands import answer, codes

from packer.cli import main


def test_a_lost_case_stop_by_stop(road, capsys):
    """TRUNK-1: a horn for 60 CHF and its delivery of 40, at 1.05; the house lends the stand."""
    found = answer(capsys, "lost", road.trip, road.plan, "trunk-1")
    (stop,) = found["loss"]["stops"]
    assert stop["short"] == {"HORN": 1, "STAND": 1}
    assert stop["cover_minor"] == 6300 + 4200
    assert stop["deliveries"] == {"Seebach Hire": 4200}
    assert stop["unmet"] == {}


def test_the_claim_names_limit_and_deadlines_with_their_label(road, capsys):
    """One passenger on 2026-07-03: 1,519 special drawing rights; deadlines are from memory."""
    found = answer(capsys, "lost", road.trip, road.plan, "TRUNK-1", "--sdr-rate", "1.2")
    assert (found["claim"]["limit_sdr"], found["claim"]["limit_minor"]) == (1519, 182_280)
    assert {d["label"] for d in found["claim"]["deadlines"]} == {"FROM MEMORY"}
    assert "TRUNK-1" in found["claim"]["without_value"]


def test_every_case_in_turn_the_worst_first(road, capsys):
    """Two trunks; the second costs as much to cover and is worth more."""
    found = answer(capsys, "lost", road.trip, road.plan)
    assert [loss["cases"] for loss in found["losses"]] == [["TRUNK-2"], ["TRUNK-1"]]
    (pair,) = answer(capsys, "lost", road.trip, road.plan, "--pairs", "5")["losses"]
    assert pair["cover_minor"] == 2 * 6300 + 4200


def test_it_reads_well(road, capsys):
    """Item numbers, values, the caution."""
    assert main(["lost", road.trip, road.plan, "TRUNK-1"]) == 0
    text = capsys.readouterr().out
    assert "the cheapest cover: 105.00 EUR" in text
    assert "900.00 EUR" in text
    assert "have deadlines and limits confirmed" in text


def test_a_case_that_does_not_travel(road, capsys):
    """TRUNK-3 is at home."""
    assert codes(answer(capsys, "lost", road.trip, road.plan, "TRUNK-3")) == ["case-not-in-plan"]
    assert codes(answer(capsys, "lost", road.trip, road.plan, "TRUNK-1", "--sdr-rate", "x")) == [
        "rate-expected"
    ]


def test_after_the_last_stop_nothing_is_short(road, capsys):
    """No stop ahead: only the claim is left."""
    found = answer(capsys, "lost", road.trip, road.plan, "TRUNK-1", "--since", "2026-07-05")
    assert found["loss"]["stops"] == []


def test_a_plan_of_another_trip_is_refused(road, capsys, tmp_path):
    """It names a case that this trip does not have; every command of the road says so."""
    text = (road.folder / "plan.json").read_text().replace("TRUNK-2", "VAULT-9")
    other = tmp_path / "other.json"
    other.write_text(text)
    ticks, ledger = str(tmp_path / "t.jsonl"), str(tmp_path / "l.jsonl")
    for words in (
        ("lost", road.trip, str(other)),
        ("weigh", road.trip, str(other), "TRUNK-1=9", "-o", str(tmp_path)),
        ("tick", road.trip, str(other), ticks),
        ("border", ledger, "issue", road.trip, str(other)),
    ):
        found = answer(capsys, *words)
        assert (found["code"], codes(found)) == (2, ["plan-of-another-trip"])


def test_the_claim_list_is_written_where_asked_for(road, capsys, tmp_path):
    """As workbook and PDF."""
    words = ["lost", road.trip, road.plan, "TRUNK-1", "--since", "2026-07-03", "-o", str(tmp_path)]
    found = answer(capsys, *words)
    assert sorted(path.rsplit("/", 1)[-1] for path in found["papers"]) == [
        "claim-list.pdf",
        "claim-list.xlsx",
    ]
    assert all(Path(path).stat().st_size for path in found["papers"])
