"""The first plans: what to fly by a simple measure, packed by best fit, several measures tried."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packer.decide.construct import Builder, OpenCase, Parcel, open_cases, parcels_of
from packer.decide.problem import Line, Option, Problem
from packer.decide.sketch import Sketch
from packer.decide.space import Space
from packer.model.plan import Route

EFFORT = 4_000  # looks at empty spaces for one question of the builder
SHARES = (0.0, 0.15, 0.3, 0.5, 0.7, 0.85, 1.0)
MOST_ROUNDS = 12
NOTHING = Sketch(())


def first_sketches(problem: Problem, space: Space) -> Iterator[Sketch]:
    """Complete plans that really pack, for growing shares of what could fly."""
    ranked = sorted(
        (line for line in problem.lines if line.most > line.least),
        key=lambda line: (-saving_per_share(problem, line), line.index),
    )
    for share in SHARES:
        chosen = {line.index for line in ranked[: round(share * len(ranked))]}
        flown = [line.most if line.index in chosen else line.least for line in problem.lines]
        built = pack(problem, space, flown)
        if built is not None:
            yield built


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


def incomplete_sketch(problem: Problem, space: Space) -> Sketch:
    """What must fly, packed as far as it goes: a start for finding room for the rest."""
    flown = [line.least for line in problem.lines]
    builder = Builder(problem, space, flown, EFFORT)
    fill(problem, builder, parcels_of(problem, flown))
    return builder.sketch()


def pack(
    problem: Problem, space: Space, flown: Sequence[int], given: Sketch = NOTHING
) -> Sketch | None:
    """Packs what is to fly; what finds no case is hired instead if it can be, else None.

    `given` holds loads that stand already and are filled up.
    """
    wanted = list(flown)
    for _ in range(MOST_ROUNDS):
        builder = Builder(problem, space, wanted, EFFORT)
        builder.adopt(open_cases(problem, given))
        missing = [n - had for n, had in zip(wanted, given.flown(len(wanted)), strict=True)]
        left = fill(problem, builder, parcels_of(problem, [max(0, n) for n in missing]))
        if not left:
            return builder.sketch()
        before = list(wanted)
        for parcel in left:
            for line, count in parcel:
                wanted[line] = max(problem.lines[line].least, wanted[line] - count)
        if wanted == before:
            return None
    return None


def fill(problem: Problem, builder: Builder, parcels: Sequence[Parcel]) -> list[Parcel]:
    """Puts each parcel in the open case it fills best, or opens one; returns what is left."""
    left: list[Parcel] = []
    failed: set[Parcel] = set()
    for parcel in parcels:
        if parcel in failed:
            left.append(parcel)
        elif not _into_open(builder, parcel) and not _into_new(problem, builder, parcel):
            failed.add(parcel)
            left.append(parcel)
    return left


def _into_open(builder: Builder, parcel: Parcel) -> bool:
    fitting = sorted(builder.open.values(), key=lambda case: (case.left_g, case.spec.index))
    return any(builder.add(case, parcel) for case in fitting)


def _into_new(problem: Problem, builder: Builder, parcel: Parcel) -> bool:
    for _, _, case, option in sorted(openings(problem, builder, parcel), key=lambda o: o[:3]):
        opened: OpenCase = builder.open_case(case, option)
        if builder.add(opened, parcel):
            return True
        builder.close_empty(case)
    return False


def openings(
    problem: Problem, builder: Builder, parcel: Parcel
) -> Iterator[tuple[float, int, int, Option]]:
    """Cases to open, the first of each group, with the cost of each gram of room."""
    cases = set(problem.lines[parcel[0][0]].cases)
    routes = problem.lines[parcel[0][0]].routes
    for group in problem.groups:
        unused = next((c for c in group if c in cases and c not in builder.open), None)
        if unused is None:
            continue
        spec = problem.cases[unused]
        for option in spec.options:
            if option.route in routes and builder.may_open(option) and option.above_g < spec.tare_g:
                yield (
                    _price(problem, builder, option, spec.tare_g),
                    -spec.volume_mm3,
                    unused,
                    option,
                )


def _price(problem: Problem, builder: Builder, option: Option, tare_g: int) -> float:
    """Rough cost of each gram of room in a new case: its next piece fee, its option, its tare."""
    room_g = max(1, option.upto_g - tare_g)
    if option.route is Route.CABIN:
        return 0.0
    if option.route is Route.FREIGHT:
        rate = problem.freight.rate_per_kg.minor if problem.freight else 0
        return (rate * option.upto_g / 1000 + 1) / room_g
    pieces = sum(case.ceiling.route is Route.HOLD for case in builder.open.values())
    table = problem.pieces_minor
    fee = table[min(pieces + 1, len(table) - 1)] - table[min(pieces, len(table) - 1)]
    by_kg = sum(bill.rule.per_kg_minor for bill in problem.bills) * option.upto_g / 1000
    return (fee + option.cost_minor + by_kg + 1) / room_g
