"""Figures in words for the judge's sentences: grams as kilograms, half rack units, lengths."""

from __future__ import annotations

import shared


def kg(grams: int) -> str:
    """31,500 g as `31.5 kg`; exact, never rounded."""
    whole, rest = divmod(grams, 1000)
    decimals = f"{rest:03d}".rstrip("0")
    return f"{whole}.{decimals} kg" if decimals else f"{whole} kg"


def rack_units(halves: int) -> str:
    """Halves of a rack unit as `3.5 U`."""
    return f"{halves // 2}.5 U" if halves % 2 else f"{halves // 2} U"


def by(lengths: tuple[int, ...]) -> str:
    """Lengths as `400 x 300 x 200 mm`."""
    return " x ".join(str(length) for length in lengths) + " mm"


def units(count: int) -> str:
    """A count as `1 unit`, `3 units`."""
    return f"{count} unit" if count == 1 else f"{count} units"


def listed(names: list[str]) -> str:
    """Names as `A, B and C`."""
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]


def money(minor: int, code: str) -> str:
    """Minor units as `123.45 EUR`, with the currency's own decimals (ISO 4217)."""
    known = shared.currency(code)
    decimals = known.decimals if known else 2
    sign = "-" if minor < 0 else ""
    whole, rest = divmod(abs(minor), 10**decimals)
    return f"{sign}{whole}.{rest:0{decimals}d} {code}" if decimals else f"{sign}{whole} {code}"
