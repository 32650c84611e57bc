"""General three-dimensional packers to compare with; never dependencies of the product.

Each takes boxes for identical bins, all six turns allowed, and says how many bins it needs.
Importing this module needs none of them.
"""

from __future__ import annotations

from importlib import import_module

from support.instances import Boxes


def with_py3dbp(boxes: Boxes) -> int:
    """Bins needed by `py3dbp`, one bin after the other, bigger first."""
    peer = import_module("py3dbp")
    left = list(boxes.sizes)
    bins = 0
    while left:
        packer = peer.Packer()
        packer.add_bin(peer.Bin("bin", *boxes.inside, len(left)))
        for k, size in enumerate(left):
            packer.add_item(peer.Item(str(k), *size, 1))
        packer.pack(bigger_first=True, number_of_decimals=0)
        placed = {int(item.name) for item in packer.bins[0].items}
        left = [size for k, size in enumerate(left) if k not in placed]
        bins += 1
    return bins


def with_packingsolver3d(boxes: Boxes) -> int | None:
    """Bins needed by `packingsolver3d`, ten seconds; None where it found nothing."""
    from packingsolver3d import ALL_ROTATIONS, BinType, Instance, ItemType, Objective, box

    x, y, z = boxes.inside
    items = [ItemType(x=a, y=b, z=c, rotations=ALL_ROTATIONS) for a, b, c in boxes.sizes]
    instance = Instance(
        bin_types=[BinType(x=x, y=y, z=z, cost=1, copies=len(items))],
        item_types=items,
        objective=Objective.BIN_PACKING,
    )
    return int(box.solve(instance, time_limit=10.0).number_of_bins) or None
