"""Ruin and recreate: take some cases apart, pack anew, keep what is cheaper or nearly so.

Source of the scheme: Schrimpf et al. 2000, "Record breaking optimization results using the ruin
and recreate principle"; accepted by a falling threshold (Dueck & Scheuer 1990). Every state is a
real packing: the builder asks the geometry for each object it adds.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from packer.decide import sketch as sketching
from packer.decide.construct import Builder, OpenCase, Parcel, open_cases
from packer.decide.problem import Line, Problem
from packer.decide.sketch import Sketch
from packer.decide.space import Space
from packer.decide.start import EFFORT, openings, saving_per_share
from packer.decide.tariff import IMPOSSIBLE, Tariff

START_THRESHOLD = 0.01  # of the cost
MOST_CASES_RUINED = 4
MISSING_MINOR = 10**9  # for each unit that must fly and has no case yet
SKIP = 0.05  # how often a possible home is passed over, for variety


@dataclass(slots=True)
class _State:
    cases: dict[int, OpenCase]
    flown: list[int]
    cost_minor: int


class Improver:
    """Improves a sketch step by step; deterministic for a seed and a number of steps."""

    def __init__(
        self, problem: Problem, space: Space, tariffs: list[Tariff], start: Sketch, seed: int
    ) -> None:
        self._problem = problem
        self._space = space
        self._tariffs = tariffs
        self._random = random.Random(seed)
        self._bundle_of = {i: bundle for bundle in problem.bundles for i in bundle}
        self._optional = [line.index for line in problem.lines if line.most > line.least]
        self._saving = [saving_per_share(problem, line) for line in problem.lines]
        self._least = np.array([line.least for line in problem.lines], dtype=np.int64)
        self._known: dict[Parcel, tuple[int, frozenset[int]]] = {}
        self._wished: list[Parcel] = []
        cases = open_cases(problem, start)
        flown = list(start.flown(len(problem.lines)))
        self.state = _State(cases, flown, self._cost(cases, flown))
        self.best = start
        self.best_minor = self.state.cost_minor

    @property
    def complete(self) -> bool:
        """True once everything that must fly has a case."""
        return self.best_minor < MISSING_MINOR

    def run(self, steps: int, share_done: Callable[[int], float], stop: Callable[[], bool]) -> int:
        """Takes up to `steps` steps; `share_done(step)` in [0, 1] cools the threshold down."""
        for step in range(steps):
            if stop():
                return step
            threshold = START_THRESHOLD * (1 - min(1.0, share_done(step))) ** 2
            self._step(threshold * self.best_minor)
        return steps

    def _step(self, threshold_minor: float) -> None:
        builder, parcels = self._ruin()
        left = self._recreate(builder, parcels)
        flown = list(self.state.flown)
        _book_back(flown, left, self._wished)
        cases = {c: case for c, case in builder.open.items() if case.counts}
        if not self._roles_hold(cases, flown):
            return
        cost = self._cost(cases, flown)
        if cost > self.state.cost_minor + threshold_minor:
            return
        self.state = _State(cases, flown, cost)
        if cost < self.best_minor:
            self.best_minor = cost
            self.best = builder.sketch()

    def _ruin(self) -> tuple[Builder, list[Parcel]]:
        """A builder without some cases (or some units), and what was in them."""
        state, rng = self.state, self._random
        builder = Builder(self._problem, self._space, state.flown, EFFORT)
        builder.adopt(state.cases)
        parcels: list[Parcel] = []
        chosen = self._neighbours(rng.randint(1, MOST_CASES_RUINED))
        whole = rng.random() < 0.6
        for case in chosen:
            parcels += self._take_out(builder, case, 1.0 if whole else rng.uniform(0.2, 0.7))
        self._wished = self._hired_parcels(rng.randint(0, 6))
        return builder, parcels

    def _neighbours(self, count: int) -> list[int]:
        """Random cases in use, of kinds that can trade with the first one."""
        used = sorted(self.state.cases)
        if not used:
            return []
        first = self._random.choice(used)
        kind = self._problem.cases[first].case.kind
        alike = [c for c in used if self._problem.cases[c].case.kind is kind and c != first]
        return [first, *self._random.sample(alike, min(len(alike), count - 1))]

    def _take_out(self, builder: Builder, case: int, share: float) -> list[Parcel]:
        counts = dict(builder.open[case].counts)
        taken: list[Parcel] = []
        keep: dict[int, int] = {}
        seen: set[int] = set()
        for line, count in counts.items():
            if line in seen:
                continue
            bundle = self._bundle_of.get(line)
            if bundle is not None:
                seen.update(bundle)
                parcel = tuple((i, counts[i]) for i in bundle if counts.get(i))
                if self._random.random() < share:
                    taken.append(parcel)
                else:
                    keep.update(parcel)
                continue
            out = sum(self._random.random() < share for _ in range(count))
            taken += [((line, 1),)] * out
            if count > out:
                keep[line] = count - out
        builder.replace(case, keep)
        return taken

    def _hired_parcels(self, count: int) -> list[Parcel]:
        """Some of what is hired now, the most worth flying first more often."""
        lines, flown = self._problem.lines, self.state.flown
        missing = [row for row in lines if flown[row.index] < row.least]
        must: list[Parcel] = []
        for row in missing:
            if row.index not in self._bundle_of:
                must += [((row.index, 1),)] * (row.least - flown[row.index])
        hired = [i for i in self._optional if flown[i] < lines[i].most]
        if not hired or not count or must:
            return must + self._missing_bundles(missing)
        weights = [1.0 + self._saving[i] ** 0.5 for i in hired]
        parcels: list[Parcel] = []
        done: set[int] = set()
        for line in self._random.choices(hired, weights, k=count):
            if line in done:
                continue
            bundle = self._bundle_of.get(line)
            if bundle is not None:
                done.update(bundle)
                if not any(flown[i] for i in bundle):
                    parcels.append(tuple((i, lines[i].most) for i in bundle if lines[i].most))
                continue
            done.add(line)
            room = lines[line].most - flown[line]
            units = room if self._random.random() < 0.5 else self._random.randint(1, room)
            parcels += [((line, 1),)] * units
        return parcels

    def _missing_bundles(self, missing: list[Line]) -> list[Parcel]:
        bundles = dict.fromkeys(
            self._bundle_of[line.index] for line in missing if line.index in self._bundle_of
        )
        flown, lines = self.state.flown, self._problem.lines
        return [
            tuple((i, lines[i].most) for i in bundle if lines[i].most)
            for bundle in bundles
            if not any(flown[i] for i in bundle)
        ]

    def _recreate(self, builder: Builder, parcels: list[Parcel]) -> list[Parcel]:
        """Packs all parcels again, hardest first with some noise; returns what is left over."""
        pool = [(parcel, False) for parcel in parcels] + [(p, True) for p in self._wished]
        noise = self._random.choice((0.0, 0.1, 0.4))
        by_saving = self._random.random() < 0.35
        pool.sort(key=lambda entry: self._rank(entry[0], noise, by_saving))
        left: list[Parcel] = []
        failed: set[Parcel] = set()
        opening = self._random.random()
        for parcel, _ in pool:
            must = any(self._is_must(i) for i, _ in parcel)
            if parcel in failed or not self._home(builder, parcel, must or opening < 0.5):
                failed.add(parcel)
                left.append(parcel)
        return left

    def _is_must(self, line: int) -> bool:
        return self._problem.lines[line].least > 0

    def _rank(self, parcel: Parcel, noise: float, by_saving: bool) -> tuple[bool, float]:
        line = self._problem.lines[parcel[0][0]]
        size = sum(self._size(i) * n for i, n in parcel)
        value = self._saving[line.index] if by_saving else size
        return (line.least == 0 and by_saving, -value * (1 + noise * self._random.uniform(-1, 1)))

    def _size(self, line: int) -> float:
        row = self._problem.lines[line]
        return row.gear.weight_g / 25_000 + (row.grown_mm3 or row.soft_mm3) / 1.2e8

    def _home(self, builder: Builder, parcel: Parcel, may_open: bool) -> bool:
        rng = self._random
        weight_g, homes = self._needs(parcel)
        fitting = [
            (case.left_g, index)
            for index, case in builder.open.items()
            if index in homes and case.left_g >= weight_g
        ]
        for _, index in sorted(fitting):
            if rng.random() >= SKIP and builder.add(builder.open[index], parcel):
                return True
        if not may_open:
            return False
        choices = [o for o in openings(self._problem, builder, parcel) if rng.random() >= SKIP]
        for _, _, index, option in sorted(choices, key=lambda o: o[:3]):
            if builder.add(builder.open_case(index, option), parcel):
                return True
            builder.close_empty(index)
        return False

    def _needs(self, parcel: Parcel) -> tuple[int, frozenset[int]]:
        """What a parcel weighs, and the cases that take all of it."""
        if parcel not in self._known:
            lines = self._problem.lines
            weight_g = sum(n * lines[i].gear.weight_g for i, n in parcel)
            homes = frozenset(lines[parcel[0][0]].cases)
            for i, _ in parcel[1:]:
                homes &= frozenset(lines[i].cases)
            self._known[parcel] = (weight_g, homes)
        return self._known[parcel]

    def _roles_hold(self, cases: dict[int, OpenCase], flown: list[int]) -> bool:
        for cap in self._problem.roles:
            if not cap.swing:
                continue
            most = cap.base + sum(flown[i] for i in cap.swing)
            for case in cases.values():
                if sum(case.counts.get(i, 0) for i in cap.lines) > most:
                    return False
        return True

    def _cost(self, cases: dict[int, OpenCase], flown: list[int]) -> int:
        problem = self._problem
        made = sketching.sketch_of(
            {c: (case.ceiling.route, case.counts) for c, case in cases.items()}
        )
        total = sketching.baggage_minor(problem, made) + sketching.freight_cost_minor(problem, made)
        short = sum(max(0, line.least - n) for line, n in zip(problem.lines, flown, strict=True))
        total += MISSING_MINOR * short
        array = np.maximum(np.array(flown, dtype=np.int64), self._least)
        total += sum(tariff.best(array)[0] for tariff in self._tariffs)
        total += sum(
            worth * (line.gear.quantity - flown[line.index])
            for worth, line in zip(problem.worth_minor, problem.lines, strict=True)
            if worth
        )
        return min(total, IMPOSSIBLE)


def _book_back(flown: list[int], left: list[Parcel], wished: list[Parcel]) -> None:
    """Flown counts after a step: what was wished for added, what was left over taken away."""
    for parcel in wished:
        for line, count in parcel:
            flown[line] += count
    for parcel in left:
        for line, count in parcel:
            flown[line] -= count
