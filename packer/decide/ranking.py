"""Simple measures of a line: how large a unit is, and what flying it saves by the room it takes."""

from __future__ import annotations

from packer.decide.problem import Line, Problem
from packer.model.plan import Route

WHOLE_G, WHOLE_MM3 = 25_000, 120_000_000  # a full case, roughly


def size_rank(line: Line) -> float:
    """Weight and volume of a unit as shares of a full case, added up."""
    return line.gear.weight_g / WHOLE_G + (line.grown_mm3 or line.soft_mm3) / WHOLE_MM3


def saving_per_share(problem: Problem, line: Line) -> float:
    """What flying one unit saves in hire and worth, by the share of a case that it takes."""
    saved = problem.worth_minor[line.index]
    for s in line.stops:
        hire = problem.hires[s]
        prices = [offer.price_minor for offer in hire.offers_for(line.index)]
        kits = [kit.price_minor // len(kit.lines) for kit in hire.kits_for(line.index)]
        saved += min(prices + kits, default=0)
    room_g = max((problem.cases[c].most_content_g for c in line.cases), default=1)
    volume = max((problem.cases[c].volume_mm3 for c in line.cases), default=1)
    share = max(
        line.gear.weight_g / max(1, room_g), (line.grown_mm3 or line.soft_mm3) / max(1, volume)
    )
    return saved / max(share, 1e-6)


def hardness(problem: Problem, line: Line) -> float:
    """The share that a unit takes of its roomiest case; cabin goods come first."""
    if not line.cases:
        return 0.0
    room_g = max(problem.cases[c].most_content_g for c in line.cases)
    volume = max(problem.cases[c].volume_mm3 for c in line.cases)
    size = (line.grown_mm3 or line.soft_mm3) / max(1, volume)
    cabin = line.routes == frozenset({Route.CABIN})
    return cabin + max(line.gear.weight_g / max(1, room_g), size)
