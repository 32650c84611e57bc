"""Does a set of boxes fit a case: how quick, and how often an answer.

    python tests/bench/bench_fit.py [INSTANCES]

Two kinds of sets: boxes cut from a case and shrunk (a packing exists), and random ones scaled to
the fill (unknown). Prints tables; asserts nothing.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[1])]

from support.packing import cut_up  # noqa: E402

from packer.geometry import Fit, Fitter, Item, Verdict, warm_up  # noqa: E402

CLEAR = 5
Set = tuple[tuple[int, int, int], list[Item]]


def cut_sets(fill: float, count: int, many: int) -> list[Set]:
    """Cases cut into `count` boxes, each shrunk so that they fill about `fill`."""
    rng = random.Random(f"{fill} {count}")
    sets = []
    for _ in range(many):
        inside = (rng.randint(500, 1200), rng.randint(400, 700), rng.randint(300, 700))
        sides = [[int(x * fill ** (1 / 3)) for x in of] for of in cut_up(rng, inside, count, 40)]
        for of in sides:
            rng.shuffle(of)
        sets.append((inside, [_item(*of) for of in sides]))
    return sets


def random_sets(fill: float, count: int, many: int) -> list[Set]:
    """Boxes with sides between 0.3 and 1.5 of a unit, scaled so that they fill `fill`."""
    rng = random.Random(f"random {fill} {count}")
    inside = (1100, 550, 500)
    sets = []
    for _ in range(many):
        raw = [[rng.uniform(0.3, 1.5) for _ in range(3)] for _ in range(count)]
        volume = sum(a * b * c for a, b, c in raw)
        unit = (fill * inside[0] * inside[1] * inside[2] / volume) ** (1 / 3)
        sets.append((inside, [_item(*(int(unit * x) for x in of)) for of in raw]))
    return sets


def _item(a: int, b: int, c: int) -> Item:
    return Item((max(1, a - CLEAR), max(1, b - CLEAR), max(1, c - CLEAR)))


def timed(sets: list[Set], exact: bool) -> tuple[Counter[Verdict], float, float]:
    """Verdicts, median and longest milliseconds, each set asked of a new `Fitter`."""
    verdicts: Counter[Verdict] = Counter()
    spent = []
    for inside, items in sets:
        fitter = Fitter(CLEAR)
        begun = time.perf_counter()
        fit: Fit = fitter.decide(inside, items) if exact else fitter.quick(inside, items)
        spent.append(1000 * (time.perf_counter() - begun))
        verdicts[fit.verdict] += 1
    return verdicts, statistics.median(spent), max(spent)


def show(name: str, sets: list[Set], exact: bool) -> None:
    """One line of the table."""
    verdicts, median, longest = timed(sets, exact)
    counts = "  ".join(f"{v.value} {verdicts[v]:3}" for v in Verdict)
    print(f"{name:34} {counts}  median {median:8.3f} ms  longest {longest:8.1f} ms", flush=True)


if __name__ == "__main__":
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 25
    warm_up()
    for fill in (0.5, 0.65, 0.75):
        for count in (5, 8, 12, 20):
            show(f"quick, cut, {fill:.0%}, {count} boxes", cut_sets(fill, count, many), False)
            show(f"quick, random, {fill:.0%}, {count} boxes", random_sets(fill, count, many), False)
    for fill in (0.8, 0.9, 0.95):
        for count in (4, 6, 8, 10):
            show(f"decide, cut, {fill:.0%}, {count} boxes", cut_sets(fill, count, many), True)
            show(f"decide, random, {fill:.0%}, {count} boxes", random_sets(fill, count, many), True)
