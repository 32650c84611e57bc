"""Layers, what things stand on, centre of gravity, rack and slots."""

from packer.model.plan import Place
from packer.papers.tables.stowage import (
    base_percent,
    centre_of_gravity,
    layers,
    rack_rows,
    slot_rows,
    stowed,
)


def piece(plan, name):
    """The piece of this case."""
    return next(p for p in plan.pieces if p.case == name)


def test_an_object_on_the_floor_stands_fully():
    """Also where it stands a clearance above it."""
    assert base_percent(Place((0, 0, 0), (10, 10, 10)), [], 5) == 100
    assert base_percent(Place((0, 0, 5), (10, 10, 10)), [], 5) == 100


def test_support_is_the_share_of_the_base_on_tops_just_below():
    """Half of it on one object; another object's top is too far down to count."""
    upper = Place((0, 0, 105), (100, 100, 10))
    near = Place((0, 0, 0), (50, 100, 100))
    far = Place((50, 0, 0), (50, 100, 90))
    assert base_percent(upper, [upper, near, far], 5) == 50
    assert base_percent(upper, [upper, near], 5) == 50
    assert base_percent(upper, [upper], 5) == 0


def test_two_thirds_of_the_base_are_enough(trip, plan):
    """Pedals that stand on 45 of 120 mm need packing under them; the trombone does not."""
    stands = {one.number: one.stands for one in stowed(trip, piece(plan, "TRUNK-1"))}
    assert stands == {1: True, 2: True, 3: False, 4: False, 5: False}


def test_layers_rise_from_the_floor(trip, plan):
    """The synthesiser below, the rest on 11.5 cm."""
    low, high = layers(stowed(trip, piece(plan, "TRUNK-1")))
    assert [one.number for one in low.members] == [1]
    assert [one.number for one in high.members] == [2, 3, 4, 5]
    assert (high.floor_mm, high.through) == (115, ())


def test_the_centre_of_gravity_weighs_every_middle(trip, plan):
    """CABIN: laptop, four packs and the case (2700 g, middle 250/170/100), worked by hand."""
    weights = [2100, 310, 310, 310, 310, 2700]
    xs = [180, 420, 420, 420, 420, 250]
    ys = [125, 35, 110, 185, 260, 170]
    zs = [15, 20, 20, 20, 20, 100]
    expected = tuple(
        sum(w * at for w, at in zip(weights, ats, strict=True)) // sum(weights)
        for ats in (xs, ys, zs)
    )
    assert centre_of_gravity(trip, piece(plan, "CABIN")) == expected
    assert centre_of_gravity(trip, piece(plan, "RACK")) is None


def test_the_heaviest_stands_lowest_in_a_rack(trip, plan):
    """5.2 kg at the bottom, two units high; then the transmitters in packing order."""
    rows = rack_rows(trip, piece(plan, "RACK"))
    assert [(row.gear.name, row.unit, row.bottom_half_units) for row in rows] == [
        ("PWR", 1, 0),
        ("IEM", 1, 4),
        ("IEM", 2, 6),
    ]


def test_empty_slots_are_shown(trip, plan):
    """Two of four are filled."""
    rows = slot_rows(trip, piece(plan, "MUTES"))
    assert [row.gear.name if row.gear else None for row in rows] == ["MUTE", "MUTE", None, None]
