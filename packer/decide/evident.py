"""Conflicts that counting proves at once: more must fly than cases, roles or bundles take.

Whatever else stands in the way, each of these does, so that it can be named where the model of
`packer.decide.relax` is too large to be solved in the time. In: a problem. Out: the limits that
every plan breaks, each with the least amount by which it is broken.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packer.decide.loosening import Limit, Named, Relaxed, roles_of
from packer.decide.problem import Line, Problem, RoleCap
from packer.decide.sums import fewest_cabin_pieces, shortages


def evident(problem: Problem) -> tuple[Relaxed, ...]:
    """What no plan keeps, with the least amount: units (a role), further cases (a bundle, cases
    owned of a kind) or pieces (the cabin)."""
    return (*_roles(problem), *_bundles(problem), *_cabin(problem), *_cases(problem))


def _roles(problem: Problem) -> Iterator[Relaxed]:
    for index, role in enumerate(roles_of(problem)):
        caps = [cap for cap in problem.roles if cap.role == role]
        amount = max(_too_many(problem, cap) for cap in caps)
        if amount > 0:
            yield Relaxed(Named(Limit.ROLE, index), amount)


def _too_many(problem: Problem, cap: RoleCap) -> int:
    """How many units too many some case holds at least, by pigeonholes; at most 0 where none.

    Lines whose cases are all among those of one line share them, at best evenly.
    """
    lines = [problem.lines[i] for i in cap.lines if problem.lines[i].least]
    allowed = cap.base + sum(problem.lines[i].most for i in cap.swing)
    return max((_fullest(lines, set(line.cases)) - allowed for line in lines), default=0)


def _fullest(lines: Sequence[Line], cases: set[int]) -> int:
    """The least that the fullest of the cases holds of what may go nowhere else."""
    must = sum(line.least for line in lines if cases.issuperset(line.cases))
    return -(-must // len(cases)) if cases else 0


def _bundles(problem: Problem) -> Iterator[Relaxed]:
    for index, bundle in enumerate(problem.bundles):
        lines = [problem.lines[i] for i in bundle if problem.lines[i].least]
        if lines and not _go_together(problem, lines):
            yield Relaxed(Named(Limit.BUNDLE, index), 1)


def _cabin(problem: Problem) -> Iterator[Relaxed]:
    more = fewest_cabin_pieces(problem) - problem.cabin_pieces
    if more > 0:
        yield Relaxed(Named(Limit.CABIN), more)


def _cases(problem: Problem) -> Iterator[Relaxed]:
    for group, over in shortages(problem).items():
        yield Relaxed(Named(Limit.CASES, group), over.further)


def _go_together(problem: Problem, lines: Sequence[Line]) -> bool:
    """Whether some case takes all the lines and the weight of what must fly of them."""
    shared = set(lines[0].cases).intersection(*(line.cases for line in lines))
    must_g = sum(line.least * line.gear.weight_g for line in lines)
    return any(problem.cases[c].most_content_g >= must_g for c in shared)
