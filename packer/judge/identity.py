"""Who is who: every name in the plan is a name of the trip, and every unit is in one place.

In: the plan laid beside its trip. Out: breaches. Everything else in the judge may then rely on
what it finds, since whatever could not be matched stands here.
"""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Iterable, Iterator

from packer.judge.matched import Matched
from packer.judge.verdict import Breach
from packer.judge.words import units


def identity_breaches(matched: Matched) -> Iterator[Breach]:
    """Unknown names, things named twice, empty cases, unit numbers, packed against flown."""
    yield from _unknown_names(matched)
    yield from _named_twice(matched)
    yield from _empty_cases(matched)
    yield from _unit_numbers(matched)
    yield from _packed_against_flown(matched)


def _unknown_names(matched: Matched) -> Iterator[Breach]:
    packed = (each.gear for piece in matched.plan.pieces for each in piece.contents)
    decided = (decision.gear for decision in matched.plan.decisions)
    for name in dict.fromkeys([*decided, *packed]):
        if name not in matched.gear:
            yield Breach("unknown-gear", name, _no_such("gear", name, matched.gear))
    for name in dict.fromkeys(piece.case for piece in matched.plan.pieces):
        if name not in matched.cases:
            yield Breach("unknown-case", name, _no_such("case", name, matched.cases))


def _no_such(kind: str, name: str, names: Iterable[str]) -> str:
    near = difflib.get_close_matches(name, list(names), n=1)
    hint = f"; the nearest name is {near[0]}" if near else ""
    return f"The trip has no {kind} {name}{hint}."


def _named_twice(matched: Matched) -> Iterator[Breach]:
    for name, times in Counter(decision.gear for decision in matched.plan.decisions).items():
        if times > 1:
            message = f"Gear {name} has {times} decisions; one is expected."
            yield Breach("gear-decided-twice", name, message, times, 1)
    for name, times in Counter(piece.case for piece in matched.plan.pieces).items():
        if times > 1:
            message = f"Case {name} stands in the plan as {times} pieces; one is expected."
            yield Breach("case-used-twice", name, message, times, 1)


def _empty_cases(matched: Matched) -> Iterator[Breach]:
    for piece in matched.plan.pieces:
        if not piece.contents:
            message = f"Case {piece.case} has nothing in it; empty cases stay at home."
            yield Breach("case-empty", piece.case, message, 0, 1)


def _unit_numbers(matched: Matched) -> Iterator[Breach]:
    where: dict[tuple[str, int], list[str]] = {}
    for piece in matched.plan.pieces:
        for each in piece.contents:
            where.setdefault((each.gear, each.unit), []).append(piece.case)
    for (name, unit), cases in where.items():
        if len(cases) > 1:
            message = f"{name} unit {unit} is packed {len(cases)} times, in {', '.join(cases)}."
            yield Breach("unit-packed-twice", name, message, len(cases), 1)
        line = matched.gear.get(name)
        if line is not None and not 1 <= unit <= line.quantity:
            message = f"{name} unit {unit} is packed, and the line has {units(line.quantity)}."
            yield Breach("no-such-unit", name, message, unit, line.quantity)


def _packed_against_flown(matched: Matched) -> Iterator[Breach]:
    decided = {decision.gear: decision.flown for decision in matched.plan.decisions}
    for name, packed in matched.flown.items():
        flown = decided.get(name, 0)
        if flown != packed:
            message = f"{name}: the decision flies {units(flown)}; the cases hold {packed}."
            yield Breach("flown-not-packed", name, message, packed, flown)
