"""Dual feasible functions: rows that every packed case satisfies and that sums may use.

If sizes within one case add up to at most `room`, then so do their images under a dual feasible
function up to its image of `room`; added over cases, the images cut off fractional packings that
the plain row allows. Sources: Fekete & Schepers 2001, "New classes of fast lower bounds for bin
packing problems" (the stepped and counting families); Carlier, Clautiaux & Moukrim 2007 (the
halved family).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packer.geometry.scaling import counted, stepped

Row = tuple[list[int], int]

MOST_PARTS = 7
MOST_THRESHOLDS = 6


def scaled_rows(sizes: Sequence[int], room: int) -> list[Row]:
    """The plain row first, then its different images, each as (sizes, limit of one case)."""
    rows: list[Row] = [(list(sizes), room)]
    if room <= 0:
        return rows
    seen = {_shape(rows[0])}
    for row in _images(sizes, room):
        shape = _shape(row)
        if shape not in seen and any(row[0]):
            seen.add(shape)
            rows.append(row)
    return rows


def _images(sizes: Sequence[int], room: int) -> Iterator[Row]:
    for parts in range(1, MOST_PARTS):
        yield [counted(size, room, parts) for size in sizes], parts * room
    for threshold in _thresholds(sizes, room):
        yield [stepped(size, room, threshold) for size in sizes], room
        yield [halved(size, room, threshold) for size in sizes], halved(room, room, threshold)


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
    sizes, limit = row
    return tuple(round(size / limit, 9) for size in sizes) if limit else ()
