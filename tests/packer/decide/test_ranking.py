"""Simple measures of a line, worked by hand."""

from __future__ import annotations

import pytest
from support.by_hand import crate, price, thing, trip_of

from packer.decide.problem import build
from packer.decide.ranking import hardness, saving_per_share, size_rank
from packer.model.solving import Wishes
from packer.model.trip import Carry


def test_savings_count_worth_and_the_cheapest_offer_by_share_of_a_case() -> None:
    """Worth 3.00 and hire 9.00 are 12.00 for 5 of 27.5 kg."""
    trip = trip_of(
        [thing("A", 1, worth_minor=300)],
        [crate("C")],
        offers=(price("A", 900), price("A", 1000, "house")),
    )
    problem = build(trip, Wishes())
    assert saving_per_share(problem, problem.lines[0]) == pytest.approx(1200 * 5.5)


def test_heavy_and_cabin_goods_are_harder_to_place() -> None:
    """5 of 27.5 kg, twice that for twice the weight; cabin goods before all that fly below."""
    lines = [thing("A"), thing("B", 1, 10_000), thing("D", 1, 10, carry=Carry.CABIN)]
    problem = build(trip_of(lines, [crate("C")]), Wishes())
    light, heavy, cabin = problem.lines
    assert hardness(problem, light) == pytest.approx(5 / 27.5)
    assert hardness(problem, heavy) == pytest.approx(10 / 27.5)
    assert size_rank(heavy) > size_rank(light)
    assert not cabin.cases or hardness(problem, cabin) >= 1
