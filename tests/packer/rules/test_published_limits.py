"""Limits in the unit that a carrier publishes, and the rules of one country, from workbooks."""

from __future__ import annotations

import pytest
from support.rule_trips import Change, add, cell, changed, read, trip_findings

from packer.model.trip import Box


def rule_cell(heading: str, text: str) -> Change:
    """A limit as the carrier publishes it."""
    return cell("Rules", 0, heading, text)


@pytest.mark.parametrize(
    ("text", "limit_g"),
    [
        ("50 lb", 22_679),  # 50 x 0.45359237 = 22.6796 kg, not 23 kg
        ("70 lb", 31_751),  # 31.7514659 kg, not 32 kg
        ("23 kg", 23_000),  # IATA, checking in a bag: 23 kg, equal is within
    ],
)
def test_a_weight_limit_is_kept_in_its_own_unit(text: str, limit_g: int) -> None:
    """A case of 22.9 kg is over a strict 50 lb and within 23 kg."""
    held = read(changed(rule_cell("Free weight", text))).rules[0]
    assert held.free_weight_g == limit_g
    assert (held.free_weight_g < 22_900) is (text == "50 lb")


def test_a_linear_limit_is_kept_in_its_own_unit() -> None:
    """62 in is 157.48 cm: a case of 158 cm is over it by 0.2 in; 80 x 50 x 28 cm is 158 cm."""
    held = read(changed(rule_cell("Free linear", "62 in"))).rules[0]
    case = Box(800, 500, 280)
    assert (held.free_linear_mm, case.linear_mm) == (1_574, 1_580)
    metric = read(changed(rule_cell("Free linear", "158 cm"))).rules[0]
    assert metric.free_linear_mm == 1_580


def _large(inches: tuple[int, int, int]) -> tuple[Change, ...]:
    names = ("Outside length", "Outside width", "Outside height")
    sides = (cell("Cases", 0, name, f"{side} in") for name, side in zip(names, inches, strict=True))
    return (cell("Legs", 0, "To", "JFK"), rule_cell("Most linear", "400"), *sides)


@pytest.mark.parametrize(
    ("inches", "refused"),
    # 14 CFR 251.5: up to 150 in, case included
    [((60, 50, 40), False), ((60, 50, 41), True)],
)
def test_the_us_rule_for_checked_instruments(inches: tuple[int, int, int], refused: bool) -> None:
    """150 in (381 cm) is within; 151 in a carrier may refuse."""
    found = [f for f in trip_findings(changed(*_large(inches))) if f.code == "us-instrument-rule"]
    assert len(found) == 1
    assert ("TRUNK-1" in found[0].message) is refused


def test_a_ticket_to_the_united_states_has_one_allowance() -> None:
    """14 CFR 399.87: the rule at the beginning of the itinerary, and the marketing carrier's."""
    sheets = changed(
        add("Rules", Rule="Other Air", Concept="piece", Extra_piece_1=60, Currency="EUR"),
        cell("Legs", 0, "From", "CDG"),
        cell("Legs", 0, "To", "JFK"),
        cell("Legs", 0, "Ticket", "T1"),
        cell("Legs", 1, "Ticket", "T1"),
        cell("Legs", 1, "Rule", "Other Air"),
    )
    found = next(f for f in trip_findings(sheets) if f.code == "ticket-rules-differ")
    assert "charges by Plain Air, as 14 CFR 399.87" in found.message
    assert "14 CFR 399.87" in found.source


def test_a_limit_of_32_kg_is_data() -> None:
    """A piece of 32.5 kg is over 32 kg, and within a carrier's own 45 kg."""
    held = read(changed()).rules[0]
    assert held.most_weight_g == 32_000 < 32_500
    own = read(changed(rule_cell("Most weight", "45"), rule_cell("Overweight bands", "23-45: 90")))
    assert own.rules[0].most_weight_g == 45_000
