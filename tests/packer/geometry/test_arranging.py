"""Packings for people: still valid, heavy low, balanced, supported, and they can be lowered in."""

from __future__ import annotations

import random

import pytest
from support.packing import above, faults, shared

from packer.geometry import Arrangement, Fitter, Item, Place, arrange

INSIDE = (1100, 550, 500)
CLEAR = 5


def some_items(seed: int, count: int) -> list[Item]:
    """Invented things of a stage: 60 to 400 mm, 0.3 to 9 kg, some upright, some fragile."""
    rng = random.Random(seed)
    return [
        Item(
            (rng.randint(100, 400), rng.randint(60, 300), rng.randint(50, 250)),
            rng.random() < 0.3,
            rng.random() < 0.15,
            rng.randint(300, 9000),
        )
        for _ in range(count)
    ]


def arranged(items: list[Item]) -> tuple[tuple[Place, ...], Arrangement]:
    """A first packing and the better one."""
    fit = Fitter(CLEAR).decide(INSIDE, items)
    assert fit.places is not None
    return fit.places, arrange(INSIDE, items, CLEAR, fit.places)


def centre(places: tuple[Place, ...], items: list[Item], axis: int) -> float:
    """Centre of gravity on an axis as a share of the inside length."""
    moment = sum(
        item.weight_g * (place.at_mm[axis] + place.size_mm[axis] / 2)
        for place, item in zip(places, items, strict=True)
    )
    return moment / sum(item.weight_g for item in items) / INSIDE[axis]


def poorly_supported(places: tuple[Place, ...]) -> list[int]:
    """Who has less than two thirds of the base on the floor or on tops one clearance below."""
    found = []
    for k, place in enumerate(places):
        rests = sum(
            max(0, shared(place, other, 0)) * max(0, shared(place, other, 1))
            for other in places
            if other.at_mm[2] + other.size_mm[2] + CLEAR == place.at_mm[2]
        )
        if place.at_mm[2] > 0 and 3 * rests < 2 * place.size_mm[0] * place.size_mm[1]:
            found.append(k)
    return found


@pytest.mark.parametrize(("seed", "count"), [(1, 5), (2, 8), (3, 8), (4, 12), (5, 12), (6, 16)])
def test_an_arrangement_is_a_better_packing(seed: int, count: int) -> None:
    """Valid as before; lower, nearer the middle, nothing balanced on a third of its base."""
    items = some_items(seed, count)
    before, (after, _) = arranged(items)
    assert faults(after, items, INSIDE, CLEAR) == []
    assert poorly_supported(after) == []
    assert centre(after, items, 2) <= centre(before, items, 2)
    assert abs(centre(after, items, 0) - 0.5) <= 0.1
    assert abs(centre(after, items, 1) - 0.5) <= 0.1


@pytest.mark.parametrize("seed", range(4))
def test_everything_is_lowered_in_past_nothing(seed: int) -> None:
    """When a thing goes in, nothing packed before lies above its place."""
    items = some_items(seed, 12)
    _, (places, order) = arranged(items)
    assert sorted(order) == list(range(len(items)))
    for step, k in enumerate(order):
        assert not set(order[:step]) & set(above(places, k))


def test_heavy_things_go_below_light_ones_of_the_same_size() -> None:
    """Two flat things fill the case; the heavier one ends below."""
    light, heavy = Item((90, 90, 40), True, weight_g=100), Item((90, 90, 40), True, weight_g=900)
    places = (Place((0, 0, 0), (90, 90, 40)), Place((0, 0, 45), (90, 90, 40)))
    after, order = arrange((95, 95, 90), [light, heavy], 5, places)
    assert (after[1].at_mm[2], after[0].at_mm[2]) == (0, 45)
    assert order == (1, 0)


def test_a_single_thing_stands_in_the_middle_of_the_floor() -> None:
    """100 mm in 300 mm, no clearance: 100 mm on either side."""
    item = Item((100, 100, 100), weight_g=1000)
    after, order = arrange((300, 300, 300), [item], 0, (Place((0, 0, 200), (100, 100, 100)),))
    assert after == (Place((100, 100, 0), (100, 100, 100)),)
    assert order == (0,)


def test_nothing_needs_no_arranging() -> None:
    """An empty case stays empty."""
    assert arrange(INSIDE, [], CLEAR, ()) == Arrangement((), ())
