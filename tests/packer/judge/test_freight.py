"""Freight: the published worked examples of air cargo, and the contract's own rounding.

Examples 35 to 46 of the project's list of standards; the source stands beside each.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from support.worked import eur

from packer.judge.freight import (
    FreightPiece,
    chargeable_half_kg,
    freight_minor,
    length_cm,
    volume_weight_kg,
)
from packer.model.trip import Freight


def pieces(count: int, sides_cm: tuple[int, int, int], total_g: int) -> list[FreightPiece]:
    """Equal pieces that weigh so much together; the first one takes the remainder."""
    length, width, height = (10 * side for side in sides_cm)
    each, rest = divmod(total_g, count)
    return [
        FreightPiece(f"P{i}", each + (rest if i == 0 else 0), (length, width, height))
        for i in range(count)
    ]


@pytest.mark.parametrize(
    ("count", "sides_cm", "gross_g", "chargeable_kg", "source"),
    [
        (1, (30, 45, 65), 14_000, "15", "pengellys.co.nz fact sheet: 14.625 kg by volume"),
        (
            8,
            (60, 40, 20),
            45_000,
            "64",
            "valueclearingandforwarding.co.za, tariffs for air freight",
        ),
        (1, (50, 50, 50), 80_000, "80", "the same: 20.83 kg by volume, so 80"),
        (1, (150, 100, 110), 130_000, "275", "m-spedition.com/addinfo.html"),
        (3, (120, 60, 90), 120_000, "324", "bidentlogistics.com, volumetric weight"),
        (1, (41, 51, 61), 15_000, "21.5", "computed: 127,551 / 6000 = 21.2585"),
        (1, (40, 40, 40), 5_000, "11", "cbr-express.com: 10.667 by volume"),
        (1, (1, 1, 1), 100_200, "100.5", "aviation-professional.net: 100.2 kg gross"),
        (1, (1, 1, 1), 100_500, "100.5", "hptoancau.com: exactly a half stays"),
        (1, (1, 1, 1), 100_510, "101", "hptoancau.com: above a half, to the full kg"),
        (1, (100, 100, 100), 1_000, "167", "computed: 1 m3 is 166.667 kg"),
    ],
)
def test_chargeable_weight_as_published(
    count: int, sides_cm: tuple[int, int, int], gross_g: int, chargeable_kg: str, source: str
) -> None:
    """The larger of gross and volume weight of all pieces, up to the next half kg."""
    halves = chargeable_half_kg(pieces(count, sides_cm, gross_g), 6000)
    assert Fraction(halves, 2) == Fraction(chargeable_kg), source


@pytest.mark.parametrize(
    ("length_mm", "cm"), [(305, 31), (304, 30), (300, 30), (309, 31), (4, 0), (5, 1)]
)
def test_lengths_round_to_the_cm_halves_up(length_mm: int, cm: int) -> None:
    """30.5 cm is 31 and 30.4 cm is 30 before the volume (hlcargo.com, hptoancau.com)."""
    assert length_cm(length_mm) == cm


def test_volume_weights_are_summed_exactly() -> None:
    """Three pieces of 10 x 10 x 10 cm are 3000 / 6000 kg, not three rounded ones."""
    assert volume_weight_kg(pieces(3, (10, 10, 10), 3), 6000) == Fraction(1, 2)


def test_divisor_is_the_offer_s_own() -> None:
    """With 5000 the same box weighs more: 87,750 / 5000 = 17.55, so 18 kg."""
    assert chargeable_half_kg(pieces(1, (30, 45, 65), 14_000), 5000) == 36


@pytest.mark.parametrize(
    ("rate", "minimum", "handling", "gross_g", "expected"),
    [
        (125, 5000, 2000, 57_500, 9188),  # 2000 + 7187.5, half up once
        (125, 5000, 2000, 57_000, 9125),  # 2000 + 7125
        (125, 7188, 2000, 57_500, 9188),  # the minimum is larger than 7187.5
        (125, 9000, 0, 57_500, 9000),
        (0, 0, 0, 57_500, 0),
        (1, 0, 0, 500, 1),  # half a cent rounds up
    ],
)
def test_charge_rounds_once_at_the_end(
    rate: int, minimum: int, handling: int, gross_g: int, expected: int
) -> None:
    """Handling + the larger of Minimum and rate x weight (contract, section 5.11)."""
    freight = Freight(eur(rate), eur(minimum), eur(handling))
    assert freight_minor(freight, pieces(1, (1, 1, 1), gross_g)) == expected


def test_nothing_sent_costs_nothing() -> None:
    """Without a piece neither Handling nor Minimum is due."""
    assert freight_minor(Freight(eur(1), eur(5000), eur(2000)), []) == 0
