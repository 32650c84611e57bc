"""Whole numbers and amounts of money in English words, as lists of goods for customs want them."""

from __future__ import annotations

from packer.papers.units import decimals_of

_ONES = (
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_SCALES = (
    (10**15, "quadrillion"),
    (10**12, "trillion"),
    (10**9, "billion"),
    (10**6, "million"),
    (1000, "thousand"),
)


def number_in_words(number: int) -> str:
    """A whole number in words: 1234 -> 'one thousand two hundred and thirty-four'.

    Raises ValueError below 0 and from 10 to the power of 18 on.
    """
    if not 0 <= number < 10**18:
        raise ValueError(f"in words only from 0 to below 10**18, not {number}")
    if number == 0:
        return _ONES[0]
    return _join(_parts(number))


def money_in_words(minor: int, currency: str) -> str:
    """Money in words: 123405 EUR -> 'EUR one thousand two hundred and thirty-four and 05/100'."""
    decimals = decimals_of(currency)
    whole, part = divmod(minor, 10**decimals)
    words = f"{currency} {number_in_words(whole)}"
    return f"{words} and {part:0{decimals}d}/{10**decimals}" if decimals else words


def _parts(number: int) -> list[str]:
    parts = []
    for scale, name in _SCALES:
        count, number = divmod(number, scale)
        if count:
            parts.append(f"{_below_thousand(count)} {name}")
    if number:
        parts.append(_below_thousand(number))
    return parts


def _join(parts: list[str]) -> str:
    plain_tail = len(parts) > 1 and " hundred" not in parts[-1] and not _has_scale(parts[-1])
    return " ".join(parts[:-1]) + f" and {parts[-1]}" if plain_tail else " ".join(parts)


def _has_scale(part: str) -> bool:
    return any(part.endswith(name) for _, name in _SCALES)


def _below_thousand(number: int) -> str:
    hundreds, rest = divmod(number, 100)
    if not hundreds:
        return _below_hundred(rest)
    words = f"{_ONES[hundreds]} hundred"
    return f"{words} and {_below_hundred(rest)}" if rest else words


def _below_hundred(number: int) -> str:
    if number < len(_ONES):
        return _ONES[number]
    tens, ones = divmod(number, 10)
    return _TENS[tens - 2] + (f"-{_ONES[ones]}" if ones else "")
