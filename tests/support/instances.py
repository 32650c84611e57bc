"""Published bin packing instances, and instances made by published rules.

Files are looked for in `../shared/bench` beside the project; they are data, not part of it.
"""

from __future__ import annotations

import csv
import random
from dataclasses import dataclass
from pathlib import Path

BENCH = Path(__file__).resolve().parents[3] / "shared" / "bench"

Sides = tuple[int, int, int]


def absence() -> str | None:
    """Why the published files cannot be used, or None if they are there."""
    return None if (BENCH / "mpv").is_dir() else f"published instances are not at {BENCH}"


@dataclass(frozen=True)
class Boxes:
    """Boxes for identical bins. `l2`: the published kind of lower bound; 0 where unknown."""

    name: str
    inside: Sides
    sizes: tuple[Sides, ...]
    l2: int = 0


def mpv(
    classes: tuple[int, ...] = (1, 4, 5, 6, 7, 8), numbers: range = range(1, 11)
) -> list[Boxes]:
    """Instances of Martello, Pisinger and Vigo, Operations Research 48 (2000), from the files."""
    with (BENCH / "mpv_lower_bounds.csv").open() as file:
        rows = list(csv.DictReader(file))
    return [
        _read(row["instance"], int(row["L2"]))
        for row in rows
        if int(row["class"]) in classes and int(row["idx"]) in numbers
    ]


def _read(name: str, l2: int) -> Boxes:
    lines = (BENCH / "mpv" / f"{name}.txt").read_text().splitlines()
    rows = [tuple(map(int, line.split())) for line in lines if line.strip()]
    count, *inside = rows[0]
    sizes = [(a, b, c) for a, b, c in rows[1 : count + 1]]
    return Boxes(name, (inside[0], inside[1], inside[2]), tuple(sizes), l2)


def made_like_mpv(kind: int, count: int, seed: int) -> Boxes:
    """Boxes by the rules of classes 1 to 8 of the same paper, from random numbers of our own."""
    rng = random.Random(1000 * kind + seed)
    if kind >= 6:
        room, most = {6: (10, 10), 7: (40, 35), 8: (100, 100)}[kind]
        sizes = [_uniform(rng, ((1, most),) * 3) for _ in range(count)]
        return Boxes(f"like {kind}-{count}-{seed}", (room,) * 3, tuple(sizes))
    small, large, half = (1, 50), (67, 100), (50, 100)
    types = {
        1: (small, large, large),
        2: (large, small, large),
        3: (large, large, small),
        4: (half, half, half),
        5: (small, small, small),
    }
    weights = [60 if k == kind else 10 for k in types]
    drawn = rng.choices(list(types), weights, k=count)
    sizes = [_uniform(rng, types[k]) for k in drawn]
    return Boxes(f"like {kind}-{count}-{seed}", (100, 100, 100), tuple(sizes))


def _uniform(rng: random.Random, ranges: tuple[tuple[int, int], ...]) -> Sides:
    a, b, c = (rng.randint(low, high) for low, high in ranges)
    return (a, b, c)


def triplets(count: int, seed: int, capacity: int = 1000) -> list[int]:
    """Sizes of which three fill each bin exactly, by the rule measured on Falkenauer's files.

    E. Falkenauer, Journal of Heuristics 2 (1996). The optimum is count / 3. Shuffled, since in
    the files the three of a triplet stand side by side.
    """
    rng = random.Random(seed)
    sizes: list[int] = []
    for _ in range(count // 3):
        a = rng.randint(capacity * 35 // 100, capacity // 2 - 1)
        b = rng.randint(capacity // 4, (capacity - a) // 2)
        sizes += [a, b, capacity - a - b]
    rng.shuffle(sizes)
    return sizes


@dataclass(frozen=True)
class Weights:
    """A one-dimensional instance in integers, and the number of bins its file gives."""

    name: str
    capacity: int
    sizes: tuple[int, ...]
    stated: int


STALE = {"u120_08": 50, "u120_19": 49, "u250_07": 103, "u250_12": 105}
"""Where the files state one bin more than is needed; each is proved by its own packing."""


def falkenauer(group: str) -> list[Weights]:
    """Instances `t60`, `t120`, `t249`, `t501`, `u120`, ... from the files, shuffled."""
    return [_read_weights(path) for path in sorted((BENCH / "binpack1d").glob(f"{group}_*.txt"))]


def _read_weights(path: Path) -> Weights:
    name, head, *rest = path.read_text().split("\n")
    capacity, count, stated = head.split()
    sizes = [round(float(line) * 10) for line in rest[: int(count)]]
    random.Random(1).shuffle(sizes)
    name = path.stem
    return Weights(name, round(float(capacity) * 10), tuple(sizes), STALE.get(name, int(stated)))
