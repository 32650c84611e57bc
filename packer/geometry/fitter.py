"""The packing core's front door: asks the cheap bounds, the quick search and the exact model.

Answers are remembered by the multiset of sizes and the inside size, both "fits" and "cannot fit";
"not found" is remembered together with the effort that was spent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from packer.geometry.bounds import refused
from packer.geometry.exact import Guard, solve_exactly, unguarded
from packer.geometry.items import Fit, Item, Place, Sides, Verdict, grown, plain, turns_inside
from packer.geometry.kernel import ANY, UPRIGHT, pack_kernel
from packer.geometry.separating import NO, YES, separate
from packer.geometry.spaces import Ints, as_ints

QUICK_EFFORT = 40_000
"""Looks at empty spaces for a first answer: about half a millisecond when nothing is found."""

THOROUGH_EFFORT = 1_000_000
"""The same before the exact model is asked: about 15 ms."""

EXACT_LIMIT = 5.0
"""Deterministic seconds for the exact model."""

MOST_SEPARATED = 12
"""Boxes up to which the compiled exact search is asked."""

FEW = 6
"""Boxes up to which it is asked first: it takes less than the quick search for a no."""

FEW_NODES, MOST_NODES = 8_000, 60_000
"""Of that search, for a swift and a thorough answer: about 1 and 10 ms."""

_MOST_REMEMBERED = 200_000

_Key = tuple[Sides, tuple[int, ...]]


@dataclass(slots=True)
class _Known:
    """What is known about a multiset: `corners` (n, 6) for YES; what was spent for UNKNOWN."""

    verdict: Verdict
    corners: Ints | None = None
    effort: int = 0
    bounded: bool = False
    nodes: int = 0
    exact_limit: float = 0.0


class Fitter:
    """Answers "do these items fit a case of this inside size" for one clearance.

    `clearance_mm` grows each length once. With equal `seed` equal questions have equal answers,
    unless more effort was spent on them before. `guard` is entered while the exact model is
    solved, with a function that stops it.
    """

    def __init__(self, clearance_mm: int, seed: int = 0, guard: Guard = unguarded) -> None:
        self.clearance_mm = clearance_mm
        self.seed = seed
        self._guard = guard
        self._codes: dict[Item, int] = {}
        self._plain: list[Item] = []
        self._content: list[tuple[Sides, bool, bool]] = []
        self._sizes: Ints = np.empty((0, 3), dtype=np.int64)
        self._freedom: Ints = np.empty(0, dtype=np.int64)
        self._fragile: Ints = np.empty(0, dtype=np.int64)
        self._known: dict[_Key, _Known] = {}

    def quick(self, inside: Sides, items: Sequence[Item], effort: int = QUICK_EFFORT) -> Fit:
        """YES, UNKNOWN, or NO by volume or an item too large. Effort: see `pack_kernel`."""
        order, key = self._key(inside, items)
        known = self._search(key, effort)
        return self._answer(known, order)

    def bound(self, inside: Sides, items: Sequence[Item]) -> Fit:
        """NO if a cheap bound proves it, else what is known."""
        order, key = self._key(inside, items)
        return self._answer(self._refuse(key), order)

    def exact(
        self, inside: Sides, items: Sequence[Item], deterministic_limit: float = EXACT_LIMIT
    ) -> Fit:
        """YES, NO with proof, or UNKNOWN at the limit (deterministic seconds)."""
        order, key = self._key(inside, items)
        known = self._solve(key, deterministic_limit)
        return self._answer(known, order)

    def decide(
        self,
        inside: Sides,
        items: Sequence[Item],
        effort: int = THOROUGH_EFFORT,
        deterministic_limit: float = EXACT_LIMIT,
    ) -> Fit:
        """The quick search, the cheap bounds, the search with more effort, the exact model."""
        order, key = self._key(inside, items)
        known = self._swift(key, min(effort, QUICK_EFFORT))
        if known.verdict is Verdict.UNKNOWN:
            known = self._refuse(key)
        if known.verdict is Verdict.UNKNOWN:
            known = self._separate(key, MOST_NODES)
        if known.verdict is Verdict.UNKNOWN:
            known = self._search(key, effort)
        if known.verdict is Verdict.UNKNOWN and deterministic_limit > 0:
            known = self._solve(key, deterministic_limit)
        return self._answer(known, order)

    def swift(self, inside: Sides, items: Sequence[Item]) -> Fit:
        """The answer that a few milliseconds give: of few items nearly always an exact one."""
        order, key = self._key(inside, items)
        return self._answer(self._swift(key, QUICK_EFFORT), order)

    def _swift(self, key: _Key, effort: int) -> _Known:
        known = self._lookup(key)
        if known.verdict is Verdict.UNKNOWN and len(key[1]) <= FEW:
            known = self._separate(key, FEW_NODES)
        if known.verdict is Verdict.UNKNOWN:
            known = self._search(key, effort)
        if known.verdict is Verdict.UNKNOWN:
            known = self._separate(key, FEW_NODES)
        return known

    def _key(self, inside: Sides, items: Sequence[Item]) -> tuple[list[int], _Key]:
        """The positions of the items by size, and the question in standard form.

        Codes depend on what was asked before; sorted by what they stand for, answers do not.
        """
        codes = [self._codes.get(item) for item in items]
        found = [
            self._learn(item) if code is None else code
            for code, item in zip(codes, items, strict=True)
        ]
        content = [self._content[code] for code in found]
        order = sorted(range(len(found)), key=content.__getitem__)
        return order, (inside, tuple([found[k] for k in order]))

    def _learn(self, item: Item) -> int:
        """Give an item the code of all items that fit alike."""
        if item in self._codes:
            return self._codes[item]
        same = plain(item)
        if same not in self._codes:
            self._codes[same] = len(self._plain)
            self._plain.append(same)
            self._content.append((same.sides_mm, same.upright, same.fragile))
            size = as_ints([grown(same.sides_mm, self.clearance_mm)])
            self._sizes = np.concatenate([self._sizes, size])
            self._freedom = np.append(self._freedom, UPRIGHT if same.upright else ANY)
            self._fragile = np.append(self._fragile, int(same.fragile))
        self._codes[item] = self._codes[same]
        return self._codes[item]

    def _lookup(self, key: _Key) -> _Known:
        known = self._known.get(key)
        if known is None:
            if len(self._known) >= _MOST_REMEMBERED:
                self._known.clear()
            known = self._known[key] = self._first_look(key)
        return known

    def _first_look(self, key: _Key) -> _Known:
        """NO where an item or the volume is too large."""
        inside, codes = key
        sizes = self._sizes[list(codes)]
        if int(sizes.prod(axis=1).sum()) > inside[0] * inside[1] * inside[2]:
            return _Known(Verdict.NO)
        return _Known(Verdict.UNKNOWN)

    def _search(self, key: _Key, effort: int) -> _Known:
        known = self._lookup(key)
        if known.verdict is Verdict.UNKNOWN and known.effort < effort:
            rows = list(key[1])
            corners = np.empty((len(rows), 6), dtype=np.int64)
            found = pack_kernel(
                as_ints(key[0]),
                self._sizes[rows],
                self._freedom[rows],
                self._fragile[rows],
                self.seed,
                effort,
                corners,
            )
            known.effort = effort
            if found:
                known.corners = corners  # before the verdict: other threads may be looking
                known.verdict = Verdict.YES
        return known

    def _refuse(self, key: _Key) -> _Known:
        known = self._lookup(key)
        if known.verdict is Verdict.UNKNOWN and not known.bounded:
            known.bounded = True
            if refused(key[0], self._items(key), self.clearance_mm) is not None:
                known.verdict = Verdict.NO
        return known

    def _separate(self, key: _Key, most_nodes: int) -> _Known:
        """The compiled exact search for few boxes; of fragile ones it believes the no alone."""
        known = self._lookup(key)
        if known.nodes >= most_nodes or not 2 <= len(key[1]) <= MOST_SEPARATED:
            return known
        known.nodes = most_nodes
        items = self._items(key)
        turned = [turns_inside(item, key[0], self.clearance_mm) for item in items]
        largest = sorted(range(len(items)), key=lambda k: -int(self._sizes[key[1][k]].prod()))
        sizes = np.zeros((len(items), 6, 3), dtype=np.int64)
        for row, k in enumerate(largest):
            sizes[row, : len(turned[k])] = as_ints(turned[k]).reshape(-1, 3)
        corners = np.empty((len(items), 6), dtype=np.int64)
        turns = as_ints([len(turned[k]) for k in largest])
        answer = separate(as_ints(key[0]), sizes, turns, most_nodes, corners)
        if answer == NO:
            known.verdict = Verdict.NO
        elif answer == YES and not any(item.fragile for item in items):
            known.verdict, known.corners = Verdict.YES, np.empty_like(corners)
            known.corners[largest] = corners
        return known

    def _solve(self, key: _Key, limit: float) -> _Known:
        known = self._lookup(key)
        if known.verdict is Verdict.UNKNOWN and known.exact_limit < limit:
            items = self._items(key)
            fit = solve_exactly(key[0], items, self.clearance_mm, self.seed, limit, self._guard)
            if fit.places is not None:
                known.corners = self._corners(fit.places)
            known.verdict, known.exact_limit = fit.verdict, limit
        return known

    def _items(self, key: _Key) -> list[Item]:
        return [self._plain[code] for code in key[1]]

    def _corners(self, places: Sequence[Place]) -> Ints:
        rows = [
            (
                *p.at_mm,
                *(a + s + self.clearance_mm for a, s in zip(p.at_mm, p.size_mm, strict=True)),
            )
            for p in places
        ]
        return as_ints(rows).reshape(len(rows), 6)

    def _answer(self, known: _Known, order: list[int]) -> Fit:
        if known.corners is None:
            return Fit(known.verdict)
        clear = self.clearance_mm
        places: list[Place] = [Place((0, 0, 0), (0, 0, 0))] * len(order)
        for k, (x, y, z, right, back, top) in zip(order, known.corners.tolist(), strict=True):
            places[k] = Place((x, y, z), (right - x - clear, back - y - clear, top - z - clear))
        return Fit(known.verdict, tuple(places))
