"""Integers with units as people read them."""

import pytest

from packer.papers.units import (
    cm_text,
    kg_text,
    kg_up,
    major_text,
    money_text,
    natural,
    number_ranges,
    ranges_text,
    size_text,
)


def test_kilograms_stand_to_the_gram():
    """12,345 g are 12.345 kg, and thousands are set off."""
    assert kg_text(12_345) == "12.345"
    assert kg_text(1_234_005) == "1,234.005"


@pytest.mark.parametrize(
    ("grams", "label"), [(12_300, "12.3"), (12_301, "12.4"), (999, "1.0"), (0, "0.0")]
)
def test_weights_on_labels_round_up(grams, label):
    """A label never says less than the case weighs."""
    assert kg_up(grams) == label


@pytest.mark.parametrize(
    ("minor", "currency", "text"),
    [
        (123_456, "EUR", "1,234.56"),
        (-5, "EUR", "-0.05"),
        (1234, "JPY", "1,234"),
        (12_345, "KWD", "12.345"),
    ],
)
def test_money_has_the_currencys_own_decimals(minor, currency, text):
    """ISO 4217 minor units: EUR 2, JPY 0, KWD 3 (iso4217 1.16.20260101)."""
    assert major_text(minor, currency) == text
    assert money_text(minor, currency) == f"{text} {currency}"


def test_lengths_stand_in_centimetres():
    """A decimal only where there is one."""
    assert cm_text(805) == "80.5"
    assert size_text((800, 500, 285)) == "80 x 50 x 28.5 cm"


def test_numbers_in_a_row_become_ranges():
    """1, 2, 3, 7 are 1-3, 7 in whatever order they come."""
    assert number_ranges([7, 2, 1, 3, 3]) == [(1, 3), (7, 7)]
    assert ranges_text([7, 2, 1, 3]) == "1-3, 7"
    assert ranges_text([]) == ""


def test_ids_sort_as_people_count():
    """TRUNK-2 before TRUNK-10, letters in either case alike."""
    assert sorted(["TRUNK-10", "trunk-2", "A"], key=natural) == ["A", "trunk-2", "TRUNK-10"]
