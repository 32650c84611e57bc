"""What commands print: findings as lines, tables that align, one JSON object."""

import argparse
import json

import pytest

from packer.cli import talk
from packer.model.finding import Finding, Severity
from packer.model.outcome import Outcome
from packer.model.source import Cell

FINDING = Finding(
    "too-heavy",
    Severity.ERROR,
    "TRUNK weighs 33.2 kg, and 32 kg is the most.",
    Cell("trip.xlsx", "Gear", 14, "D"),
    "TRUNK",
    "Take something out.",
)


def _args(**more):
    return argparse.Namespace(command="check", **more)


def test_a_finding_is_one_line_where_no_terminal_listens(capsys):
    """So that it can be searched and counted by other programs."""
    assert talk.report(_args(), Outcome.BAD_INPUT, [FINDING], ["and a line"]) == 2
    first, second = capsys.readouterr().out.splitlines()
    assert first.startswith("trip.xlsx!Gear!D14: error: TRUNK weighs 33.2 kg")
    assert "\033" not in first
    assert second == "and a line"


def test_json_is_one_object_with_code_meaning_and_findings(capsys):
    """The code is the exit code."""
    code = talk.report(_args(json=True), Outcome.BAD_INPUT, [FINDING], ["not shown"], extra=[1])
    answer = json.loads(capsys.readouterr().out)
    assert answer["code"] == code == 2
    assert answer["meaning"] == Outcome.BAD_INPUT.meaning
    assert answer["findings"] == [FINDING.to_json()]
    assert (answer["command"], answer["extra"]) == ("check", [1])


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_findings_fit_the_terminal(monkeypatch, columns):
    """Narrow terminals get wrapped lines with a hanging indent."""
    monkeypatch.setattr("sys.stdout.isatty", lambda: True, raising=False)
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("COLUMNS", str(columns))
    lines = talk.finding_text(FINDING).splitlines()
    assert max(map(len, lines)) <= columns
    assert all(line.startswith("    ") for line in lines[1:])


def test_colour_only_on_a_terminal_that_wants_it(monkeypatch):
    """NO_COLOR is heeded (https://no-color.org)."""
    assert talk.coloured("word", "31") == "word"
    monkeypatch.setattr("sys.stdout.isatty", lambda: True, raising=False)
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert talk.coloured("word", "31") == "\033[31mword\033[0m"
    monkeypatch.setenv("NO_COLOR", "1")
    assert talk.coloured("word", "31") == "word"


def test_a_table_aligns_text_left_and_figures_right():
    """Two columns, the second of figures."""
    rows = [("Baggage", "120.00"), ("Hire", "9.50")]
    assert talk.table(rows, right=(1,)) == ["  Baggage  120.00", "  Hire       9.50"]


def test_findings_are_counted_by_kind():
    """Kinds that do not occur are not mentioned."""
    note = Finding("seen", Severity.NOTE, "A column is not known.")
    assert talk.finding_summary([FINDING, note, note]) == "1 error, 2 notes"
    assert talk.finding_summary([]) == "nothing found"
