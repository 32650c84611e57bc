"""One-dimensional bin packing as a flow: can these sizes be put into exactly so many bins.

A bin is a path from 0 to the capacity in a graph whose arcs are items; sizes fall along a path.
Source: J. M. Valério de Carvalho, "Exact solution of bin-packing problems using column generation
and branch-and-bound", Annals of Operations Research 86 (1999). One reduction is what makes it
quick here: with the number of bins fixed, the total waste is known, and no bin may waste more than
that; nodes from which the end cannot be reached within it are dropped.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from ortools.math_opt.python import mathopt
from ortools.sat.python import cp_model

from packer.geometry.items import Verdict

MOST_ARCS = 20_000

Arc = tuple[int, int, int]
"""Tail, head, size; a size of 0 is waste."""


@dataclass(frozen=True, slots=True)
class Flow:
    """The verdict; with YES the sizes in each bin."""

    verdict: Verdict
    patterns: tuple[tuple[int, ...], ...] = ()


def arcs_for(sizes: Sequence[int], capacity: int, bins: int) -> list[Arc] | None:
    """The graph for `bins` bins; None where it has more than MOST_ARCS arcs."""
    waste = bins * capacity - sum(sizes)
    arcs: set[Arc] = set()
    nodes = {0}
    for size, count in sorted(Counter(sizes).items(), reverse=True):
        frontier = set(nodes)
        for _ in range(count):
            steps = {(u, u + size, size) for u in frontier if u + size <= capacity}
            arcs |= steps
            frontier = {head for _, head, _ in steps}
            nodes |= frontier
        if len(arcs) > 4 * MOST_ARCS:
            return None
    arcs |= {(u, capacity, 0) for u in nodes if capacity - waste <= u < capacity}
    kept = _leading_to(capacity, arcs)
    return kept if len(kept) <= MOST_ARCS else None


def _leading_to(end: int, arcs: set[Arc]) -> list[Arc]:
    """The arcs on a way to `end`, sorted."""
    before: dict[int, list[Arc]] = defaultdict(list)
    for arc in arcs:
        before[arc[1]].append(arc)
    seen, open_nodes, kept = {end}, [end], []
    while open_nodes:
        for arc in before[open_nodes.pop()]:
            kept.append(arc)
            if arc[0] not in seen:
                seen.add(arc[0])
                open_nodes.append(arc[0])
    return sorted(kept)


def seek_flow(
    sizes: Sequence[int], capacity: int, bins: int, arcs: Sequence[Arc], seconds: float
) -> Flow:
    """Look for a packing into `bins` bins by linear programming and branching (HiGHS).

    NO here rests on floating point: let `prove_no_flow` confirm it.
    """
    model = mathopt.Model()
    counts = Counter(sizes)
    flows = [
        model.add_integer_variable(lb=0, ub=counts[size] if size else bins) for _, _, size in arcs
    ]
    for terms, total in _rows(counts, capacity, bins, arcs):
        model.add_linear_constraint(mathopt.fast_sum(sign * flows[k] for k, sign in terms) == total)
    limit = timedelta(seconds=max(seconds, 0.01))
    result = mathopt.solve(
        model, mathopt.SolverType.HIGHS, params=mathopt.SolveParameters(time_limit=limit)
    )
    if result.has_primal_feasible_solution():
        values = [round(result.variable_values(flow)) for flow in flows]
        return Flow(Verdict.YES, _paths(capacity, arcs, values))
    reason = result.termination.reason
    refused = reason == mathopt.TerminationReason.INFEASIBLE
    return Flow(Verdict.NO if refused else Verdict.UNKNOWN)


def prove_no_flow(
    sizes: Sequence[int],
    capacity: int,
    bins: int,
    arcs: Sequence[Arc],
    seconds: float,
    seed: int = 0,
) -> Flow:
    """The same question in exact integers (CP-SAT, one worker)."""
    model = cp_model.CpModel()
    counts = Counter(sizes)
    flows = [model.new_int_var(0, counts[size] if size else bins, "") for _, _, size in arcs]
    for terms, total in _rows(counts, capacity, bins, arcs):
        chosen, signs = [flows[k] for k, _ in terms], [sign for _, sign in terms]
        model.add(cp_model.LinearExpr.weighted_sum(chosen, signs) == total)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False
    solver.parameters.random_seed = seed
    solver.parameters.max_time_in_seconds = max(seconds, 0.01)
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return Flow(Verdict.NO)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Flow(Verdict.UNKNOWN)
    return Flow(Verdict.YES, _paths(capacity, arcs, [solver.value(flow) for flow in flows]))


def _rows(
    counts: Counter[int], capacity: int, bins: int, arcs: Sequence[Arc]
) -> list[tuple[list[tuple[int, int]], int]]:
    """The equations as (terms of (arc, sign), right-hand side): demand, then conservation."""
    demand: dict[int, list[tuple[int, int]]] = {size: [] for size in counts}
    balance: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for k, (tail, head, size) in enumerate(arcs):
        if size:
            demand[size].append((k, 1))
        balance[tail].append((k, 1))
        balance[head].append((k, -1))
    rows = [(terms, counts[size]) for size, terms in demand.items()]
    ends = {0: bins, capacity: -bins}
    return rows + [(terms, ends.get(node, 0)) for node, terms in sorted(balance.items())]


def _paths(
    capacity: int, arcs: Sequence[Arc], values: Sequence[int]
) -> tuple[tuple[int, ...], ...]:
    """A flow taken apart into paths, each the sizes of one bin."""
    leaving: dict[int, list[Arc]] = defaultdict(list)
    for arc, value in zip(arcs, values, strict=True):
        leaving[arc[0]] += [arc] * value
    patterns = []
    while leaving[0]:
        node, pattern = 0, []
        while node != capacity:
            _, node, size = leaving[node].pop()
            if size:
                pattern.append(size)
        patterns.append(tuple(pattern))
    return tuple(patterns)
