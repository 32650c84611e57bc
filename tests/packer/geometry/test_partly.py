"""Filling a case one thing at a time."""

from __future__ import annotations

import random

from support.packing import faults

from packer.geometry import Item, PartlyPacked, Place


def test_what_was_added_stays_a_packing() -> None:
    """Random things, some fragile, until nothing more goes in."""
    rng = random.Random(4)
    for rule in range(5):
        case = PartlyPacked((600, 400, 300), 5, rule)
        items, places = [], []
        for _ in range(60):
            sides = (rng.randint(40, 250), rng.randint(40, 250), rng.randint(40, 250))
            item = Item(sides, rng.random() < 0.3, rng.random() < 0.1)
            place = case.add(item)
            if place is not None:
                items.append(item)
                places.append(place)
        assert len(items) > 5
        assert faults(places, items, (600, 400, 300), 5) == []


def test_looking_changes_nothing() -> None:
    """`place_for` may be asked any number of times; `add` takes the place."""
    case = PartlyPacked((100, 100, 100), 0)
    slab = Item((100, 100, 60), upright=True)
    assert case.place_for(slab) == case.place_for(slab) == Place((0, 0, 0), (100, 100, 60))
    assert case.add(slab) == Place((0, 0, 0), (100, 100, 60))
    assert case.add(slab) is None
    assert case.add(Item((100, 100, 40), upright=True)) == Place((0, 0, 60), (100, 100, 40))
    assert case.place_for(Item((1, 1, 1))) is None


def test_too_large_has_no_place() -> None:
    """Clearance counts: 96 mm and 5 do not go into 100."""
    assert PartlyPacked((100, 100, 100), 5).place_for(Item((96, 10, 10))) is None
