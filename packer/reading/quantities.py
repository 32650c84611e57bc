"""Reads weights, lengths, frequencies and energies in any unit of `shared`, exactly.

In: a cell's number or text (`28 lb`, `12,5 kg`, `1 ft 6 in`, `5'10"`) and the unit a bare number
means. Out: a `Fraction` of the base unit (grams, millimetres, kilohertz, milliwatt-hours), which
`rounded_up` and `rounded_down` make whole. Nothing is rounded in between.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from packer.reading.mistakes import Hints, Mistake
from packer.reading.numerals import fraction_of, number_of

_NUMBER = (
    r"(?:[0-9]{1,6}\s+)?[0-9]{1,4}/[0-9]{1,2}"
    r"|[0-9]{1,3}(?:[ \u00a0\u202f\u2009][0-9]{3})+(?:[.,][0-9]+)?(?![0-9])"
    r"|[0-9]+(?:[.,][0-9]+)*[eE][+-]?[0-9]{1,2}(?![0-9A-Za-z])"
    r"|[0-9]*(?:[.,][0-9]+)+|[0-9]+[.,]?(?=\s|$)|[0-9]+"
)
_TOKEN = re.compile(
    rf"\s*(?P<number>[+-−]?(?:{_NUMBER}))\s*(?P<unit>[A-Za-zµ]+\.?|''|[\"″”'′’])?\s*,?\s*".replace(
        "[+-−]", "[+−-]"
    )
)


def rounded_up(amount: Fraction) -> int:
    """The least whole number that is not below the amount."""
    return -(-amount.numerator // amount.denominator)


def rounded_down(amount: Fraction) -> int:
    """The greatest whole number that is not above the amount."""
    return amount.numerator // amount.denominator


def quantity_of(
    text: str, units: Mapping[str, Fraction], default_unit: str, hints: Hints
) -> Fraction:
    """The quantity in base units; raises Mistake."""
    if "'" not in units:  # then a sign like that can only group thousands
        text = re.sub("(?<=[0-9])['’](?=[0-9]{3})", "\u00a0", text)
    parts = _parts(text)
    if parts is None:
        number = number_of(text, hints)  # says what is wrong with it as a number
        return Fraction(number) * units[default_unit]
    if len(parts) == 1 and not parts[0][1]:
        return _amount(parts[0][0], hints) * units[default_unit]
    return _sum(parts, units, hints)


def _parts(text: str) -> list[tuple[str, str]] | None:
    """The (number, unit) pairs that the text is made of; None where there is something else."""
    found, at = [], 0
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None or (at and match["number"][0] in "+-−"):
            return None
        found.append((match["number"], match["unit"] or ""))
        at = match.end()
    return found or None


def _sum(parts: list[tuple[str, str]], units: Mapping[str, Fraction], hints: Hints) -> Fraction:
    """`1 ft 6 in`: each unit smaller than the one before, each amount less than one of those."""
    total, before = Fraction(0), None
    for number, unit in parts:
        factor = factor_of(unit, units)
        amount = _amount(number, hints) * factor
        if before is not None and not 0 <= amount < before:
            raise Mistake("number-expected", "one quantity", "Write it as 12.5 kg or 5 ft 10 in.")
        total, before = total + amount, factor
    return total


def factor_of(unit: str, units: Mapping[str, Fraction]) -> Fraction:
    """Base units in one of the unit; Mistake where the unit is unknown here."""
    spelling = unit.lower().rstrip(".")
    spelling = '"' if spelling == "''" else spelling
    if spelling not in units:
        known = ", ".join(each for each in units if each.isalpha() and len(each) <= 3)
        found = f"; {unit} is none of them" if unit else "; one number has no unit"
        raise Mistake(
            "unit-unknown", f"one of the units {known}{found}", "Write it in one of them."
        )
    return units[spelling]


def _amount(text: str, hints: Hints) -> Fraction:
    fraction = fraction_of(text)
    return Fraction(fraction if fraction is not None else number_of(text, hints))


def exact(number: Decimal, factor: Fraction) -> Fraction:
    """A cell's number times the unit's factor."""
    return Fraction(number) * factor
