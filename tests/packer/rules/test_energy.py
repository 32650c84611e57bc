"""Watt-hours and classes against published examples and the exact product."""

from __future__ import annotations

from fractions import Fraction

import pytest

from packer.rules.energy import EnergyClass, energy_class, stated_energy_mwh, watt_hours_mwh

SMALL, APPROVAL, FORBIDDEN = EnergyClass


@pytest.mark.parametrize(
    ("volts", "milliamp_hours", "mwh", "held"),
    [
        ("20", 1300, 26_000, SMALL),  # polexp.com FAQ: 26 Wh
        ("20", 6000, 120_000, APPROVAL),  # polexp.com FAQ: 120 Wh, over 100
        ("3.7", 20_000, 74_000, SMALL),  # Wh = V x Ah
        ("3.7", 30_000, 111_000, APPROVAL),  # Wh = V x Ah
        ("3.7", 10_000, 37_000, SMALL),  # public repository page: 37 Wh
        ("14.8", 9_900, 146_520, APPROVAL),  # Wh = V x Ah
        ("14.4", 11_200, 161_280, FORBIDDEN),  # Wh = V x Ah
        ("3.8", 1_650, 6_270, SMALL),  # a page has 6.7 Wh, which is wrong
        ("1.2", 4_000, 4_800, SMALL),  # two cells of 1.2 V and 2 Ah
    ],
)
def test_energy_and_class(volts: str, milliamp_hours: int, mwh: int, held: EnergyClass) -> None:
    """Exact products, and the class of a lithium-ion battery."""
    assert watt_hours_mwh(Fraction(volts), milliamp_hours) == mwh
    assert energy_class(mwh) is held


@pytest.mark.parametrize(
    ("mwh", "held"),
    # IATA leaflet 2018: up to 100; above 100 and up to 160; above 160
    [(100_000, SMALL), (100_001, APPROVAL), (160_000, APPROVAL), (160_010, FORBIDDEN)],
)
def test_a_limit_belongs_to_the_lower_class(mwh: int, held: EnergyClass) -> None:
    """Exactly 100 Wh is small, exactly 160 Wh needs approval."""
    assert energy_class(mwh) is held


@pytest.mark.parametrize(
    ("text", "mwh"),
    [
        ("Block battery 14.8 V 9.9 Ah", 146_520),
        ("pack 3,7V / 10000mAh", 37_000),
        ("12 V, 2 A charger", None),
        ("Bass, 5 strings", None),
        ("", None),
    ],
)
def test_descriptions_that_state_volts_and_amp_hours(text: str, mwh: int | None) -> None:
    """One pair of figures."""
    assert stated_energy_mwh(text) == mwh


def test_negative_figures_are_refused() -> None:
    """The bound is in the message."""
    with pytest.raises(ValueError, match="not be below 0"):
        watt_hours_mwh(-1, 100)
