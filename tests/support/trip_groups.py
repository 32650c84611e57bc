"""Roles, kits, Pack with and Only in of generated trips, where a plan can still satisfy them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random

from packer.model.trip import Carry, Case, CaseKind, Choice, Gear, Trip

CLEARANCE_MM = 5


def class_of(line: Gear) -> str:
    """The class of cases that a line competes for."""
    if line.carry is Carry.CABIN or (line.battery and line.battery.spare):
        return "cabin"
    if line.slot:
        return f"slots {line.slot}"
    return str(line.case_kind)


def _fits(line: Gear, case: Case) -> bool:
    if line.case_kind is not case.kind or line.size is None:
        return False
    if line.slot or line.rack_half_units:
        return line.slot == case.slot
    inside = case.inside
    if inside is None or (class_of(line) == "cabin") != (case.carry is not Carry.HOLD):
        return False
    sides = [side + CLEARANCE_MM for side in line.size.sides]
    if not line.upright:
        pairs = zip(sorted(sides), sorted(inside.sides), strict=True)
        return all(side <= limit for side, limit in pairs)
    flat = zip(sorted(sides[:2]), sorted(inside.sides[:2]), strict=True)
    return sides[2] <= inside.height_mm and all(side <= limit for side, limit in flat)


def with_roles(rng: Random, count: int, lines: Sequence[Gear]) -> tuple[Gear, ...]:
    """Give some lines roles: most need all but one of their units, which leaves a spare."""
    marked = list(lines)
    able = [i for i, line in enumerate(lines) if line.quantity >= 2 and not line.soft]
    rng.shuffle(able)
    wanted = max(count, count * len(lines) // 40)
    for number, i in enumerate(able[:wanted], start=1):
        line = marked[i]
        spare = 1 if rng.random() < 0.85 else 0
        marked[i] = replace(line, role=f"Part {number}", role_needs=line.quantity - spare)
    return tuple(marked)


def with_groups(
    rng: Random, flavour: str, lines: Sequence[Gear], cases: Sequence[Case]
) -> tuple[Gear, ...]:
    """Put some lines into kits and some light pairs together in one case."""
    marked = _with_kits(rng, flavour, list(lines))
    return tuple(_with_pairs(rng, marked, cases))


def _with_kits(rng: Random, flavour: str, lines: list[Gear]) -> list[Gear]:
    kits = len(lines) // (8 if flavour == "tangled-hires" else 25)
    if len(lines) < 8:
        kits = 1 if flavour == "tangled-hires" or rng.random() < 0.4 else 0
    free = [i for i, line in enumerate(lines) if line.choice is Choice.EITHER]
    rng.shuffle(free)
    for number in range(1, kits + 1):
        some = [free.pop() for _ in range(min(len(free), rng.randint(2, 4)))]
        for i in some:
            lines[i] = replace(lines[i], kit=f"Rig {number}")
    return lines


def _with_pairs(rng: Random, lines: list[Gear], cases: Sequence[Case]) -> list[Gear]:
    light = [
        i
        for i, line in enumerate(lines)
        if line.case_kind is CaseKind.BOX and not line.role and class_of(line) != "cabin"
        and line.quantity * line.weight_g <= 5_000 and line.size
        and line.quantity * line.size.volume_mm3 <= 9_000_000
    ]  # fmt: skip
    rng.shuffle(light)
    for number in range(max(1, len(lines) // 30)):
        pair, light = light[:2], light[2:]
        both_fly = all(lines[i].choice is Choice.FLY for i in pair)
        if (
            not both_fly
            and len(pair) == 2
            and any(_fits(lines[pair[0]], case) and _fits(lines[pair[1]], case) for case in cases)
        ):
            for i in pair:
                lines[i] = replace(lines[i], pack_with=f"Bundle {number + 1}")
    return lines


def with_finer_points(rng: Random, trip: Trip) -> Trip:
    """Only in for some lines, roles shared by two lines, cases with a lower Most gross.

    None of it touches lines that must fly, and no Most gross is below what a witness packed.
    """
    lines = _with_only_in(rng, list(trip.gear), trip.cases)
    lines = _with_shared_roles(rng, lines)
    runs = dict.fromkeys(case.run for case in trip.cases)
    lower = {run: rng.choice((None, 24_000, 26_500, 29_000)) for run in runs}
    cases = tuple(
        replace(case, most_gross_g=lower[case.run]) if lower[case.run] else case
        for case in trip.cases
    )
    return replace(trip, gear=tuple(lines), cases=cases)


def _with_only_in(rng: Random, lines: list[Gear], cases: Sequence[Case]) -> list[Gear]:
    for i, line in enumerate(lines):
        fitting = [case for case in cases if _fits(line, case)]
        free = line.choice is Choice.EITHER and not line.pack_with and fitting
        if free and rng.random() < (0.15 if len(lines) < 8 else 0.04):
            run = rng.choice(fitting).run
            whole = tuple(case.name for case in cases if case.run == run)
            lines[i] = replace(line, only_in=rng.choice((whole, whole[:1])))
    return lines


def _with_shared_roles(rng: Random, lines: list[Gear]) -> list[Gear]:
    free = [i for i, line in enumerate(lines) if line.choice is Choice.EITHER and not line.role]
    rng.shuffle(free)
    for number in range(max(1, len(lines) // 40)):
        pair, free = free[:2], free[2:]
        if len(pair) == 2 and rng.random() < 0.7:
            for i in pair:
                lines[i] = replace(lines[i], role=f"Double {number + 1}", role_needs=1)
    return lines
