"""One-dimensional bin packing: the fewest bins for weights alone, with proof.

In: sizes (for example weights in g) and a capacity. Out: `Bins`: a packing, its number of bins,
and a number that is proved to be needed; equal where proved optimal. Steps: best fit and subset
sums for a first packing; volume and dual feasible functions for a first bound; between the two
arc-flow for each number of bins in turn, and column generation where the graph is too large.
"""

from __future__ import annotations

import time
from bisect import bisect_left, insort
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

from packer.geometry.arcflow import Flow, arcs_for, prove_no_flow, seek_flow
from packer.geometry.columns import fewest_by_columns, recombine
from packer.geometry.items import Verdict
from packer.geometry.scaling import scales

Patterns = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Bins:
    """`packing` holds the indices of the items bin by bin; fewer than `bound` never do."""

    bins: int
    bound: int
    packing: Patterns


@dataclass(slots=True)
class _Search:
    """Scaled sizes above 0, the best packing so far (as sizes), the bound, and the deadline."""

    sizes: list[int]
    capacity: int
    best: Patterns
    bound: int
    deadline: float
    seed: int

    def left(self) -> float:
        return self.deadline - time.monotonic()


def min_bins(sizes: Sequence[int], capacity: int, seconds: float = 10.0, seed: int = 0) -> Bins:
    """Pack all sizes (0 or more, none above capacity) into the fewest bins found in `seconds`.

    Raises ValueError for a size below 0 or above the capacity.
    """
    if sizes and (min(sizes) < 0 or max(sizes) > capacity):
        raise ValueError(f"sizes must be between 0 and the capacity {capacity}")
    real = [size for size in sizes if size > 0]
    if not real:
        return Bins(
            min(1, len(sizes)), min(1, len(sizes)), (tuple(range(len(sizes))),)[: len(sizes)]
        )
    search = _begin(real, capacity, time.monotonic() + seconds, seed)
    _close_gap(search)
    unit = gcd(*real)
    patterns = tuple(tuple(unit * size for size in of) for of in search.best)
    return Bins(len(patterns), search.bound, _by_index(sizes, patterns))


def _begin(real: Sequence[int], capacity: int, deadline: float, seed: int) -> _Search:
    """Scale to the common unit, pack at first, bound at first."""
    unit = gcd(*real)
    sizes = sorted((size // unit for size in real), reverse=True)
    room = capacity // unit
    best = min(best_fit(sizes, room), fullest_first(sizes, room), key=len)
    return _Search(sizes, room, best, first_bound(sizes, room), deadline, seed)


def best_fit(sizes: Sequence[int], capacity: int) -> Patterns:
    """Best fit in the order given: each into the fullest bin that has room."""
    rooms: list[tuple[int, int]] = []
    bins: list[list[int]] = []
    for size in sizes:
        k = bisect_left(rooms, (size, -1))
        if k == len(rooms):
            rooms.append((capacity - size, len(bins)))
            bins.append([size])
            rooms.sort()
            continue
        room, which = rooms.pop(k)
        bins[which].append(size)
        insort(rooms, (room - size, which))
    return tuple(tuple(of) for of in bins)


def fullest_first(sizes: Sequence[int], capacity: int) -> Patterns:
    """One bin after the other: the largest left, then the subset that fills it best."""
    left = sorted(sizes, reverse=True)
    bins = []
    while left:
        chosen = [left[0], *_subset(left[1:], capacity - left[0])]
        for size in chosen:
            left.remove(size)
        bins.append(tuple(chosen))
    return tuple(bins)


def _subset(sizes: Sequence[int], room: int) -> list[int]:
    """A subset of the largest sum within `room`; each sum keeps the first size that made it."""
    mask = (1 << (room + 1)) - 1
    sums, made_by = 1, []
    for size in sizes:
        before = sums
        sums = (sums | sums << size) & mask
        made_by.append((size, before))
    target = sums.bit_length() - 1
    chosen = []
    for size, before in reversed(made_by):
        if not before >> target & 1:
            chosen.append(size)
            target -= size
    return chosen


def first_bound(sizes: Sequence[int], capacity: int) -> int:
    """The best of volume and the dual feasible functions of `scaling`."""
    counts = Counter(sizes)
    lengths = sorted(counts)
    return max(
        -(-sum(value * counts[size] for value, size in zip(values, lengths, strict=True)) // whole)
        for values, whole in scales(capacity, lengths)
    )


def _close_gap(search: _Search) -> None:
    """Ask for each number of bins from the bound up, until one is possible or time is up."""
    while search.bound < len(search.best) and search.left() > 0:
        arcs = arcs_for(search.sizes, search.capacity, search.bound)
        if arcs is None:
            _by_columns(search)
            return
        flow = seek_flow(search.sizes, search.capacity, search.bound, arcs, search.left())
        if flow.verdict is Verdict.NO:
            flow = _confirm(search, arcs)
        if flow.verdict is Verdict.UNKNOWN:
            return
        if flow.verdict is Verdict.YES:
            search.best = flow.patterns
        else:
            search.bound += 1


def _confirm(search: _Search, arcs: list[tuple[int, int, int]]) -> Flow:
    """A refusal in exact integers: by column generation, else by the exact flow."""
    bound, _ = fewest_by_columns(
        search.sizes, search.capacity, search.best, search.bound + 1, search.left() / 2
    )
    if bound > search.bound:
        return Flow(Verdict.NO)
    return prove_no_flow(
        search.sizes, search.capacity, search.bound, arcs, search.left(), search.seed
    )


def _by_columns(search: _Search) -> None:
    """Raise the bound by column generation, then recombine the ways that were met."""
    bound, met = fewest_by_columns(
        search.sizes, search.capacity, search.best, len(search.best), 0.6 * search.left()
    )
    search.bound = max(search.bound, bound)
    if search.bound < len(search.best):
        better = recombine(search.sizes, met, search.left())
        if better is not None and len(better) < len(search.best):
            search.best = better


def _by_index(sizes: Sequence[int], patterns: Patterns) -> Patterns:
    """Sizes turned back into indices; what weighs nothing goes into the first bin."""
    free: dict[int, list[int]] = defaultdict(list)
    for k, size in enumerate(sizes):
        free[size].append(k)
    packing = [[free[size].pop() for size in of] for of in patterns]
    packing[0] += free[0]
    return tuple(tuple(sorted(of)) for of in packing)
