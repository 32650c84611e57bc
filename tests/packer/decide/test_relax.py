"""Sets of causes against an exact solver that shares no code: each suffices, none is too large."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from support.oracle import best_objective
from support.searches import all_fly
from support.trips import FLAVOURS, generate

from packer.decide.loosening import Limit, Named, Relaxed, loosest, relaxed, roles_of, undominated
from packer.decide.problem import Option, Problem, build
from packer.decide.relax import Conflict, conflicts
from packer.decide.watch import Watch
from packer.model.plan import Route
from packer.model.solving import Limits, Wishes
from packer.model.trip import Choice, Offer, Price, Trip

SEEDS = range(1, 6)
ZERO = Price(0, 0, "EUR")  # type: ignore[arg-type]


def found_in(trip: Trip) -> tuple[Conflict, ...]:
    """The conflicts of a trip that has no plan."""
    return conflicts(build(trip, Wishes()), Watch(Limits(seconds=60, workers=1), lambda: False))


def impossible_together() -> Iterator[tuple[Trip, tuple[Conflict, ...]]]:
    """Trips that the oracle finds impossible though every line by itself has a case."""
    for flavour in FLAVOURS:
        for seed in SEEDS:
            trip = all_fly(flavour, seed)
            if trip.gear and best_objective(trip) is None:
                yield trip, found_in(trip)


@pytest.fixture(scope="module")
def impossible() -> list[tuple[Trip, tuple[Conflict, ...]]]:
    """Found once for all tests here."""
    return list(impossible_together())


def eased(trip: Trip, parts: tuple[Relaxed, ...]) -> Trip:
    """The trip with limits relaxed in the workbook's own terms, at least as far as told."""
    problem = build(trip, Wishes())
    for part in parts:
        trip = EASE[part.named.limit](trip, problem, part)
    return trip


def _role(trip: Trip, problem: Problem, part: Relaxed) -> Trip:
    role = roles_of(problem)[part.named.index]
    gear = (replace(g, role=None) if g.role == role else g for g in trip.gear)
    return replace(trip, gear=tuple(gear))


def _bundle(trip: Trip, problem: Problem, part: Relaxed) -> Trip:
    bundle = problem.bundles[part.named.index]
    gear = (replace(g, pack_with=None) if i in bundle else g for i, g in enumerate(trip.gear))
    return replace(trip, gear=tuple(gear))


def _cabin(trip: Trip, _: Problem, part: Relaxed) -> Trip:
    legs = (
        replace(leg, free_cabin_pieces=leg.free_cabin_pieces + part.amount) for leg in trip.legs
    )
    return replace(trip, legs=tuple(legs))


def _cases(trip: Trip, problem: Problem, part: Relaxed) -> Trip:
    model = trip.cases[problem.groups[part.named.index][0]]
    names = [f"{model.name} further {n}" for n in range(part.amount)]
    gear = (
        replace(g, only_in=(*g.only_in, *names)) if model.name in (g.only_in or ()) else g
        for g in trip.gear
    )
    more = (replace(model, name=name) for name in names)
    return replace(trip, gear=tuple(gear), cases=(*trip.cases, *more))


def _weight(trip: Trip, _: Problem, part: Relaxed) -> Trip:
    """Heavier pieces on every leg, at no fee: what is asked is whether a plan exists."""
    more = part.amount
    rules = (
        replace(r, most_weight_g=r.most_weight_g + more, free_weight_g=r.most_weight_g + more)
        for r in trip.rules
    )
    cases = (
        replace(c, most_gross_g=c.most_gross_g + more) if c.most_gross_g is not None else c
        for c in trip.cases
    )
    return replace(trip, rules=tuple(rules), cases=tuple(cases))


def _line(trip: Trip, _: Problem, part: Relaxed) -> Trip:
    line = trip.gear[part.named.index]
    gear = (replace(g, choice=Choice.EITHER) if g is line else g for g in trip.gear)
    offers = (
        Offer(stop, line.name, False, "house", ZERO, available=part.amount)
        for stop in line.needed_at
    )
    return replace(trip, gear=tuple(gear), offers=(*trip.offers, *offers))


EASE = {
    Limit.ROLE: _role,
    Limit.BUNDLE: _bundle,
    Limit.CABIN: _cabin,
    Limit.CASES: _cases,
    Limit.WEIGHT: _weight,
    Limit.LINE: _line,
}


def test_there_are_trips_to_test(impossible):
    """Dozens are impossible only together, and causes are found for each."""
    assert len(impossible) >= 12
    assert all(found for _, found in impossible)
    kinds = {part.named.limit for _, found in impossible for c in found for part in c.parts}
    assert len(kinds) >= 4


def test_what_is_relaxed_suffices(impossible):
    """The oracle finds a plan for the trip so eased."""
    for trip, found in impossible:
        for conflict in found:
            assert conflict.fits
            assert best_objective(eased(trip, conflict.parts)) is not None, conflict.parts


def test_of_several_causes_none_can_be_left_out(impossible):
    """Without any one of them the oracle finds no plan."""
    for trip, found in impossible:
        parts = found[0].parts
        for left_out in parts if len(parts) > 1 else ():
            rest = tuple(part for part in parts if part is not left_out)
            assert best_objective(eased(trip, rest)) is None, (trip.name, left_out)


def test_amounts_are_the_least(impossible):
    """A further case, a cabin piece or a unit less than told does not do."""
    exact = {Limit.CABIN, Limit.CASES, Limit.LINE}
    for trip, found in impossible:
        for conflict in found:
            [first, *more] = conflict.parts
            if conflict.least and not more and first.named.limit in exact and first.amount > 1:
                fewer = (replace(first, amount=first.amount - 1),)
                assert best_objective(eased(trip, fewer)) is None, (trip.name, first)


def test_claims_of_proof_are_made():
    """On tiny trips everything is decided."""
    [first, *_] = found_in(generate("impossible-role", "tiny", 1))
    assert (first.smallest, first.least, first.fits) == (True, True, True)


def test_relaxing_nothing_changes_nothing():
    """And relaxing a role lifts only its own caps."""
    problem = build(generate("impossible-role", "small", 1), Wishes())
    assert relaxed(problem, ()) == problem
    lifted = relaxed(problem, (Relaxed(Named(Limit.ROLE, 0), 2),))
    role = roles_of(problem)[0]
    for before, after in zip(problem.roles, lifted.roles, strict=True):
        assert after.base - before.base == (2 if before.role == role else 0)


def test_the_loosest_problem_asks_for_nothing():
    """No unit must fly, so its elastic model always has an answer."""
    problem = build(generate("weight-bound", "small", 1), Wishes())
    loose = loosest(problem)
    assert all(line.least == 0 for line in loose.lines)
    assert loose.cases[: len(problem.cases)] != problem.cases
    assert [spec.index for spec in loose.cases] == list(range(len(loose.cases)))
    assert all(loose.cases[c].group == g for g, group in enumerate(loose.groups) for c in group)


def test_a_way_within_another_is_left_out():
    """Weights up to 23 kg are also weights up to 32 kg, once fees do not matter."""
    low, high = Option(Route.HOLD, -1, 23_000, 0), Option(Route.HOLD, -1, 32_000, 9_000)
    apart = Option(Route.HOLD, 33_000, 40_000, 9_000)
    assert undominated((low, high, apart)) == (
        replace(high, cost_minor=0),
        replace(apart, cost_minor=0),
    )
