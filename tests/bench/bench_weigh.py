"""Mends after a weigh-in: how many moves, whether proved fewest, and how long it took.

    python tests/bench/bench_weigh.py [SIZE] [SECONDS FOR THE PLAN] [SEED]

For each flavour that has a plan: one case found heavier by 1.4 kg, three by 2 kg, and all cases
within 3 per cent of their list (seeded). Prints a line for each; asserts nothing but that the
judge accepts each row of the menu.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from random import Random

sys.path[:0] = [str(Path(__file__).resolve().parents[2])]
sys.path.append(str(Path(__file__).resolve().parents[1]))

from support.trips import FLAVOURS, generate  # noqa: E402

from packer.decide import decide, warm_up  # noqa: E402
from packer.model.plan import Plan  # noqa: E402
from packer.model.solving import Limits  # noqa: E402
from packer.model.trip import Trip  # noqa: E402
from packer.road.repair import mend  # noqa: E402
from packer.road.scales import weigh_in  # noqa: E402


def weights(plan: Plan, rng: Random) -> dict[str, dict[str, int]]:
    """What the scale says in three ways, in grams by case."""
    listed = {p.case: p.empty_g + p.contents_g for p in plan.pieces}
    heaviest = sorted(listed, key=lambda case: -listed[case])
    return {
        "one +1.4 kg": {case: listed[case] + 1_400 for case in heaviest[:1]},
        "three +2 kg": {case: listed[case] + 2_000 for case in heaviest[:3]},
        "all within 3 %": {
            case: listed[case] * rng.randint(970, 1_030) // 1_000 for case in listed
        },
    }


def one(trip: Trip, plan: Plan, name: str, cases_g: dict[str, int]) -> None:
    """Weighs, mends and prints."""
    weighing = weigh_in(trip, plan, cases_g)
    begun = time.monotonic()
    menu = mend(weighing.trip, weighing.plan)
    took_s = time.monotonic() - begun
    rows = [
        f"{len(c.moves)} moves{'' if c.proved else ' (not proved)'}, "
        f"{c.verdict.costs.objective_minor}"
        for c in menu.choices
    ]
    print(f"  {name:15} {took_s:5.2f} s  {'; '.join(rows) or 'nothing found'}", flush=True)
    if not all(choice.verdict.accepted for choice in menu.choices):
        raise AssertionError(name)


def main(size: str = "medium", seconds: str = "5", seed: str = "1") -> None:
    """Runs the flavours of one size."""
    warm_up()
    for flavour in FLAVOURS:
        if flavour.startswith("impossible"):
            continue
        trip = generate(flavour, size, int(seed))
        plan = decide(trip, Limits(seconds=float(seconds))).plan
        if plan is None:
            print(f"{flavour} {seed}: no plan")
            continue
        print(f"{flavour} {seed}, {len(plan.pieces)} pieces")
        for name, cases_g in weights(plan, Random(seed)).items():
            one(trip, plan, name, cases_g)


if __name__ == "__main__":
    main(*sys.argv[1:])
