"""Reads numbers as people write them: decimal points and commas, thousands in groups, fractions.

The rule: a lone point is decimal; a lone comma is decimal unless exactly three digits follow one
to three others, which may be thousands: then whole numbers and money take it as thousands, with a
note, and anything else asks. Where the sheet has decimal commas elsewhere, a lone point with three
digits after it asks too. Points and commas together: the last one is decimal.
"""

from __future__ import annotations

import re
from decimal import Decimal

from packer.reading.mistakes import Hints, Mistake

_SPACE = "[ \u00a0\u2009\u202f'’]"
_WHOLE = re.compile(r"[+-]?[0-9]{1,24}")
_POINT = re.compile(r"[+-]?[0-9]{0,24}\.[0-9]{0,24}")
_COMMA = re.compile(r"[+-]?[0-9]{0,24},[0-9]{1,24}")
_MAYBE_GROUP = re.compile(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}")
_GROUPS = (
    re.compile(rf"[+-]?[0-9]{{1,3}}(?:{_SPACE}[0-9]{{3}}){{1,6}}(?:[.,][0-9]{{1,20}})?"),
    re.compile(r"[+-]?[0-9]{1,3}(?:,[0-9]{3}){1,6}\.[0-9]{1,20}"),
    re.compile(r"[+-]?[0-9]{1,3}(?:\.[0-9]{3}){1,6},[0-9]{1,20}"),
    re.compile(r"[+-]?[0-9]{1,3}(?:,[0-9]{3}){2,6}"),
    re.compile(r"[+-]?[0-9]{1,3}(?:\.[0-9]{3}){2,6}"),
)
_EXPONENT = re.compile(r"[+-]?[0-9]{1,20}(?:\.[0-9]{0,20})?[eE][+-]?[0-9]{1,2}")
_DECIMAL_COMMA = re.compile(r"[0-9],[0-9]{1,2}(?![0-9])|[0-9],[0-9]{4,}|\.[0-9]{3},[0-9]")


def shows_decimal_comma(text: str) -> bool:
    """True for text with a number whose comma can only be decimal: `12,5 kg`, `1.234,50`."""
    return bool(_DECIMAL_COMMA.search(text))


def number_of(text: str, hints: Hints, thousands: bool = False) -> Decimal:
    """The number that the text is; raises Mistake.

    `thousands` says that `1,234` can only be a thousand and some (whole numbers, money).
    """
    text = text.strip().replace("−", "-")
    if _WHOLE.fullmatch(text):
        return Decimal(text)
    if _MAYBE_GROUP.fullmatch(text):
        return _maybe_grouped(text, hints, thousands)
    if _COMMA.fullmatch(text):
        return Decimal(text.replace(",", "."))
    if (_POINT.fullmatch(text) and any(map(str.isdigit, text))) or _EXPONENT.fullmatch(text):
        return Decimal(text)
    if any(pattern.fullmatch(text) for pattern in _GROUPS):
        return _grouped(text)
    raise Mistake("number-expected", "a number", "Write digits only, such as 12.5.")


def _maybe_grouped(text: str, hints: Hints, thousands: bool) -> Decimal:
    if "." in text and not hints.commas_are_decimal():
        return Decimal(text)
    digits = text.replace(",", "").replace(".", "")
    if thousands and "," in text:
        hints.notes.append(("number-grouped", f"{text} was read as {digits}."))
        return Decimal(digits)
    decimal = text.replace(",", ".")
    raise Mistake(
        "number-ambiguous",
        f"a number that can be read one way only; this may be {digits} or {decimal}",
        f"Write {digits}, or {decimal}0 with a fourth decimal place.",
    )


def _grouped(text: str) -> Decimal:
    point = max(text.rfind("."), text.rfind(","))
    sign = text[point] if point >= 0 else ""
    if sign and text.count(sign) == 1:
        whole, part = text[:point], text[point + 1 :]
    else:
        whole, part = text, ""
    digits = re.sub(r"[^0-9+-]", "", whole)
    return Decimal(f"{digits}.{part or '0'}")


def fraction_of(text: str) -> Decimal | None:
    """`6 1/2` -> 6.5, `3/4` -> 0.75; None where the text is no such fraction."""
    match = re.fullmatch(r"(?:([0-9]{1,6})\s+)?([0-9]{1,4})/(2|4|8|16|32|64|5|10)", text.strip())
    if match is None:
        return None
    return Decimal(match[1] or 0) + Decimal(match[2]) / Decimal(match[3])
