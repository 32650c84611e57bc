"""`holdall rules` lists the catalogue and prints a page, as text and as JSON."""

from __future__ import annotations

import json

import pytest

from packer.cli import main
from packer.rules import catalogue


def test_the_list_names_every_rule_once(capsys: pytest.CaptureFixture[str]) -> None:
    """One line a rule, by family."""
    assert main(["rules"]) == 0
    lines = capsys.readouterr().out.splitlines()
    for page in catalogue():
        assert sum(line.split()[:1] == [page.code] for line in lines) == 1
        assert page.family in lines


def test_a_page_has_all_its_parts(capsys: pytest.CaptureFixture[str]) -> None:
    """What, why, source, examples, limits, who decides."""
    assert main(["rules", "spare-battery-in-hold"]) == 0
    out = capsys.readouterr().out
    for part in ("What", "Why", "Source", "Fails", "Passes", "Limits", "Decides"):
        assert f"{part}: " in out


def test_json(capsys: pytest.CaptureFixture[str]) -> None:
    """The list and one page, as the API serves them."""
    assert main(["rules", "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["rules"]) == len(catalogue())
    assert main(["rules", "heavy-piece", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["code"] == 0
    assert [page["code"] for page in answer["rules"]] == ["heavy-piece"]


def test_an_unknown_code_is_bad_input(capsys: pytest.CaptureFixture[str]) -> None:
    """With the nearest codes."""
    assert main(["rules", "spare-batery-in-hold"]) == 2
    assert "spare-battery-in-hold" in capsys.readouterr().out


def test_a_code_of_the_reader_is_told_apart(capsys: pytest.CaptureFixture[str]) -> None:
    """It has no page: its message says what was expected."""
    assert main(["rules", "origin-unknown"]) == 2
    assert "is found while reading" in capsys.readouterr().out
