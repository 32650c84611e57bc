"""What the law makes of batteries: the classes, with the published limits beside them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packer.judge.batteries import is_forbidden, must_be_in_cabin
from packer.law import is_power_bank, travel_law
from packer.model.trip import Battery, Carry, Chemistry, Gear

ION, METAL = Chemistry.LITHIUM_ION, Chemistry.LITHIUM_METAL


def gear(battery: Battery | None, description: str = "thing", category: str = "") -> Gear:
    """An invented gear line with a battery."""
    return Gear("G", description, 1, 500, category=category, battery=battery)


@pytest.mark.parametrize(
    ("battery", "forbidden", "cabin_only"),
    [
        (Battery(ION, energy_mwh=100_000), False, False),  # IATA leaflet 2018: up to 100 Wh
        (Battery(ION, energy_mwh=160_000), False, False),  # exactly 160 Wh: with approval
        (Battery(ION, energy_mwh=160_010), True, True),  # 160.01 Wh installed: forbidden
        (Battery(ION, energy_mwh=161_280), True, True),  # 14.4 V x 11.2 Ah
        (Battery(ION, energy_mwh=50_000, spare=True), False, True),  # 49 CFR 175.10(a)(18)
        (Battery(ION, energy_mwh=160_000, spare=True), False, True),
        (Battery(ION, spare=True), False, True),
        (Battery(METAL, lithium_mg=2_000), False, False),
        (Battery(METAL, lithium_mg=2_000, spare=True), False, True),
        (Battery(METAL, lithium_mg=3_000, spare=True), True, True),  # medical devices only
        (Battery(Chemistry.NIMH, energy_mwh=500_000, spare=True), False, False),  # FAA dry cells
        (Battery(Chemistry.ALKALINE, spare=True), False, False),
        (Battery(Chemistry.LEAD_ACID, energy_mwh=100_000, spare=True), False, False),  # 12 V 100 Wh
        (Battery(Chemistry.LEAD_ACID, energy_mwh=100_001), True, True),
        (None, False, False),
    ],
)
def test_classes(battery: Battery | None, forbidden: bool, cabin_only: bool) -> None:
    """Limits are inclusive; spares and the forbidden never reach the hold."""
    law = travel_law(gear(battery))
    assert (law.forbidden, law.cabin_only) == (forbidden, cabin_only)
    assert bool(law.reason) == bool(law.source) == (forbidden or cabin_only)


@pytest.mark.parametrize(
    "words", ["Power bank 20 Ah", "powerbank", "USB power-bank", "POWER BANKS"]
)
def test_a_power_bank_is_a_spare_whatever_the_column_says(words: str) -> None:
    """49 CFR 175.10(a)(18)(iv): what powers other devices is a spare."""
    battery = Battery(ION, energy_mwh=74_000, spare=False)
    assert travel_law(gear(battery, description=words)).cabin_only
    assert travel_law(gear(battery, category=words)).cabin_only


@pytest.mark.parametrize("words", ["Power amplifier", "bank of power switches", "powerbanking"])
def test_other_words_are_not_power_banks(words: str) -> None:
    """Only the thing itself, and only where the battery is lithium."""
    assert not is_power_bank(gear(Battery(ION), description=words))
    assert not is_power_bank(gear(Battery(Chemistry.NIMH), description="power bank"))


def test_the_row_does_not_overrule_the_law() -> None:
    """A spare marked for the hold is a cabin item all the same."""
    line = Gear("G", "cell", 1, 100, carry=Carry.HOLD, battery=Battery(ION, 37_000, spare=True))
    assert travel_law(line).cabin_only


BATTERIES = st.builds(
    Battery,
    chemistry=st.sampled_from(Chemistry),
    energy_mwh=st.none() | st.integers(0, 200_000) | st.sampled_from((100_000, 160_000, 160_001)),
    lithium_mg=st.none() | st.integers(0, 5_000) | st.sampled_from((2_000, 2_001)),
    spare=st.booleans(),
)
WORDS = st.sampled_from(("", "Power bank", "power", "bank", "powerbanks", "POWER-BANK 2", "banked"))


@given(BATTERIES, WORDS, WORDS)
def test_the_judge_reads_the_law_alike(battery: Battery, one: str, other: str) -> None:
    """Two readings, written apart, of the same table."""
    line = gear(battery, one, other)
    law = travel_law(line)
    assert law.forbidden is is_forbidden(line)
    assert law.cabin_only is (is_forbidden(line) or must_be_in_cabin(line))


def test_the_reason_names_figure_and_limit() -> None:
    """A finding built from it needs no more words."""
    reason = travel_law(gear(Battery(ION, energy_mwh=161_280))).reason
    assert "161.28 Wh" in reason
    assert "160 Wh" in reason
