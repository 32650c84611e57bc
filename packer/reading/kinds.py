"""One parser for each kind of column: a raw cell in, a typed value out, or a `Mistake`.

Weights come out in grams, lengths in millimetres, radio in kilohertz, batteries in milliwatt-hours
and milligrams, all whole and rounded to the safe side; money as an `Amount` still to be converted.
"""

from __future__ import annotations

import difflib
import itertools
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import shared
from packer.model.trip import RadioRange
from packer.reading.cell_text import folded, hidden_character, one_line
from packer.reading.dates import date_of, sane
from packer.reading.mistakes import Hints, Mistake
from packer.reading.numerals import fraction_of, number_of
from packer.reading.quantities import exact, quantity_of, rounded_down, rounded_up
from packer.reading.schema import Column, Kind
from packer.reading.values import Raw, plain

MOST_G = 100_000_000
MOST_MM = 100_000
MOST_MONEY = Decimal(10) ** 12
MOST_WHOLE = 1_000_000
MOST_NAME_CHARACTERS = 100
MOST_TEXT_CHARACTERS = 5_000
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
_SYMBOLS = {"€": ("EUR",), "£": ("GBP",), "¥": ("JPY", "CNY")}
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


def as_text(raw: Raw) -> str:
    """A cell as one line of text: numbers without trailing zeros, dates as ISO."""
    if isinstance(raw, str):
        return one_line(raw)
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    return plain(raw) if isinstance(raw, Decimal) else str(raw)


def _text(raw: Raw, _: Column, hints: Hints) -> str:
    if isinstance(raw, Decimal) and raw.adjusted() >= 15:
        hints.notes.append(
            ("number-digits-lost", "A number of more than 15 digits has lost its last ones.")
        )
    text = as_text(raw)
    if isinstance(raw, str) and (hidden := hidden_character(raw)):
        raise Mistake(
            "control-character", f"text without invisible characters ({hidden})", "Type it again."
        )
    if len(text) > MOST_TEXT_CHARACTERS:
        raise Mistake("text-too-long", f"at most {MOST_TEXT_CHARACTERS} characters", "Shorten it.")
    return text


def _name(raw: Raw, column: Column, hints: Hints) -> str:
    text = _text(raw, column, hints)
    if len(text) > MOST_NAME_CHARACTERS:
        raise Mistake("text-too-long", f"at most {MOST_NAME_CHARACTERS} characters", "Shorten it.")
    if ";" in text:
        raise Mistake("name-character", "a name without ;", "Use another sign.")
    return text


def _list(raw: Raw, column: Column, hints: Hints) -> tuple[str, ...]:
    if isinstance(raw, str):
        raw = raw.replace("\n", ";")
    text = _text(raw, column, hints)
    return tuple(part.strip() for part in text.split(";") if part.strip())


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
    return rounded_up(_quantity(raw, shared.ENERGY_UNITS, "wh", 10**9, hints))


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
    return _SYMBOLS.get(signs[0]) or (_code(signs[0]),)


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
    raise Mistake("choice-unknown", f"one of {', '.join(column.choices)}", near(word, known))


def near(word: str, known: Mapping[str, str]) -> str:
    """`Did you mean x?`, or '' where nothing known is near."""
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    return f"Did you mean {known[close[0]]}?" if close else ""


def _date(raw: Raw, _: Column, hints: Hints) -> date:
    if isinstance(raw, date):
        return sane(raw)
    if isinstance(raw, Decimal) and 32_000 < raw < 74_000 and not hints.is_text:
        day = date(1899, 12, 30) + timedelta(days=int(raw))
        hints.notes.append(
            ("date-from-serial", f"The number {plain(raw)} was read as the date {day}.")
        )
        return sane(day)
    return date_of(as_text(raw))


def _country(raw: Raw, _: Column, __: Hints) -> str:
    text = as_text(raw)
    if shared.country(text.upper()):
        return text.upper()
    raise Mistake("country-unknown", "two letters of ISO 3166, such as DE", _country_remedy(text))


def _country_remedy(text: str) -> str:
    if text.upper() in ("UK", "GBR"):
        return "Write GB for the United Kingdom."
    names = {folded(each.name): each.alpha2 for each in shared.countries().values()}
    return near(folded(text), names) if len(text) > 3 else "Look its two letters up."


def _origin(raw: Raw, column: Column, hints: Hints) -> str:
    text = _text(raw, column, hints)
    if shared.country(text.upper()):
        return text.upper()
    remedy = _country_remedy(text)
    hints.notes.append(
        ("origin-unknown", f'"{text[:60]}" is not two letters of ISO 3166. {remedy}'.strip())
    )
    return text


def _currency(raw: Raw, _: Column, __: Hints) -> str:
    text = as_text(raw)
    if text in _SYMBOLS and len(_SYMBOLS[text]) == 1:
        return _SYMBOLS[text][0]
    return _code(text)


def _code(text: str) -> str:
    if shared.currency(text.upper()):
        return text.upper()
    known = {code: code for code in shared.currencies()}
    raise Mistake(
        "currency-unknown",
        "three letters of ISO 4217, such as EUR",
        near(text.upper(), known),
    )


def _hs(raw: Raw, column: Column, hints: Hints) -> str:
    text = _text(raw, column, hints)
    if isinstance(raw, Decimal) and re.fullmatch(r"[0-9]{4}\.[0-9]", text):
        text += "0"
        hints.notes.append(
            ("hs-zero-restored", f"The number had lost its last zero and was read as {text}.")
        )
    digits = re.fullmatch(r"([0-9]{4})[ .]?([0-9]{2})", text)
    return f"{digits[1]}.{digits[2]}" if digits else text


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
    Kind.TEXT: _text,
    Kind.NAME: _name,
    Kind.LIST: _list,
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
    Kind.COUNTRY: _country,
    Kind.ORIGIN: _origin,
    Kind.CURRENCY: _currency,
    Kind.HS: _hs,
    Kind.RADIO_USED: _radio_used,
    Kind.RADIO_OPEN: _radio_open,
    Kind.BANDS: _bands,
}
