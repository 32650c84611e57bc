"""What devices say of mains, and what it fits."""

from __future__ import annotations

import pytest

from packer.rules.mains_text import parse_mains, supply_range


@pytest.mark.parametrize(
    ("text", "volts", "hertz"),
    [
        ("100-240 V 50/60 Hz", ((100, 240),), (50, 60)),
        ("100–240V~ 50–60Hz", ((100, 240),), (50, 60)),
        ("230 V", ((230, 230),), ()),
        ("115/230 V, 60 Hz", ((115, 115), (230, 230)), (60,)),
        ("120 or 240 volts AC", ((120, 120), (240, 240)), ()),
        ("220 to 240 VAC", ((220, 240),), ()),
        ("12 V DC by its supply of 100-240 V", ((100, 240),), ()),
        ("AC 100V 50/60Hz 30 W", ((100, 100),), (50, 60)),
    ],
)
def test_mains(text: str, volts: tuple[tuple[int, int], ...], hertz: tuple[int, ...]) -> None:
    """Ranges with a dash, choices with a slash, frequencies if named."""
    need = parse_mains(text)
    assert need is not None
    assert (need.volts, need.hertz) == (volts, hertz)


@pytest.mark.parametrize(
    "text", ["", "yes", "universal", "12 VDC adapter", "12 V DC", "5 V", "300 W"]
)
def test_mains_not_understood(text: str) -> None:
    """Low voltage is not mains; nothing is guessed."""
    assert parse_mains(text) is None


def test_supply_range() -> None:
    """IEC 60038: 230 V within 10 % is 207 to 253 V; 127 V rounds outwards."""
    assert supply_range(230) == (207, 253)
    assert supply_range(127) == (114, 140)


@pytest.mark.parametrize(
    ("text", "nominal", "runs"),
    [
        ("220-240 V 50/60 Hz", 100, False),  # Japan
        ("220-240 V", 230, True),
        ("240 V", 230, True),
        ("220 V", 240, True),
        ("110 V", 120, True),
        ("110 V", 127, False),
        ("100-120 V", 127, True),
        ("115/230 V", 230, True),
        ("100-240 V", 100, True),
        ("200-240 V", 127, False),
    ],
)
def test_voltage_fits_within_the_tolerance(text: str, nominal: int, runs: bool) -> None:
    """10 % of the supply's tolerance at both ends (IEC 60038)."""
    need = parse_mains(text)
    assert need is not None
    assert need.runs_on_volts(nominal) is runs
