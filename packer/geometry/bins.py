"""Many boxes into as few identical bins as possible.

In: inside size of a bin, sizes of boxes (clearance, if any, already added), fixed or free turns, a
limit in seconds or in counted work. Out: `BinPacking` with a place for each box and a proved lower
bound. The search is that of `eliminating`; it stops when the bound is reached.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from packer.geometry.eliminating import HOMELESS, eliminate_kernel, first_fit
from packer.geometry.items import Place, Sides
from packer.geometry.kernel import ANY, FIXED, turn_all
from packer.geometry.scaling import fewest_bins
from packer.geometry.spaces import Ints, as_ints

_CHUNK = 400_000
"""Looks at empty spaces between two glances at the clock: some 20 ms."""


@dataclass(frozen=True, slots=True)
class BinPacking:
    """`bins` used, no fewer than `bound` possible; for each box its bin (from 0) and place."""

    bins: int
    bound: int
    bin_of: tuple[int, ...]
    places: tuple[Place, ...]


@dataclass(slots=True)
class _Work:
    """The arrays of a search, and what it may still spend."""

    inside: Ints
    sizes: Ints
    turned: Ints
    turns: Ints
    bin_of: Ints
    places: Ints
    burden: Ints
    deadline: float
    effort: int
    seed: int

    def spent(self) -> bool:
        return self.effort <= 0 or time.process_time() >= self.deadline


def pack_bins(
    inside: Sides,
    sizes: Sequence[Sides],
    fixed: bool = False,
    seconds: float | None = 2.0,
    effort: int | None = None,
    seed: int = 0,
) -> BinPacking:
    """Pack all boxes; `fixed` forbids turning. Deterministic when only `effort` limits it.

    `seconds` are of processor time; `effort` is in looks at empty spaces (about 20 million a
    second). Raises ValueError for a box that does not fit a bin.
    """
    work = _begin(inside, sizes, fixed, seconds, effort, seed)
    bound = fewest_bins(inside, _allowed(work))
    volumes = work.sizes.prod(axis=1)
    order = np.argsort(-volumes, kind="stable")
    bins = first_fit(work.inside, work.turned, work.turns, order, work.bin_of, work.places)
    best = (work.bin_of.copy(), work.places.copy())
    while bins > bound and not work.spent():
        _make_homeless(work.bin_of, volumes, bins)
        if _eliminate(work, bins - 1):
            bins -= 1
            best = (work.bin_of.copy(), work.places.copy())
    return BinPacking(bins, bound, tuple(best[0].tolist()), _as_places(best[1]))


def _begin(
    inside: Sides,
    sizes: Sequence[Sides],
    fixed: bool,
    seconds: float | None,
    effort: int | None,
    seed: int,
) -> _Work:
    n = len(sizes)
    work = _Work(
        inside=as_ints(inside),
        sizes=as_ints(sizes).reshape(n, 3),
        turned=np.empty((n, 6, 3), dtype=np.int64),
        turns=np.empty(n, dtype=np.int64),
        bin_of=np.empty(n, dtype=np.int64),
        places=np.empty((n, 6), dtype=np.int64),
        burden=np.ones(n, dtype=np.int64),
        deadline=float("inf") if seconds is None else time.process_time() + seconds,
        effort=2**62 if effort is None else effort,
        seed=seed,
    )
    freedom = np.full(n, FIXED if fixed else ANY, dtype=np.int64)
    if not turn_all(work.inside, work.sizes, freedom, work.turned, work.turns):
        raise ValueError(f"a box does not fit a bin of {inside} by itself")
    return work


def _allowed(work: _Work) -> list[tuple[Sides, ...]]:
    return [
        tuple((a, b, c) for a, b, c in turned[:count].tolist())
        for turned, count in zip(work.turned, work.turns, strict=True)
    ]


def _make_homeless(bin_of: Ints, volumes: Ints, bins: int) -> None:
    """Empty the bin with the least volume; the last bin takes its number."""
    load = np.zeros(bins, dtype=np.int64)
    np.add.at(load, bin_of, volumes)
    weakest = int(load.argmin())
    bin_of[bin_of == weakest] = HOMELESS
    bin_of[bin_of == bins - 1] = weakest


def _eliminate(work: _Work, bins: int) -> bool:
    """Work until all have homes in `bins` bins, or the limit is reached."""
    homeless = 1
    while homeless and not work.spent():
        effort = min(_CHUNK, work.effort)
        homeless = eliminate_kernel(
            work.inside,
            work.sizes,
            work.turned,
            work.turns,
            work.seed,
            effort,
            work.bin_of,
            work.places,
            work.burden,
            bins,
        )
        work.effort -= effort
        work.seed += 1
    return not homeless


def _as_places(corners: Ints) -> tuple[Place, ...]:
    return tuple(
        Place((x, y, z), (right - x, back - y, top - z))
        for x, y, z, right, back, top in corners.tolist()
    )
