"""Weights into the fewest bins: published groups and fresh triplets.

    python tests/bench/bench_one_dim.py [GROUP ...]     # t60 t120 t249 t501 u120 u250

Prints a table; asserts nothing.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[1])]

from support.instances import Weights, absence, falkenauer, triplets  # noqa: E402

from packer.geometry.one_dim import min_bins  # noqa: E402


def show(name: str, instances: Sequence[Weights]) -> None:
    """One line: how many were proved, at the stated number, and the seconds."""
    proved, equal, spent = 0, 0, []
    for one in instances:
        begun = time.perf_counter()
        found = min_bins(one.sizes, one.capacity, seconds=60)
        spent.append(time.perf_counter() - begun)
        proved += found.bins == found.bound
        equal += found.bins == one.stated
    mean = sum(spent) / len(spent)
    print(
        f"{name:14} {len(spent):3} instances, proved {proved:3}, at the known optimum {equal:3}, "
        f"mean {mean:6.2f} s, longest {max(spent):6.2f} s",
        flush=True,
    )


def fresh(count: int) -> list[Weights]:
    """Ten triplet instances from our own random numbers."""
    return [
        Weights(f"{count}-{seed}", 1000, tuple(triplets(count, seed)), count // 3)
        for seed in range(10)
    ]


if __name__ == "__main__":
    min_bins([3, 4, 5], 7)
    if absence() is None:
        for group in sys.argv[1:] or ["t60", "t120", "t249", "t501", "u120", "u250"]:
            show(group, falkenauer(group))
    else:
        print(absence())
    for count in (60, 120, 249, 501):
        show(f"fresh t{count}", fresh(count))
