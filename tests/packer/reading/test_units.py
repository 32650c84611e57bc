"""Units, rounding and number words: exact, on the safe side, never guessed."""

from __future__ import annotations

import contextlib
import math
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

import shared
from packer.reading.columns import Sheet
from packer.reading.headings import match_heading
from packer.reading.kinds import parse
from packer.reading.mistakes import Hints, Mistake
from packer.reading.schema import CASES, GEAR, RULES, STOPS

_CLOSE = Fraction(1, 10**9)


def _read(sheet: Sheet, key: str, value: Any, unit: str = "") -> Any:
    value = Decimal(str(value)) if type(value) in (int, float) else value
    return parse(value, sheet.column(key), Hints(unit))


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("28 lb", 12701),  # 28 x 453.59237 g = 12,700.59 g
        ("28lb", 12701),
        ("28 LBS.", 12701),
        ("50 lb", 22680),  # 22,679.6185 g, published worked value: 22.67961850 kg
        ("70 lb", 31752),  # 31.75146590 kg
        ("12,5 kg", 12500),
        ("12.5", 12500),
        ("12,5", 12500),
        (" 12.5  kg ", 12500),
        ("850 g", 850),
        ("1.234,5 g", 1235),
        ("1,234.5 g", 1235),
        ("1 234,5 g", 1235),
        ("1'234'567 mg", 1235),
        ("3 lb 8 oz", 1588),  # 3.5 lb = 1,587.57 g
        ("3 1/2 lb", 1588),
        ("0.0001 kg", 1),
        ("0,123", 123),
        ("1.234", 1234),
    ],
)
def test_weights_carried_round_up_to_the_gram(text: str, grams: int) -> None:
    """Text with or without a unit gives grams, rounded up."""
    assert _read(GEAR, "weight", text) == grams


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("5'10\"", 1778),  # 70 in x 25.4 mm
        ("5′ 10″", 1778),
        ("5’10”", 1778),
        ("1 ft 6 in", 458),  # 457.2 mm
        ("1ft 6in", 458),
        ("18''", 458),
        ("6 1/2 in", 166),  # 165.1 mm
        ("0.5 m", 500),
        ("455 mm", 455),
        ("45,51", 456),
        ("1 ft, 6 in", 458),
    ],
)
def test_object_lengths_round_up_to_the_millimetre(text: str, mm: int) -> None:
    """Feet, inches and metric lengths give millimetres, rounded up."""
    assert _read(GEAR, "length", text) == mm


@pytest.mark.parametrize(
    ("sheet", "key", "text", "expected"),
    [
        (RULES, "most_weight", "70 lb", 31751),
        (RULES, "free_weight", "50 lb", 22679),
        (RULES, "free_linear", "62 in", 1574),  # 157.48 cm
        (RULES, "most_linear", "115 in", 2921),
        (CASES, "inside_length", "27.55 in", 699),  # 699.77 mm
        (CASES, "outside_length", "27.55 in", 700),
        (CASES, "rack_depth", "45.19", 451),
        (CASES, "most_gross", "32.0009", 32000),
        (CASES, "empty_weight", "6.5001", 6501),
        (GEAR, "battery_wh", "99.4", 99400),
        (GEAR, "battery_g_lithium", "0.3", 300),
        (GEAR, "rack_units", "2.5", 5),
        (GEAR, "rack_units", "2 1/2", 5),
        (GEAR, "rack_units", "3U", 6),
    ],
)
def test_limits_and_insides_round_down(sheet: Sheet, key: str, text: str, expected: int) -> None:
    """What limits us or gives us room is never overstated, what we carry never understated."""
    assert _read(sheet, key, text) == expected


_UNITS = {
    "kg": "kilogram",
    "g": "gram",
    "lb": "pound",
    "oz": "ounce",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "in": "inch",
    "ft": "foot",
    "t": "metric_ton",
}


@pytest.mark.parametrize("unit", _UNITS)
def test_factors_agree_with_a_units_library(unit: str) -> None:
    """The factors are those of the pint library (0.25), to its floating point."""
    registry = pint.get_application_registry()
    is_mass = unit in shared.MASS_UNITS
    factor = (shared.MASS_UNITS if is_mass else shared.LENGTH_UNITS)[unit]
    base = registry.gram if is_mass else registry.millimeter
    assert math.isclose((1 * registry(_UNITS[unit])).to(base).magnitude, float(factor))


_AMOUNTS = st.decimals("0.001", "5000", places=3)
_MASS = st.sampled_from(["kg", "g", "lb", "oz"])
_LENGTH = st.sampled_from(["mm", "cm", "in", "ft"])


@given(_AMOUNTS, _MASS)
def test_weight_is_never_understated(amount: Decimal, unit: str) -> None:
    """A weight carried is at least the exact weight and less than a gram above it."""
    exact = Fraction(amount) * shared.MASS_UNITS[unit]
    up = _read(GEAR, "weight", f"{amount} {unit}")
    down = _read(RULES, "most_weight", f"{amount} {unit}")
    assert exact <= up < exact + 1
    assert exact - 1 < down <= exact


@given(_AMOUNTS, _LENGTH)
def test_inside_is_never_overstated(amount: Decimal, unit: str) -> None:
    """An outside is at least, an inside at most the exact length, each by less than 1 mm."""
    exact = Fraction(amount) * shared.LENGTH_UNITS[unit]
    if not 1 <= exact <= 100_000:
        return
    outside = _read(CASES, "outside_length", f"{amount} {unit}")
    inside = _read(CASES, "inside_length", f"{amount} {unit}")
    assert exact <= outside < exact + 1
    assert exact - 1 < inside <= exact


@given(_AMOUNTS, _MASS)
def test_heading_and_cell_units_agree(amount: Decimal, unit: str) -> None:
    """`Weight (lb)` over 28 means the same as 28 lb."""
    match = match_heading(GEAR, f"Weight ({unit})")
    assert match is not None
    assert _read(GEAR, "weight", str(amount), match.unit) == _read(
        GEAR, "weight", f"{amount} {unit}"
    )


@given(st.decimals("0", "99999.99", places=2), st.booleans())
def test_numbers_read_the_same_in_both_notations(amount: Decimal, grouped: bool) -> None:
    """1,234.50 and 1.234,50 and 1 234,50 are one number."""
    english = f"{amount:,.2f}" if grouped else f"{amount:.2f}"
    german = english.translate(str.maketrans(",.", ".,"))
    spaced = english.replace(",", "\u202f").replace(".", ",")
    found = {_read(GEAR, "value", text).amount for text in (english, german, spaced)}
    assert found == {amount}


@pytest.mark.parametrize(
    ("heading", "unit"),
    [
        ("Weight (lb)", "lb"),
        ("WEIGHT [kg]", "kg"),
        ("weight, lb", "lb"),
        ("Weight in lb", "lb"),
        ("Weight (in lb)", "lb"),
        ("Weight (kg, of one)", "kg"),
        ("Weight (of one)", ""),
        ("Weight", ""),
        (" weight : ", ""),
    ],
)
def test_headings_may_carry_units(heading: str, unit: str) -> None:
    """A unit stands in brackets or as the last word."""
    match = match_heading(GEAR, heading)
    assert match is not None
    assert (match.column.key, match.unit, match.unknown_unit) == ("weight", unit, "")


@pytest.mark.parametrize(
    ("sheet", "heading", "key"),
    [
        (CASES, "Slot", "slot"),
        (CASES, "Slots (how many)", "slots"),
        (CASES, "Slot (kind)", "slot"),
        (CASES, "INSIDE\nlength (mm)", "inside_length"),
        (GEAR, "Battery (Wh)", "battery_wh"),
        (GEAR, "Battery Wh", "battery_wh"),
        (GEAR, "Battery, g lithium", "battery_g_lithium"),
        (GEAR, "Serial", "serials"),
        (GEAR, "pack-with", "pack_with"),
        (RULES, "Extra Piece #1", "extra_piece_1"),
        (RULES, "Fee per kg (EUR)", "fee_per_kg"),
    ],
)
def test_headings_match_without_case_and_signs(sheet: Sheet, heading: str, key: str) -> None:
    """Case, spaces, punctuation and a plural s do not matter."""
    match = match_heading(sheet, heading)
    assert match is not None
    assert match.column.key == key


def test_radio_of_devices_widens_and_what_is_open_narrows() -> None:
    """A device is taken to use at least its range; a stop to allow at most its own."""
    (used,) = _read(GEAR, "radio", "606.5004-613.4996 MHz")
    (open_,) = _read(STOPS, "radio_ranges", "606.5004-613.4996")
    assert (used.low_khz, used.high_khz) == (606500, 613500)
    assert (open_.low_khz, open_.high_khz) == (606501, 613499)
    assert len(_read(STOPS, "radio_ranges", "470-608; 863-865, 2.4 GHz")) == 3


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-07-03", "2026-07-03"),
        ("2026/7/3", "2026-07-03"),
        ("20260703", "2026-07-03"),
        ("2026-07-03 00:00:00", "2026-07-03"),
        ("3 July 2026", "2026-07-03"),
        ("Fri, 3 Jul 2026", "2026-07-03"),
        ("3-Jul-2026", "2026-07-03"),
        ("July 3rd, 2026", "2026-07-03"),
        ("03.07.2026", "2026-07-03"),
        ("13/04/2026", "2026-04-13"),
        ("04/13/2026", "2026-04-13"),
        ("05/05/2026", "2026-05-05"),
    ],
)
def test_dates_as_people_write_them(text: str, day: str) -> None:
    """Any form with one reading is read."""
    assert _read(STOPS, "date", text).isoformat() == day


@pytest.mark.parametrize("text", ["3/7/26", "July", "2026-07", "soon", "1st of July", ""])
def test_other_dates_are_refused(text: str) -> None:
    """What has no certain reading is no date."""
    with pytest.raises(Mistake):
        _read(STOPS, "date", text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Yes", True),
        ("y", True),
        ("TRUE", True),
        ("1", True),
        ("x", True),
        ("no", False),
        ("N", False),
        ("false", False),
        (0, False),
        (True, True),
    ],
)
def test_yes_and_no_in_usual_spellings(text: Any, expected: bool) -> None:
    """Yes and no are read in the spellings that people use."""
    assert _read(GEAR, "fragile", text) is expected


@pytest.mark.parametrize(
    ("text", "amount", "currencies"),
    [
        ("90", "90", ()),
        ("90.50 CHF", "90.50", ("CHF",)),
        ("EUR 1.234,50", "1234.50", ("EUR",)),
        ("€90", "90", ("EUR",)),
        ("90,-", "90", ()),
        ("1,234", "1234", ()),
    ],
)
def test_prices_may_name_their_currency(
    text: str, amount: str, currencies: tuple[str, ...]
) -> None:
    """A price is an amount and, perhaps, a currency."""
    money = _read(GEAR, "value", text)
    assert (money.amount, money.currencies) == (Decimal(amount), currencies)


def test_a_code_beside_the_heading_is_not_a_unit() -> None:
    """`Weight (stone)` is known, but its unit is not."""
    match = match_heading(GEAR, "Weight (stone)")
    assert match is not None
    assert match.unknown_unit == "stone"


@given(st.text(max_size=40))
def test_no_text_breaks_a_parser(text: str) -> None:
    """Any text is a value or a mistake, for every column."""
    for sheet in (GEAR, CASES, RULES, STOPS):
        for column in sheet.columns:
            with contextlib.suppress(Mistake):
                parse(text, column, Hints())
