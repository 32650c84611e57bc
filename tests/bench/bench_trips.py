"""Whole trips: how soon a judged plan, how soon proved, and how far from proof.

    python tests/bench/bench_trips.py [SIZE] [SECONDS] [FIRST SEED] [LAST SEED]

Trips come from the seeded generator (tests/support/trips.py), all flavours that have a plan.
Prints a line for each and the medians; asserts nothing but that the judge finds no breach.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2])]
sys.path.append(str(Path(__file__).resolve().parents[1]))

from support.trips import FLAVOURS, generate  # noqa: E402

from packer.decide import decide, warm_up  # noqa: E402
from packer.judge import judge  # noqa: E402
from packer.model.solving import Limits, Progress  # noqa: E402


def one(flavour: str, size: str, seed: int, seconds: float) -> tuple[float, float, float, bool]:
    """(seconds to the first plan, seconds in all, gap, proved) of one trip, printed."""
    trip = generate(flavour, size, seed)
    first: list[float] = []

    def heard(progress: Progress) -> None:
        if progress.best_minor is not None and not first:
            first.append(progress.seconds)

    begun = time.monotonic()
    answer = decide(trip, Limits(seconds=seconds), on_progress=heard)
    took = time.monotonic() - begun
    if answer.plan is None:
        print(f"{flavour:15} {seed:4}  {answer.outcome.name}")
        return (seconds, took, 1.0, False)
    breaches = judge(trip, answer.plan).breaches
    if breaches:
        raise AssertionError(f"{flavour} {size} {seed}: {breaches[0]}")
    cost, bound = answer.plan.objective_minor, answer.plan.bound_minor
    gap = (cost - bound) / cost if cost else 0.0
    print(
        f"{flavour:15} {seed:4}  first {first[0]:6.2f} s  all {took:6.1f} s  cost {cost:9}  "
        f"bound {bound:9}  gap {gap:6.2%}  pieces {len(answer.plan.pieces)}",
        flush=True,
    )
    return (first[0], took, gap, gap == 0.0)


def main(size: str = "small", seconds: str = "10", low: str = "1", high: str = "3") -> None:
    """Runs the table of one size."""
    warm_up()
    rows = [
        one(flavour, size, seed, float(seconds))
        for flavour in FLAVOURS
        if not flavour.startswith("impossible")
        for seed in range(int(low), int(high) + 1)
    ]
    print(
        f"{size}, {seconds} s: {sum(row[3] for row in rows)} of {len(rows)} proved; medians: "
        f"first {statistics.median(row[0] for row in rows):.2f} s, "
        f"all {statistics.median(row[1] for row in rows):.1f} s, "
        f"gap {statistics.median(row[2] for row in rows):.2%}; worst gap "
        f"{max(row[2] for row in rows):.2%}"
    )


if __name__ == "__main__":
    main(*sys.argv[1:])
