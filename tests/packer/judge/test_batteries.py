"""Battery law as the judge reads it; limits from the shared table, boundaries inclusive below.

Check values 8 to 11, 16, 19 and 21 of the project's list of standards (IATA leaflet of 2018,
49 CFR 175.10).
"""

from __future__ import annotations

import pytest

from packer.judge.batteries import is_forbidden, must_be_in_cabin
from packer.law import travel_law
from packer.model.trip import Battery, Chemistry, Gear

ION, METAL = Chemistry.LITHIUM_ION, Chemistry.LITHIUM_METAL


def gear(battery: Battery | None, description: str = "thing", category: str = "") -> Gear:
    """A line with a battery."""
    return Gear("G", description, 1, 100, category=category, battery=battery)


@pytest.mark.parametrize(
    ("battery", "forbidden"),
    [
        (None, False),
        (Battery(ION), False),  # nothing known of its class
        (Battery(ION, energy_mwh=100_000), False),
        (Battery(ION, energy_mwh=160_000), False),  # exactly 160 Wh is the approval class
        (Battery(ION, energy_mwh=160_010), True),
        (Battery(METAL, lithium_mg=2_000), False),
        (Battery(METAL, lithium_mg=2_001), True),
        (Battery(METAL, lithium_mg=3_000), True),
        (Battery(Chemistry.LEAD_ACID, energy_mwh=100_000), False),
        (Battery(Chemistry.LEAD_ACID, energy_mwh=100_001), True),
        (Battery(Chemistry.NIMH, energy_mwh=500_000), False),  # Wh classes are for lithium ion
        (Battery(Chemistry.ALKALINE), False),
    ],
)
def test_what_no_passenger_may_bring(battery: Battery | None, forbidden: bool) -> None:
    """Above 160 Wh of lithium ion, above 2 g of lithium, above 100 Wh of lead acid."""
    assert is_forbidden(gear(battery)) is forbidden


@pytest.mark.parametrize(
    ("line", "cabin"),
    [
        (gear(None, "Power bank"), False),
        (gear(Battery(ION)), False),
        (gear(Battery(ION, spare=True)), True),
        (gear(Battery(METAL, spare=True)), True),
        (gear(Battery(Chemistry.NIMH, spare=True)), False),
        (gear(Battery(ION), "USB POWER-BANK 20"), True),
        (gear(Battery(ION), "powerbank"), True),
        (gear(Battery(ION), "x", "Power banks"), True),
        (gear(Battery(ION), "Bank of power sockets"), False),
        (gear(Battery(ION), "Powerbanker"), False),
    ],
)
def test_what_must_be_in_the_cabin(line: Gear, cabin: bool) -> None:
    """Spare lithium and power banks, whatever the row says (contract, constraint 7)."""
    assert must_be_in_cabin(line) is cabin


@pytest.mark.parametrize("chemistry", list(Chemistry))
@pytest.mark.parametrize(
    "figure", [None, 0, 2_000, 2_001, 99_999, 100_000, 100_001, 160_000, 160_001]
)
@pytest.mark.parametrize("words", ["thing", "Power bank", "power-banks, small", "POWERBANK"])
def test_two_readings_of_the_law_agree(
    chemistry: Chemistry, figure: int | None, words: str
) -> None:
    """The judge's reading and the one that binds the solver, written apart, say the same."""
    for spare in (False, True):
        line = gear(Battery(chemistry, figure, figure, spare), words)
        law = travel_law(line)
        assert law.forbidden == is_forbidden(line)
        assert law.forbidden or law.cabin_only == must_be_in_cabin(line)
