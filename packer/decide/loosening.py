"""Limits with names, and what a problem becomes when some of them are relaxed.

In: a problem and limits with amounts. Out: the problem relaxed by just that much (`relaxed`), or
by as much as is ever of use (`loosest`), on which `packer.decide.relax` builds its model.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import IntEnum

from packer.decide.problem import SOFT_SHARE_PERCENT, CaseSpec, Line, Option, Problem
from packer.model.plan import Route

MOST_COPIES = 6  # of one kind of case, beyond those owned
MOST_OVER_G = 20_000  # how far the weight limit of hold pieces is relaxed


class Limit(IntEnum):
    """The kinds of limits, those that say most to a reader first; also the order of preference."""

    ROLE = 1
    BUNDLE = 2
    CABIN = 3
    CASES = 4
    WEIGHT = 5
    LINE = 6


@dataclass(frozen=True, slots=True)
class Named:
    """One limit: `index` counts roles, bundles, groups of cases or lines; 0 for cabin and weight.

    Roles count in the order of their first cap.
    """

    limit: Limit
    index: int = 0


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A limit that was relaxed, and by how much: units, further cases, pieces or grams a piece."""

    named: Named
    amount: int


def relaxed(problem: Problem, parts: Sequence[Relaxed]) -> Problem:
    """The problem with these limits relaxed by their amounts; a relaxed bundle is dissolved.

    Units let off flying count as covered. Prices stay as they are: it is asked only what packs.
    """
    for part in parts:
        problem = _RELAX[part.named.limit](problem, part.named.index, part.amount)
    return problem


def _with_role(problem: Problem, index: int, amount: int) -> Problem:
    role = roles_of(problem)[index]
    caps = (
        replace(cap, base=cap.base + amount) if cap.role == role else cap for cap in problem.roles
    )
    return replace(problem, roles=tuple(caps))


def _with_bundle(problem: Problem, index: int, _: int) -> Problem:
    return replace(problem, bundles=tuple(b for n, b in enumerate(problem.bundles) if n != index))


def _with_cabin(problem: Problem, _: int, amount: int) -> Problem:
    return replace(problem, cabin_pieces=problem.cabin_pieces + amount)


def _with_cases(problem: Problem, index: int, amount: int) -> Problem:
    return with_further(problem, {index: amount})


def _with_weight(problem: Problem, _: int, amount: int) -> Problem:
    cases = (replace(spec, options=_raised(spec.options, amount)) for spec in problem.cases)
    return replace(problem, cases=tuple(cases))


def _with_line(problem: Problem, index: int, amount: int) -> Problem:
    lines = (
        replace(line, least=line.least - amount) if line.index == index else line
        for line in problem.lines
    )
    return replace(problem, lines=tuple(lines))


_RELAX = {
    Limit.ROLE: _with_role,
    Limit.BUNDLE: _with_bundle,
    Limit.CABIN: _with_cabin,
    Limit.CASES: _with_cases,
    Limit.WEIGHT: _with_weight,
    Limit.LINE: _with_line,
}


def with_further(problem: Problem, further: Mapping[int, int]) -> Problem:
    """The problem with so many further cases in each group; they stand after all others."""
    cases = list(problem.cases)
    groups = [list(group) for group in problem.groups]
    for g, count in further.items():
        for n in range(count):
            spec = cases[groups[g][0]]
            twin = replace(spec.case, name=f"{spec.case.name} (further {n + 1})")
            cases.append(replace(spec, index=len(cases), case=twin))
            groups[g].append(len(cases) - 1)
    lines = tuple(
        replace(line, cases=(*line.cases, *_twins(groups, cases, line.cases, len(problem.cases))))
        for line in problem.lines
    )
    table = problem.pieces_minor
    return replace(
        problem, lines=lines, cases=tuple(cases), groups=tuple(map(tuple, groups)),
        pieces_minor=table + table[-1:] * (len(cases) - len(problem.cases)),
    )  # fmt: skip


def _twins(
    groups: list[list[int]], cases: list[CaseSpec], chosen: tuple[int, ...], owned: int
) -> list[int]:
    """The further cases (from number `owned` on) of the groups that the chosen ones are in."""
    return sorted({k for g in {cases[c].group for c in chosen} for k in groups[g] if k >= owned})


def roles_of(problem: Problem) -> tuple[str, ...]:
    """The roles that have a cap, in the order that `Named` counts."""
    return tuple(dict.fromkeys(cap.role for cap in problem.roles))


def loosest(problem: Problem) -> Problem:
    """The problem without roles, bundles, prices, and with more and stronger cases than owned."""
    copies = {g: _copies(problem, group) for g, group in enumerate(problem.groups)}
    wide = with_further(problem, copies)
    lines = (replace(line, least=0, most=_useful(problem, line), stops=()) for line in wide.lines)
    cases = (
        replace(spec, options=_raised(undominated(spec.options), MOST_OVER_G))
        for spec in wide.cases
    )
    return replace(
        wide, bills=(), lines=tuple(lines), cases=tuple(cases), roles=(), bundles=(), hires=(),
        pieces_minor=(0,) * (len(wide.cases) + 1), cabin_pieces=len(wide.cases), freight=None,
    )  # fmt: skip


def _useful(problem: Problem, line: Line) -> int:
    """Units beyond those that must fly help only a role's rule, or a weight across a gap."""
    swings = any(line.index in cap.swing for cap in problem.roles)
    gaps = any(o.above_g >= spec.tare_g for spec in problem.cases for o in spec.options)
    return line.most if swings or gaps else line.least


def undominated(options: tuple[Option, ...]) -> tuple[Option, ...]:
    """The ways to travel, without cost; of those within another the other."""
    free = dict.fromkeys(replace(option, cost_minor=0) for option in options)
    return tuple(o for o in free if not any(p != o and _within(o, p) for p in free))


def _within(small: Option, large: Option) -> bool:
    same = small.route is large.route
    return same and large.above_g <= small.above_g and small.upto_g <= large.upto_g


def _raised(options: tuple[Option, ...], amount_g: int) -> tuple[Option, ...]:
    """The ways to travel with the most that the hold takes raised."""
    top_g = max((o.upto_g for o in options if o.route is Route.HOLD), default=0)
    return tuple(
        replace(o, upto_g=o.upto_g + amount_g) if o.route is Route.HOLD and o.upto_g == top_g else o
        for o in options
    )


def _copies(problem: Problem, group: tuple[int, ...]) -> int:
    """As many further cases as hold all that must fly in such cases, by sums; a few at most."""
    spec = problem.cases[group[0]]
    lines = [line for line in problem.lines if line.least and spec.index in line.cases]
    if not lines:
        return 0
    return min(MOST_COPIES, max(1, -int(-sum(_share(spec, line) for line in lines) // 1)))


def _share(spec: CaseSpec, line: Line) -> float:
    """What part of a case the units that must fly fill, by whatever they fill most."""
    gear, case = line.gear, spec.case
    shares = [
        gear.weight_g / max(1, spec.most_content_g),
        (gear.rack_half_units or 0) / max(1, case.rack_half_units or 1),
        1 / max(1, case.slots or 1) if gear.slot is not None else 0.0,
        line.grown_mm3 / max(1, spec.volume_mm3),
        100 * line.soft_mm3 / max(1, SOFT_SHARE_PERCENT * spec.volume_mm3),
    ]
    return line.least * max(shares)
