"""Chargeable weight against published worked examples, and the rounding rules one by one."""

from __future__ import annotations

from fractions import Fraction

import pytest

import shared
from packer.rules.chargeable import (
    chargeable_pounds,
    chargeable_weight_g,
    rounded_length_cm,
    volume_weight_kg,
)


@pytest.mark.parametrize(
    ("count", "cm", "gross_g", "volume", "chargeable_g"),
    [
        (1, (30, 45, 65), 14_000, "14.625", 15_000),  # pengellys.co.nz: 15
        (8, (60, 40, 20), 45_000, "64", 64_000),  # valueclearingandforwarding.co.za: 64
        (1, (50, 50, 50), 80_000, "125/6", 80_000),  # same: 20.83, so 80
        (1, (150, 100, 110), 130_000, "275", 275_000),  # m-spedition.com: 275
        (3, (120, 60, 90), 120_000, "324", 324_000),  # bidentlogistics.com: 324
        (1, (41, 51, 61), 15_000, "127551/6000", 21_500),  # 21.2585, rounded up by the rule
        (1, (40, 40, 40), 5_000, "32/3", 11_000),  # cbr-express.com: 10.7, so 11
        (1, (30, 30, 30), 11_000, "4.5", 11_000),  # same: 11
        (1, (100, 100, 100), 1_000, "500/3", 167_000),  # 1 m3 is 166.67 kg (hlcargo.com)
    ],
)
def test_published_examples(
    count: int, cm: tuple[int, int, int], gross_g: int, volume: str, chargeable_g: int
) -> None:
    """Volume weight by 6000, then the larger of both, up to the half kilogram."""
    pieces = [(cm[0] * 10, cm[1] * 10, cm[2] * 10)] * count
    assert volume_weight_kg(pieces) == Fraction(volume)
    assert chargeable_weight_g(pieces, gross_g) == chargeable_g


def test_an_example_in_inches() -> None:
    """16 x 20 x 24 in: 7,680 / 366 is 20.98 (experts123.com); in whole cm 41 x 51 x 61."""
    inch = shared.LENGTH_UNITS["in"]
    lengths = tuple(-(-side * inch // 1) for side in (16, 20, 24))
    assert [rounded_length_cm(int(length)) for length in lengths] == [41, 51, 61]
    assert round(Fraction(16 * 20 * 24, 366), 2) == Fraction("20.98")


@pytest.mark.parametrize(
    ("gross_g", "chargeable_g"),
    [
        (100_200, 100_500),  # aviation-professional.net: 100.2 -> 100.5
        (100_500, 100_500),  # hptoancau.com: exactly a half stays
        (100_510, 101_000),  # hptoancau.com: above a half, the next full kilogram
        (100_000, 100_000),
        (1, 500),
    ],
)
def test_gross_weight_rounds_up_to_the_half_kilogram(gross_g: int, chargeable_g: int) -> None:
    """A light box does not change it."""
    assert chargeable_weight_g([(100, 100, 100)], gross_g) == chargeable_g


@pytest.mark.parametrize(("mm", "whole"), [(305, 31), (304, 30), (300, 30), (5, 1), (4, 0)])
def test_lengths_round_to_the_centimetre(mm: int, whole: int) -> None:
    """hlcargo.com, hptoancau.com: 0.5 cm and above up, below it down."""
    assert rounded_length_cm(mm) == whole
    assert volume_weight_kg([(mm, 1000, 600)]) == Fraction(whole * 100 * 60, 6000)  # before volume


def test_pounds_round_up() -> None:
    """aviation-professional.net: 100 lb 2 oz is charged as 101 lb."""
    pound, ounce = shared.MASS_UNITS["lb"], shared.MASS_UNITS["oz"]
    assert chargeable_pounds(100 * pound + 2 * ounce) == 101
    assert chargeable_pounds(100 * pound) == 100


def test_the_divisor_is_the_offers() -> None:
    """5000 with some integrators (nimasabri.com): 87,750 / 5000 is 17.55, so 18 kg."""
    assert chargeable_weight_g([(300, 450, 650)], 14_000, 5000) == 18_000
