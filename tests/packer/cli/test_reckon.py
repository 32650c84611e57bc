"""`holdall reckon` answers one question at a time; published figures stand beside the answers."""

from __future__ import annotations

import json

import pytest

from packer.cli import main


def answer(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What the command prints; it must end well."""
    assert main(["reckon", *words]) == 0
    return capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["battery", "20", "6Ah"], "120 Wh"),  # polexp.com FAQ
        (["battery", "3,7", "10000mAh"], "37 Wh"),  # public repository page
        (["battery", "14.4", "11.2 Ah"], "161.28 Wh. As lithium ion: forbidden"),
        (["team", "20", "20"], "26.67 kg"),  # Network Rail: about 26.6 kg
        (["team", "50", "50", "50"], "75 kg"),  # firstsafetytrainingservices.co.uk
        (["guide", "--turn", "91"], "above 20 kg"),  # INDG143: 20 % off
        (["guide", "--pace", "6"], "above 12.5 kg"),  # INDG143: 50 % off
        (["until", "carnet", "2026-03-01"], "2027-03-01"),  # 19 CFR 114.23
        (["until", "certificate", "2026-01-10"], "2029-01-10"),  # CITES Conf. 16.8
        (["tones", "863.1", "863.7", "864.1", "864.9"], "200 kHz from a member"),
        (["tones", "614.0", "614.4", "614.8"], "0 kHz from 614.8 MHz"),
        (["freight", "30x45x65", "--gross", "14"], "chargeable 15 kg"),  # pengellys.co.nz
        (["freight", *["60x40x20"] * 8, "--gross", "45"], "chargeable 64 kg"),  # valueclearing
        (["security", "50000", "40"], "Security: 20000."),  # uscib.org
    ],
)
def test_answers(capsys: pytest.CaptureFixture[str], words: list[str], expected: str) -> None:
    """The published result stands in the first lines."""
    assert expected in answer(capsys, *words)


LIFT = "lift --us --load 26 --horizontal 10 --vertical 22 --distance 37 --pace 3 --grip fair"


def test_a_lift_both_ways(capsys: pytest.CaptureFixture[str]) -> None:
    """94-110 Example 4, origin: 34.9 lb by the worksheet, 34.8 with every digit; with caution."""
    out = answer(capsys, *LIFT.split())
    assert "worksheet: recommended limit 34.9 lb" in out
    assert "every digit: recommended limit 34.81 lb" in out
    assert "an assessment on the spot" in out.lower()
    assert "no medical advice" in out


def test_a_lift_with_control_where_it_ends(capsys: pytest.CaptureFixture[str]) -> None:
    """94-110 Example 4 (secondary: public transcription): 15.2 lb at the destination, the lower."""
    end = ["--end-horizontal", "20", "--end-vertical", "59"]
    out = answer(capsys, *LIFT.split(), *end)
    assert "worksheet: recommended limit 15.2 lb" in out
    assert "every digit: recommended limit 15.25 lb" in out
    assert "lower limit counts" in out
    assert main(["reckon", *LIFT.split(), *end[:2]]) == 2
    assert "needs both" in capsys.readouterr().out


def test_json(capsys: pytest.CaptureFixture[str]) -> None:
    """The same figures as one object."""
    held = json.loads(answer(capsys, *LIFT.split(), "--json"))
    assert held["code"] == 0
    assert held["worksheet"]["recommended"] == 34.9
    assert held["worksheet"]["multipliers"]["FM"] == 0.88


def test_a_team_of_four_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """No figure is published for it, and none is invented."""
    assert main(["reckon", "team", "20", "20", "20", "20"]) == 2
    assert "no figure is published" in capsys.readouterr().out


@pytest.mark.parametrize(
    "words",
    [
        ["battery", "x", "1Ah"],
        ["battery", "12", "1"],
        ["battery", "-1", "1Ah"],
        ["freight", "30x45", "--gross", "14"],
        ["security", "nan", "40"],
        ["until", "carnet", "tomorrow"],
        [],
    ],
)
def test_what_is_no_figure_is_refused(words: list[str]) -> None:
    """argparse says which word, with exit code 2."""
    with pytest.raises(SystemExit) as stopped:
        main(["reckon", *words])
    assert stopped.value.code == 2


def test_a_divisor_of_nought_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is divided by it."""
    assert main(["reckon", "freight", "30x45x65", "--gross", "14", "--divisor", "0"]) == 2
    assert "at least 1" in capsys.readouterr().out
