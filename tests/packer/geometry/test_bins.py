"""Many boxes, few identical bins: packings that hold, bounds that hold, quality that is known."""

from __future__ import annotations

import pytest
from support.instances import Boxes, absence, made_like_mpv, mpv
from support.packing import faults
from support.peers import with_py3dbp

from packer.geometry import BinPacking, Item, pack_bins
from packer.model.plan import Place

ABSENT = absence()


def assert_packed(found: BinPacking, boxes: Boxes, fixed: bool) -> None:
    """Each bin's places break nothing, and no bin is empty."""
    assert set(found.bin_of) == set(range(found.bins))
    for b in range(found.bins):
        inside = [k for k, of in enumerate(found.bin_of) if of == b]
        places = [found.places[k] for k in inside]
        items = [Item(boxes.sizes[k]) for k in inside]
        assert faults(places, items, boxes.inside, 0) == []
        if fixed:
            assert [p.size_mm for p in places] == [boxes.sizes[k] for k in inside]


@pytest.mark.parametrize("kind", [1, 4, 5, 6, 7, 8])
def test_every_bin_is_a_packing(kind: int) -> None:
    """Six kinds of boxes, fixed and turned; turning never needs more bins here."""
    boxes = made_like_mpv(kind, 40, 1)
    fixed = pack_bins(boxes.inside, boxes.sizes, True, None, 3_000_000)
    turned = pack_bins(boxes.inside, boxes.sizes, False, None, 3_000_000)
    assert_packed(fixed, boxes, True)
    assert_packed(turned, boxes, False)
    assert turned.bound <= turned.bins <= fixed.bins
    assert fixed.bound <= fixed.bins


def test_counted_work_repeats_itself() -> None:
    """The same effort and seed give the same bins and places."""
    boxes = made_like_mpv(7, 50, 2)
    runs = [pack_bins(boxes.inside, boxes.sizes, True, None, 2_000_000, 5) for _ in range(2)]
    assert runs[0] == runs[1]


@pytest.mark.skipif(ABSENT is not None, reason=str(ABSENT))
def test_published_instances_with_50_boxes() -> None:
    """Martello, Pisinger and Vigo, first of each class, fixed orientation.

    Never below their bound L2; in total no more than a plain first fit with many random orders
    needs (measured beforehand, one second each: 15 + 25 + 11 + 12 + 10 + 10).
    """
    found = {}
    for boxes in mpv(numbers=range(1, 2)):
        if len(boxes.sizes) == 50:
            found[boxes.name] = pack_bins(boxes.inside, boxes.sizes, True, None, 8_000_000)
            assert_packed(found[boxes.name], boxes, True)
            assert found[boxes.name].bins >= boxes.l2
    assert len(found) == 6
    assert sum(packing.bins for packing in found.values()) <= 83


@pytest.mark.parametrize("kind", [1, 5, 6, 7, 8])
def test_turned_boxes_never_need_more_bins_than_a_general_packer_needs(kind: int) -> None:
    """Against `py3dbp`, a general three-dimensional packer (a larger table: tests/bench)."""
    pytest.importorskip("py3dbp", reason="the peer py3dbp is not installed")
    boxes = made_like_mpv(kind, 20, 3)
    found = pack_bins(boxes.inside, boxes.sizes, False, None, 3_000_000)
    assert found.bins <= with_py3dbp(boxes)


def test_a_box_larger_than_the_bin_is_an_error() -> None:
    """Turning helps where it is allowed."""
    with pytest.raises(ValueError, match="does not fit"):
        pack_bins((10, 10, 10), [(11, 1, 1)])
    with pytest.raises(ValueError, match="does not fit"):
        pack_bins((10, 20, 30), [(30, 10, 20)], fixed=True)
    found = pack_bins((10, 20, 30), [(30, 10, 20)])
    assert found == BinPacking(1, 1, (0,), (Place((0, 0, 0), (10, 20, 30)),))
