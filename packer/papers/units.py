"""Integers with units as people read them: kilograms, centimetres, money, dates, ranges."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from shared import currency

_USUAL_DECIMALS = 2  # for a code that ISO 4217 does not know


def decimals_of(code: str) -> int:
    """The decimals of a currency's minor unit; 2 for a code that the table does not know."""
    known = currency(code)
    return known.decimals if known else _USUAL_DECIMALS


def kg_text(grams: int) -> str:
    """Grams as kilograms to the gram: 12345 -> '12.345'."""
    return f"{grams / 1000:,.3f}"


def kg_up(grams: int) -> str:
    """Grams as kilograms rounded up to 100 g, for labels read at a distance: 12345 -> '12.4'."""
    tenths = -(-grams // 100)
    return f"{tenths // 10}.{tenths % 10}"


def major_text(minor: int, code: str) -> str:
    """Minor units in major units with the currency's own decimals: 12345 EUR -> '123.45'."""
    decimals = decimals_of(code)
    sign, whole = ("-" if minor < 0 else ""), abs(minor)
    if decimals == 0:
        return f"{sign}{whole:,}"
    unit = 10**decimals
    return f"{sign}{whole // unit:,}.{whole % unit:0{decimals}d}"


def money_text(minor: int, code: str) -> str:
    """Money with its currency: '123.45 EUR'."""
    return f"{major_text(minor, code)} {code}"


def size_text(sides_mm: tuple[int, int, int]) -> str:
    """Three lengths in centimetres: '80 x 50.5 x 28 cm'."""
    return " x ".join(cm_text(side) for side in sides_mm) + " cm"


def cm_text(length_mm: int) -> str:
    """Millimetres as centimetres, a decimal only where there is one: 805 -> '80.5', 800 -> '80'."""
    return f"{length_mm // 10}" if length_mm % 10 == 0 else f"{length_mm / 10:.1f}"


def date_text(day: date) -> str:
    """A date that no reader can take for another: '2026-11-25'."""
    return day.isoformat()


def ranges_text(numbers: Iterable[int]) -> str:
    """Whole numbers as ranges: 1, 2, 3, 7 -> '1-3, 7'."""
    return ", ".join(_range_text(low, high) for low, high in number_ranges(numbers))


def number_ranges(numbers: Iterable[int]) -> list[tuple[int, int]]:
    """Runs of consecutive numbers, sorted: 1, 2, 3, 7 -> [(1, 3), (7, 7)]."""
    ranges: list[tuple[int, int]] = []
    for number in sorted(set(numbers)):
        if ranges and ranges[-1][1] == number - 1:
            ranges[-1] = (ranges[-1][0], number)
        else:
            ranges.append((number, number))
    return ranges


def _range_text(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low}-{high}"


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A sort key under which TRUNK-2 stands before TRUNK-10."""
    parts = re.findall(r"\d+|\D+", text)
    return tuple((0, int(p), "") if p.isdecimal() else (1, 0, p.casefold()) for p in parts)
