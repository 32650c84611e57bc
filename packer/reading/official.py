"""Cells with codes of the world: countries, currencies, customs headings."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache

import shared
from packer.reading.cell_text import folded
from packer.reading.columns import Column
from packer.reading.mistakes import Hints, Mistake
from packer.reading.values import Raw
from packer.reading.words import as_text, near, text_of

SYMBOLS = {"€": ("EUR",), "£": ("GBP",), "¥": ("JPY", "CNY")}


def country_of(raw: Raw, _: Column, __: Hints) -> str:
    """A country's two letters of ISO 3166; raises Mistake."""
    text = as_text(raw)
    if shared.country(text.upper()):
        return text.upper()
    raise Mistake("country-unknown", "two letters of ISO 3166, such as DE", _remedy(text))


@lru_cache(maxsize=256)
def _remedy(text: str) -> str:
    if text.upper() in ("UK", "GBR"):
        return "Write GB for the United Kingdom."
    names = {folded(each.name): each.alpha2 for each in shared.countries().values()}
    return near(folded(text), names) if len(text) > 3 else "Look its two letters up."


def origin_of(raw: Raw, column: Column, hints: Hints) -> str:
    """As `country_of`, but what is no such country stays text, with a note."""
    text = text_of(raw, column, hints)
    if shared.country(text.upper()):
        return text.upper()
    remedy = _remedy(text)
    hints.notes.append(
        ("origin-unknown", f'"{text[:60]}" is not two letters of ISO 3166. {remedy}'.strip())
    )
    return text


def currency_of(raw: Raw, _: Column, __: Hints) -> str:
    """A currency by its code, or by a sign that only it has; raises Mistake."""
    text = as_text(raw)
    if text in SYMBOLS and len(SYMBOLS[text]) == 1:
        return SYMBOLS[text][0]
    return currency_code(text)


def currency_code(text: str) -> str:
    """The code of a currency with decimals in ISO 4217; raises Mistake."""
    if shared.currency(text.upper()):
        return text.upper()
    expected = "three letters of ISO 4217, such as EUR"
    raise Mistake("currency-unknown", expected, _nearest_currency(text.upper()))


@lru_cache(maxsize=256)
def _nearest_currency(text: str) -> str:
    return near(text, {code: code for code in shared.currencies()})


def hs_of(raw: Raw, column: Column, hints: Hints) -> str:
    """A customs heading as `dddd.dd` where it has six digits, else as written."""
    text = text_of(raw, column, hints)
    if isinstance(raw, Decimal) and re.fullmatch(r"[0-9]{4}\.[0-9]", text):
        text += "0"
        hints.notes.append(
            ("hs-zero-restored", f"The number had lost its last zero and was read as {text}.")
        )
    digits = re.fullmatch(r"([0-9]{4})[ .]?([0-9]{2})", text)
    return f"{digits[1]}.{digits[2]}" if digits else text
