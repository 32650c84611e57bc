"""Each kind of battery is counted for itself, and the most of every kind at once is within."""

from __future__ import annotations

import pytest
from support.rule_trips import Change, at, cell, changed, line, trip_findings

ONE_PERSON = (cell("Legs", 0, "People", 1), cell("Legs", 1, "People", 1))
CODES = {
    "small": "too-many-spare-batteries",
    "medium": "too-many-medium-batteries",
    "bank": "too-many-power-banks",
    "device": "too-many-battery-devices",
    "lead": "too-many-lead-acid-batteries",
}
# A person's most by the published tables: 20 spares, 2 above 100 Wh, 2 power banks, 15 devices, 2
# lead-acid spares (sources on the rules' pages).
MOST = {"small": 20, "medium": 2, "bank": 2, "device": 15, "lead": 2}


def battery(kind: str, count: int) -> Change:
    """A line of so many batteries of a kind; a spare of exactly 100 Wh is small."""
    cells: dict[str, object] = {"Gear": kind, "Quantity": count, "Battery": "lithium ion"}
    cells |= {
        "small": {"Battery Wh": 100, "Battery spare": "yes"},
        "medium": {"Battery Wh": 100.001, "Battery spare": "yes"},
        "bank": {"Battery Wh": 74, "Description": "Power bank", "Battery spare": "yes"},
        "device": {"Battery Wh": 120},
        "lead": {"Battery": "lead acid", "Battery Wh": 84, "Battery spare": "yes"},
    }[kind]
    return line(**cells)


def codes(counts: dict[str, int]) -> set[str]:
    """Which counts are too many for one person."""
    lines = (battery(kind, count) for kind, count in counts.items())
    findings = trip_findings(changed(*lines, line(Gear="plain", Quantity=50), *ONE_PERSON))
    return {held.code for held in findings} & set(CODES.values())


def test_the_most_of_each_kind_at_once_is_within() -> None:
    """No kind counts toward another."""
    assert codes(MOST) == set()


@pytest.mark.parametrize("kind", CODES)
def test_one_more_of_a_kind_is_too_many_of_that_kind_only(kind: str) -> None:
    """And only its own rule says so."""
    assert codes(MOST | {kind: MOST[kind] + 1}) == {CODES[kind]}


def test_lithium_metal_spares_count_as_small() -> None:
    """IATA leaflet 2018: up to 2 g as up to 100 Wh."""
    metal = line(
        **{"Battery": "lithium metal", "Battery g lithium": 1, "Battery spare": "yes"},
        Quantity=21,
    )
    found = trip_findings(changed(metal, *ONE_PERSON))
    assert len(at(found, "too-many-spare-batteries")) == 1


def test_other_chemistries_have_no_count() -> None:
    """FAA page on dry cells: no limit for alkaline and NiMH, spare or not."""
    cells = (
        line(Gear=name, Battery=name, Battery_spare="yes", Quantity=60, Consumable="yes")
        for name in ("NiMH", "alkaline")
    )
    assert not {f.code for f in trip_findings(changed(*cells, *ONE_PERSON))} & set(CODES.values())


def test_the_tightest_leg_is_named() -> None:
    """Legs may have different parties; the finding stands at the smallest."""
    sheets = changed(battery("bank", 5), cell("Legs", 0, "People", 2), cell("Legs", 1, "People", 1))
    found = next(f for f in trip_findings(sheets) if f.code == CODES["bank"])
    assert found.subject == "BACK"
    assert "OUT and BACK" in found.message
