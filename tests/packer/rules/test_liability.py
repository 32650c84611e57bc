"""Limits of the Montreal Convention for a party, by the date of the leg."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from packer.model.trip import Leg, Rate, Trip
from packer.rules.liability import baggage_limit_sdr, freight_limit_sdr, sdr_minor


@pytest.mark.parametrize(
    ("people", "day", "sdr"),
    [
        # article 22(2): each passenger (docslib.org text); limits as hwlebsworth.com.au, iftta.org
        (2, date(2025, 6, 1), 3_038),
        (1, date(2024, 12, 1), 1_288),
        (1, date(2024, 12, 28), 1_519),
        (3, date(2012, 5, 1), 3_393),
        (1, date(1990, 1, 1), None),
    ],
)
def test_limit_of_a_party(people: int, day: date, sdr: int | None) -> None:
    """Passengers times the limit in force on the day."""
    assert baggage_limit_sdr(Leg("L", "A", "B", day, "R", 1, people=people)) == sdr


@pytest.mark.parametrize(
    ("day", "weight_g", "sdr"),
    [
        # article 22(3): 26 SDR a kilogram from 28 December 2024, 22 before (hwlebsworth.com.au)
        (date(2025, 6, 1), 10_000, 260),
        (date(2024, 12, 27), 10_000, 220),
        (date(2025, 6, 1), 10_500, 273),
        (date(1990, 1, 1), 10_000, None),
    ],
)
def test_limit_of_freight(day: date, weight_g: int, sdr: int | None) -> None:
    """Kilograms times the limit in force on the day."""
    assert freight_limit_sdr(day, weight_g) == sdr


def _trip(currency: str, *rates: Rate) -> Trip:
    return Trip("Invented", "DE", currency, (), (), (), (), (), rates=rates)


@pytest.mark.parametrize(
    ("currency", "rate", "minor"),
    # 1,519 SDR at invented rates, in each currency's own decimals (ISO 4217)
    [("EUR", "1.2345", 187_521), ("JPY", "201.5", 306_079), ("KWD", "0.405", 615_195)],
)
def test_sdr_by_the_users_rate(currency: str, rate: str, minor: int) -> None:
    """Half up, in minor units of the trip currency."""
    assert sdr_minor(_trip(currency, Rate("XDR", Decimal(rate))), 1_519) == minor


def test_without_a_rate_nothing_is_converted() -> None:
    """None is said, and the finding asks for a rate."""
    assert sdr_minor(_trip("EUR"), 1_519) is None
