"""Figures in words are exact and carry their unit."""

from __future__ import annotations

import pytest

from packer.judge.words import by, kg, listed, money, rack_units, units


@pytest.mark.parametrize(
    ("grams", "text"), [(31_500, "31.5 kg"), (9, "0.009 kg"), (23_000, "23 kg"), (0, "0 kg")]
)
def test_grams_as_kg(grams: int, text: str) -> None:
    """Never rounded."""
    assert kg(grams) == text


@pytest.mark.parametrize(
    ("minor", "code", "text"),
    [
        (12_345, "EUR", "123.45 EUR"),
        (5, "EUR", "0.05 EUR"),
        (12_345, "JPY", "12345 JPY"),
        (12_345, "TND", "12.345 TND"),
        (-5, "EUR", "-0.05 EUR"),
    ],
)
def test_money_has_the_currency_s_own_decimals(minor: int, code: str, text: str) -> None:
    """ISO 4217: two for the euro, none for the yen, three for the Tunisian dinar."""
    assert money(minor, code) == text


def test_other_figures() -> None:
    """Rack units, lengths, counts and lists."""
    assert (rack_units(7), rack_units(8)) == ("3.5 U", "4 U")
    assert by((1, 2, 3)) == "1 x 2 x 3 mm"
    assert (units(1), units(2)) == ("1 unit", "2 units")
    assert (listed(["A"]), listed(["A", "B", "C"])) == ("A", "A, B and C")
