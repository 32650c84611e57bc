"""Dual feasible functions: rows that every packed case satisfies and that sums may use.

If sizes within one case add up to at most `room`, then so do their images under a dual feasible
function up to its image of `room`; added over cases, the images cut off fractional packings that
the plain row allows. Sources: Fekete & Schepers 2001, "New classes of fast lower bounds for bin
packing problems" (the stepped and counting families); Carlier, Clautiaux & Moukrim 2007 (the
halved family).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from packer.geometry.scaling import counted, stepped

Row = tuple[list[int], list[int]]

MOST_PARTS = 7
MOST_THRESHOLDS = 6
MOST_FLOORS = 3


def images(sizes: Sequence[int], rooms: Sequence[int]) -> list[Row]:
    """The plain row first, then its different images, each as (sizes, limit by room).

    All functions are superadditive up to the largest room: f(a) + f(b) <= f(a + b). So what
    packs within a smaller room r has images that add up to at most f(r).
    """
    rows: list[Row] = [(list(sizes), list(rooms))]
    largest = max(rooms, default=0)
    if largest <= 0:
        return rows
    seen = {_shape(rows[0])}
    for function in functions(sizes, rooms, largest):
        row = ([function(size) for size in sizes], [function(max(0, room)) for room in rooms])
        shape = _shape(row)
        if shape not in seen and any(row[0]):
            seen.add(shape)
            rows.append(row)
    return rows


def functions(
    sizes: Sequence[int], rooms: Sequence[int], largest: int
) -> Iterator[Callable[[int], int]]:
    """Functions superadditive up to `largest`, for thresholds that the sizes and rooms suggest."""
    for parts in range(1, MOST_PARTS):
        yield partial(counted, room=largest, parts=parts)
    for threshold in _thresholds(sizes, largest):
        yield partial(stepped, room=largest, threshold=threshold)
        yield partial(halved, room=largest, threshold=threshold)
    for room in sorted({room for room in rooms if 0 < room < largest})[:MOST_FLOORS]:
        for parts in range(1, MOST_PARTS):
            yield partial(_floor, step=room // (parts + 1) + 1)


def _floor(size: int, step: int) -> int:
    """How many whole steps: superadditive without end, and `parts` in the room it was made for."""
    return size // step


def _thresholds(sizes: Sequence[int], room: int) -> list[int]:
    """A few sizes up to half the room, spread evenly over those that occur."""
    small = sorted({size for size in sizes if 0 < 2 * size <= room})
    if len(small) <= MOST_THRESHOLDS:
        return small
    step = (len(small) - 1) / (MOST_THRESHOLDS - 1)
    return sorted({small[round(k * step)] for k in range(MOST_THRESHOLDS)})


def halved(size: int, room: int, threshold: int) -> int:
    """Sizes above half count the complement of what fits beside them, in thresholds."""
    if 2 * size > room:
        return 2 * (room // threshold - (room - size) // threshold)
    if 2 * size == room:
        return room // threshold
    return 2 * (size // threshold)


def _shape(row: Row) -> tuple[float, ...]:
    sizes, limits = row
    most = max(limits)
    return tuple(round(x / most, 9) for x in (*sizes, *limits)) if most else ()
