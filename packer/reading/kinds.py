"""One parser for each kind of column: a raw cell in, a typed value out, or a `Mistake`.

Weights come out in grams, lengths in millimetres, radio in kilohertz, batteries in milliwatt-hours
and milligrams, all whole and rounded to the safe side; money as an `Amount` still to be converted.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Any

import shared
from packer.model.energy import stated_energy
from packer.model.trip import RadioRange
from packer.reading.cell_text import folded
from packer.reading.columns import Column, Kind
from packer.reading.dates import date_of, sane
from packer.reading.mistakes import Hints, Mistake
from packer.reading.numerals import fraction_of, number_of
from packer.reading.official import (
    SYMBOLS,
    country_of,
    currency_code,
    currency_of,
    hs_of,
    origin_of,
)
from packer.reading.quantities import exact, quantity_of, rounded_down, rounded_up
from packer.reading.values import Raw, plain
from packer.reading.words import as_text, list_of, name_of, near, text_of

MOST_G = 100_000_000
MOST_MM = 100_000
MOST_MWH = 10**9
MOST_MONEY = Decimal(10) ** 12
MOST_WHOLE = 1_000_000
_YES = frozenset(["yes", "y", "true", "1", "x", "on", "ja", "oui", "si", "✓", "✔"])
_NO = frozenset(["no", "n", "false", "0", "off", "nein", "non", "nee"])
_SAME = {
    "liion": "lithiumion",
    "lipo": "lithiumion",
    "lithiumpolymer": "lithiumion",
    "nickelmetalhydride": "nimh",
    "sla": "leadacid",
    "pieces": "piece",
    "softgoods": "soft",
}
_MONEY = re.compile(
    r"(?P<before>[A-Za-z]{3}|[€£¥])?\s*(?P<number>[+−-]?[0-9][^A-Za-z€£¥]*?)(?:[.,]\s?[-–—]+)?\s*"
    r"(?P<after>[A-Za-z]{3}|[€£¥])?"
)
_DASH = re.compile(r"\s*(?:[-–—]|\bto\b)\s*")
_HALVES = re.compile(r"\s*(?:u|ru|he|units?)\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Amount:
    """A price as written: major units, and the currency where the cell names one."""

    amount: Decimal
    currencies: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RawBand:
    """An overweight band, its fee still in the rule's currency."""

    above_g: int
    upto_g: int
    fee: Decimal


def parse(raw: Raw, column: Column, hints: Hints) -> Any:
    """The cell's value as the column's kind; raises Mistake."""
    return _PARSERS[column.kind](raw, column, hints)


def _number(raw: Raw, hints: Hints, thousands: bool = False) -> Decimal:
    if isinstance(raw, (bool, date)):
        raise Mistake("number-expected", "a number", "Format the cell as a number.")
    number = number_of(raw, hints, thousands) if isinstance(raw, str) else raw
    return _bounded(number)  # type: ignore[arg-type]


def _bounded(number: Decimal) -> Decimal:
    if not number.is_finite() or (number and not -25 < number.adjusted() < 25):
        raise Mistake("number-absurd", "a number of usual size", "Check the number.")
    return number


def _quantity(
    raw: Raw, units: Mapping[str, Fraction], unit: str, most: int, hints: Hints
) -> Fraction:
    if isinstance(raw, str):
        amount = quantity_of(raw, units, hints.unit or unit, hints)
    else:
        amount = exact(_number(raw, hints), units[hints.unit or unit])
    if amount < 0:
        raise Mistake("number-negative", "no number below 0", "Remove the minus sign.")
    if amount > most:
        raise Mistake("number-absurd", f"at most {_size(most, units)}", "Check number and unit.")
    return amount


def _size(most: int, units: Mapping[str, Fraction]) -> str:
    if units is shared.MASS_UNITS:
        return f"{most // 1000:,} kg"
    return f"{most // 1000:,} m" if units is shared.LENGTH_UNITS else f"{most:,}"


def _mass_up(raw: Raw, column: Column, hints: Hints) -> int:
    return rounded_up(_quantity(raw, shared.MASS_UNITS, column.unit, MOST_G, hints))


def _mass_down(raw: Raw, column: Column, hints: Hints) -> int:
    return rounded_down(_quantity(raw, shared.MASS_UNITS, column.unit, MOST_G, hints))


def _length(raw: Raw, column: Column, hints: Hints) -> Fraction:
    amount = _quantity(raw, shared.LENGTH_UNITS, column.unit, MOST_MM, hints)
    if amount == 0 and column.key != "packing_clearance":
        raise Mistake("number-not-above-zero", "a length above 0", "Measure it, or empty the cell.")
    return amount


def _length_up(raw: Raw, column: Column, hints: Hints) -> int:
    return rounded_up(_length(raw, column, hints))


def _length_down(raw: Raw, column: Column, hints: Hints) -> int:
    whole = rounded_down(_length(raw, column, hints))
    if whole == 0:
        raise Mistake("number-not-above-zero", "at least 1 mm", "Check number and unit.")
    return whole


def _lithium(raw: Raw, _: Column, hints: Hints) -> int:
    return rounded_up(1000 * _quantity(raw, shared.MASS_UNITS, "g", 1_000_000, hints))


def _energy(raw: Raw, _: Column, hints: Hints) -> int:
    if isinstance(raw, str) and "wh" not in raw.casefold():
        stated = stated_energy(raw)
        if stated is not None and stated <= MOST_MWH:
            return rounded_up(stated)
    return rounded_up(_quantity(raw, shared.ENERGY_UNITS, "wh", MOST_MWH, hints))


def _money(raw: Raw, column: Column, hints: Hints) -> Amount:
    thousands = "per kg" not in column.heading
    currencies: tuple[str, ...] = ()
    if isinstance(raw, str) and (match := _MONEY.fullmatch(raw.strip())):
        raw = match["number"]
        signs = [sign for sign in (match["before"], match["after"]) if sign]
        currencies = _currencies(signs)
    number = _number(raw, hints, thousands)
    if number < 0:
        raise Mistake("number-negative", "no price below 0", "Remove the minus sign.")
    if number > MOST_MONEY:
        raise Mistake("number-absurd", f"at most {MOST_MONEY:,}", "Check the number.")
    if not currencies and hints.unit:
        currencies = (hints.unit,)
    return Amount(number, currencies)


def _currencies(signs: list[str]) -> tuple[str, ...]:
    if not signs:
        return ()
    if len(signs) > 1 and signs[0].upper() != signs[1].upper():
        raise Mistake("currency-conflict", "one currency", "Leave one of them.")
    return SYMBOLS.get(signs[0]) or (currency_code(signs[0]),)


def _rate(raw: Raw, _: Column, hints: Hints) -> Decimal:
    number = _number(raw, hints)
    if number <= 0:
        raise Mistake("number-not-above-zero", "a rate above 0", "Look the rate up.")
    return number


def _whole(raw: Raw, _: Column, hints: Hints) -> int:
    number = _number(raw, hints, thousands=True)
    if number < 0:
        raise Mistake("number-negative", "no number below 0", "Remove the minus sign.")
    if number > MOST_WHOLE:
        raise Mistake("number-absurd", f"at most {MOST_WHOLE:,}", "Check the number.")
    if number != int(number):
        raise Mistake("number-not-whole", "a whole number", "Write a whole number.")
    return int(number)


def _halves(raw: Raw, _: Column, hints: Hints) -> int:
    fraction = None
    if isinstance(raw, str):
        raw = _HALVES.sub("", raw).strip()
        fraction = fraction_of(raw)
    number = fraction if fraction is not None else _number(raw, hints)
    if number <= 0:
        raise Mistake("number-not-above-zero", "rack units above 0", "Empty the cell or count.")
    if number > 1000:
        raise Mistake("number-absurd", "at most 1,000 rack units", "Check the number.")
    if number * 2 != int(number * 2):
        raise Mistake("number-not-half", "whole or half rack units", "Round up to the half unit.")
    return int(number * 2)


def _yes_no(raw: Raw, _: Column, __: Hints) -> bool:
    if isinstance(raw, bool):
        return raw
    word = as_text(raw).casefold().rstrip(".!")
    word = "si" if word == "sí" else word
    if word in _YES or word in _NO:
        return word in _YES
    raise Mistake("choice-unknown", "yes or no", "Write yes or no.")


def _choice(raw: Raw, column: Column, _: Hints) -> str:
    word = folded(as_text(raw))
    word = _SAME.get(word, word)
    known = {folded(choice): choice for choice in column.choices}
    if word in known:
        return known[word]
    raise Mistake("choice-unknown", *_known_choices(word, column.choices))


@lru_cache(maxsize=256)
def _known_choices(word: str, choices: tuple[str, ...]) -> tuple[str, str]:
    """What was expected, and the nearest of it."""
    known = {folded(choice): choice for choice in choices}
    return f"one of {', '.join(choices)}", near(word, known)


def _is_serial(number: Decimal) -> bool:
    return number.is_finite() and 32_000 < number < 74_000  # the days from 1987 to 2102


def _date(raw: Raw, _: Column, hints: Hints) -> date:
    if isinstance(raw, date):
        return sane(raw)
    if isinstance(raw, Decimal) and _is_serial(raw) and not hints.is_text:
        day = date(1899, 12, 30) + timedelta(days=int(raw))
        hints.notes.append(
            ("date-from-serial", f"The number {plain(raw)} was read as the date {day}.")
        )
        return sane(day)
    return date_of(as_text(raw))


def _ranges(raw: Raw, hints: Hints) -> list[tuple[Fraction, Fraction]]:
    parts = re.split(r"[;\n]|,\s+", as_text(raw))
    found = [_range(part, hints) for part in parts if part.strip()]
    if not found:
        raise Mistake("range-malformed", "ranges such as 470-608; 863-865", "")
    return found


def _range(text: str, hints: Hints) -> tuple[Fraction, Fraction]:
    units = shared.FREQUENCY_UNITS
    try:
        low, high = ends(text, units, hints.unit or "mhz", hints)
    except Mistake as mistake:
        raise Mistake(
            "range-malformed", "ranges in MHz such as 470-608; 863-865", mistake.remedy
        ) from None
    if not 0 < low <= high or high > 10**9:
        raise Mistake("range-malformed", "a range that goes up", "Write the lower figure first.")
    return low, high


def ends(
    text: str, units: Mapping[str, Fraction], unit: str, hints: Hints
) -> tuple[Fraction, Fraction]:
    """`23-32 kg` as two quantities; a unit after the second counts for both. Raises Mistake."""
    parts = _DASH.split(text.strip())
    if len(parts) > 2 or not all(parts):
        raise Mistake("range-malformed", "two figures with - between them", "")
    last = re.search(r"[A-Za-z]+\.?$", parts[-1])
    shared_unit = last[0].lower().rstrip(".") if last else unit
    shared_unit = shared_unit if shared_unit in units else unit
    high = quantity_of(parts[-1], units, unit, hints)
    return quantity_of(parts[0], units, shared_unit, hints), high


def _radio_used(raw: Raw, _: Column, hints: Hints) -> tuple[RadioRange, ...]:
    return tuple(
        RadioRange(rounded_down(low), rounded_up(high)) for low, high in _ranges(raw, hints)
    )


def _radio_open(raw: Raw, _: Column, hints: Hints) -> tuple[RadioRange, ...]:
    return tuple(
        RadioRange(rounded_up(low), rounded_down(high)) for low, high in _ranges(raw, hints)
    )


def _bands(raw: Raw, column: Column, hints: Hints) -> tuple[RawBand, ...]:
    parts = re.split(r"[;\n]|,\s+", raw if isinstance(raw, str) else as_text(raw))
    bands = sorted(
        (_band(part, column, hints) for part in parts if part.strip()), key=lambda b: b.above_g
    )
    for lower, upper in itertools.pairwise(bands):
        if upper.above_g < lower.upto_g:
            raise Mistake(
                "bands-overlap", "bands that do not overlap", "End one where the next begins."
            )
    return tuple(bands)


def _band(text: str, column: Column, hints: Hints) -> RawBand:
    malformed = "bands such as 23-32: 90; 32-45: 200"
    weights, colon, fee = text.partition(":")
    try:
        low, high = ends(weights, shared.MASS_UNITS, hints.unit or column.unit, hints)
        money = _money(fee, column, Hints(notes=hints.notes))
    except Mistake as mistake:
        raise Mistake("bands-malformed", malformed, mistake.remedy) from None
    above_g, upto_g = rounded_down(low), rounded_down(high)
    if not colon or above_g >= upto_g or high > MOST_G or money.currencies:
        raise Mistake(
            "bands-malformed", malformed, "Lower weight first, then the fee, no currency."
        )
    return RawBand(above_g, upto_g, money.amount)


_PARSERS: dict[Kind, Callable[[Raw, Column, Hints], Any]] = {
    Kind.TEXT: text_of,
    Kind.NAME: name_of,
    Kind.LIST: list_of,
    Kind.MASS_UP: _mass_up,
    Kind.MASS_DOWN: _mass_down,
    Kind.LENGTH_UP: _length_up,
    Kind.LENGTH_DOWN: _length_down,
    Kind.LITHIUM: _lithium,
    Kind.ENERGY: _energy,
    Kind.MONEY: _money,
    Kind.RATE: _rate,
    Kind.WHOLE: _whole,
    Kind.HALVES: _halves,
    Kind.YES_NO: _yes_no,
    Kind.CHOICE: _choice,
    Kind.DATE: _date,
    Kind.COUNTRY: country_of,
    Kind.ORIGIN: origin_of,
    Kind.CURRENCY: currency_of,
    Kind.HS: hs_of,
    Kind.RADIO_USED: _radio_used,
    Kind.RADIO_OPEN: _radio_open,
    Kind.BANDS: _bands,
}
