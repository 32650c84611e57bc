"""Watt-hours from volts and amp-hours, as read from batteries."""

from __future__ import annotations

from fractions import Fraction

import pytest
from support.rule_trips import changed, line, read

from packer.model.energy import energy_of, stated_energy


@pytest.mark.parametrize(
    ("text", "mwh"),
    [
        ("20 V 1.3 Ah", "26000"),  # polexp.com FAQ: 26 Wh
        ("20V 6Ah", "120000"),  # polexp.com FAQ: 120 Wh
        ("3,7 V x 20000 mAh", "74000"),  # Wh = V x Ah
        ("14.8 V / 9.9 Ah", "146520"),  # Wh = V x Ah
        ("20000mAh 3.7V", "74000"),
        ("20,000 mAh (3.7 V)", "74000"),  # thousands, English
        ("3.7 V 20.000 mAh", "74000"),  # thousands, as on the Continent
        ("14.4 V 11,2 Ah", "161280"),
        ("9.9 Ah at 14.8 V", "146520"),
        ("Power bank 20000 mAh, USB 5 V", None),  # what comes out is not what is in it
        ("74", None),
        ("12 V", None),
        ("5000 mAh", None),
    ],
)
def test_stated_energy(text: str, mwh: str | None) -> None:
    """Exact; volts first, or right after the charge."""
    assert stated_energy(text) == (None if mwh is None else Fraction(mwh))


def test_less_than_nothing_is_refused() -> None:
    """The bound is in the message."""
    with pytest.raises(ValueError, match="not be below 0"):
        energy_of(12, -1)


@pytest.mark.parametrize(
    ("cell", "mwh"),
    [
        ("14.8 V 9.9 Ah", 146_520),
        ("3.7 V 20000 mAh", 74_000),
        ("3.85 V 1.001 Ah", 3_854),  # 3853.85 mWh, up: what a class is judged by
        ("146.52 Wh (14.8 V 9.9 Ah)", None),  # two figures in one cell are for people to settle
        ("74 Wh", 74_000),
        (74, 74_000),
    ],
)
def test_battery_wh_takes_volts_and_amp_hours(cell: object, mwh: int | None) -> None:
    """The Battery Wh cell of a workbook, by each way to write it."""
    sheets = changed(line(**{"Battery": "lithium ion", "Battery Wh": cell}))
    if mwh is None:
        with pytest.raises(AssertionError):
            read(sheets)
        return
    battery = read(sheets).gear[-1].battery
    assert battery is not None
    assert battery.energy_mwh == mwh
