"""The cheapest cover against enumeration of every possible purchase."""

from itertools import product
from random import Random

import pytest

from packer.road import cover
from packer.road.cover import KitOffer, Market, Purchase, Short, UnitOffer, cheapest_cover


def test_a_delivery_can_make_the_dearer_offer_the_cheaper_one():
    """Two at 30 without delivery beat two at 20 with a delivery of 25."""
    market = Market(
        (UnitOffer("HORN", "near", 30), UnitOffer("HORN", "far", 20)), deliveries={"far": 25}
    )
    covering = cheapest_cover((Short("brass", ("HORN",), 2),), market)
    assert covering.purchases == (Purchase("near", "HORN", False, 2, 60),)
    assert covering.cost_minor == 60
    third = cheapest_cover((Short("brass", ("HORN",), 3),), market)
    assert third.deliveries == (("far", 25),)
    assert third.cost_minor == 85


def test_what_no_offer_covers_stays_unmet():
    """One available of three wanted: one is hired, two stay short."""
    market = Market((UnitOffer("HORN", "near", 30, 1),))
    covering = cheapest_cover((Short("brass", ("HORN",), 3),), market)
    assert covering.unmet == (Short("brass", ("HORN",), 2),)
    assert covering.cost_minor == 30


def test_a_kit_serves_several_at_once():
    """One kit at 50 instead of 30 and 30; what is paid for already costs nothing."""
    shorts = (Short("keys", ("KEY",), 1), Short("PEDAL", ("PEDAL",), 1))
    offers = (UnitOffer("KEY", "near", 30), UnitOffer("PEDAL", "near", 30))
    kit = KitOffer("RIG", "near", 50, (("KEY", 1), ("PEDAL", 1)))
    assert cheapest_cover(shorts, Market(offers, (kit,))).cost_minor == 50
    assert cheapest_cover(shorts, Market(offers, (kit,), paid={"KEY": 1})).cost_minor == 30


def test_nothing_short_costs_nothing():
    """No shortfall, no purchase."""
    assert cheapest_cover((), Market((UnitOffer("HORN", "near", 30),))).cost_minor == 0


def random_case(seed):
    random = Random(seed)
    lines = ["a", "b", "c", "d"]
    shorts = (
        Short("one", ("a", "b"), random.randrange(0, 4)),
        Short("c", ("c",), random.randrange(0, 3)),
    )
    units = tuple(
        UnitOffer(line, supplier, random.randrange(0, 30), random.choice([None, 0, 1, 2]))
        for line in lines
        for supplier in ("x", "y")
        if random.random() < 0.5
    )
    kits = tuple(
        KitOffer(
            f"kit{k}",
            random.choice("xy"),
            random.randrange(0, 40),
            tuple((line, random.randrange(1, 3)) for line in random.sample(lines, 2)),
        )
        for k in range(random.randrange(0, 3))
    )
    deliveries = {s: random.randrange(0, 25) for s in "xy" if random.random() < 0.7}
    paid = {"a": 1} if random.random() < 0.2 else {}
    return shorts, Market(units, kits, deliveries, paid)


def by_enumeration(shorts, market):
    """(units unmet, cost) of the best of all purchases."""
    ranges = [range(min(3, 3 if o.available is None else o.available) + 1) for o in market.units]
    best = None
    for kits in product((0, 1), repeat=len(market.kits)):
        for units in product(*ranges):
            unmet = 0
            for short in shorts:
                got = sum(market.paid.get(line, 0) for line in short.lines)
                got += sum(
                    n
                    for kit, on in zip(market.kits, kits, strict=True)
                    if on
                    for line, n in kit.brings
                    if line in short.lines
                )
                got += sum(
                    n for o, n in zip(market.units, units, strict=True) if o.line in short.lines
                )
                unmet += max(0, short.units - got)
            used = {k.supplier for k, on in zip(market.kits, kits, strict=True) if on}
            used |= {o.supplier for o, n in zip(market.units, units, strict=True) if n}
            cost = sum(k.price_minor for k, on in zip(market.kits, kits, strict=True) if on)
            cost += sum(o.price_minor * n for o, n in zip(market.units, units, strict=True))
            cost += sum(market.deliveries.get(s, 0) for s in used)
            if best is None or (unmet, cost) < best:
                best = (unmet, cost)
    return best


@pytest.mark.parametrize("most_tried", [10, -1], ids=["by trying", "by model"])
def test_both_ways_agree_with_enumeration(monkeypatch, most_tried):
    """Two hundred small markets: the cheapest of the fullest covers, both ways."""
    monkeypatch.setattr(cover, "MOST_TRIED", most_tried)
    for seed in range(200 if most_tried > 0 else 60):
        shorts, market = random_case(seed)
        covering = cheapest_cover(shorts, market)
        unmet = sum(short.units for short in covering.unmet)
        assert (unmet, covering.cost_minor) == by_enumeration(shorts, market), seed
