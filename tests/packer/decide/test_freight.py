"""The solver's own freight charge against published worked examples of air cargo.

The list of sources stands in section 4 of the project's collection of standards: the examples are
those that handlers and forwarders publish on the pages named beside each.
"""

from __future__ import annotations

import pytest
from support.worked import eur

from packer.decide.freight import chargeable_half_kg, freight_minor, volume_cm3
from packer.model.trip import Box, Freight

OFFER = Freight(eur(125), eur(5000), eur(2000))


@pytest.mark.parametrize(
    ("count", "sides_cm", "gross_g", "half_kg", "source"),
    [
        (1, (30, 45, 65), 14_000, 30, "pengellys.co.nz fact sheet: 87,750 cm3, 14.625, so 15 kg"),
        (8, (60, 40, 20), 45_000, 128, "valueclearingandforwarding.co.za: 384,000 cm3, 64 kg"),
        (1, (50, 50, 50), 80_000, 160, "the same: 20.83 by volume, so 80 kg"),
        (1, (150, 100, 110), 130_000, 550, "m-spedition.com/addinfo.html: 275 kg"),
        (3, (120, 60, 90), 120_000, 648, "bidentlogistics.com: 324 kg"),
        (1, (41, 51, 61), 0, 43, "experts123.com: 127,551 cm3; 21.2585 rounded here to 21.5"),
        (1, (40, 40, 40), 5_000, 22, "cbr-express.com: 10.667 by volume, so 11 kg"),
        (1, (30, 30, 30), 11_000, 22, "the same: 4.5 by volume, so 11 kg"),
        (1, (1, 1, 1), 100_200, 201, "aviation-professional.net: 100.2 kg are 100.5"),
    ],
)
def test_chargeable_weight_as_published(count, sides_cm, gross_g, half_kg, source) -> None:
    """The larger of gross and volume weight of the consignment, up to the half kilogram."""
    sides = Box(*(10 * side for side in sides_cm))
    assert chargeable_half_kg(OFFER, gross_g, count * volume_cm3(sides)) == half_kg, source


@pytest.mark.parametrize(("mm", "cm"), [(1004, 100), (1005, 101), (1014, 101), (4, 0), (5, 1)])
def test_each_length_is_rounded_to_the_centimetre_halves_up(mm: int, cm: int) -> None:
    """Half a centimetre goes up (hptoancau.com, the rule of rounding dimensions)."""
    assert volume_cm3(Box(mm, 10, 10)) == cm


@pytest.mark.parametrize(("gross_g", "half_kg"), [(500, 1), (501, 2), (1000, 2), (0, 0)])
def test_exactly_a_half_stays_and_more_goes_up(gross_g: int, half_kg: int) -> None:
    """hptoancau.com and aviation-professional.net on weights."""
    assert chargeable_half_kg(OFFER, gross_g, 0) == half_kg


def test_the_divisor_is_the_offers_own() -> None:
    """30,000 cm3 are 5 kg at 6000 and 6 kg at 5000."""
    assert chargeable_half_kg(OFFER, 0, 30_000) == 10
    assert chargeable_half_kg(Freight(eur(1), eur(0), eur(0), divisor=5000), 0, 30_000) == 12


def test_the_worked_chest_costs_91_88() -> None:
    """57.5 kg at 1.25 are 71.875, handling 20.00: 91.875, rounded half up once (contract 5.11)."""
    chargeable = chargeable_half_kg(OFFER, 22_500, volume_cm3(Box(955, 654, 545)))
    assert chargeable == 115
    assert freight_minor(OFFER, chargeable) == 9188


def test_the_minimum_counts_before_handling() -> None:
    """10 kg at 1.25 are 12.50, the minimum 50.00: 70.00 with handling."""
    assert freight_minor(OFFER, 20) == 7000
