"""What a little more of something would save: a free piece, a kilogram of limit, a case.

In: a trip, a plan for it, limits. Out: for each such change what it saves, at least (a plan of the
changed trip was found) and at most (proved by a bound). Whatever serves the trip serves it after
the change too, so nothing here can cost more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from packer.decide.airline import billings
from packer.decide.estimate import Estimator, Question, serves, sketch_of_plan
from packer.decide.piece_limit import limited
from packer.decide.problem import Problem, build
from packer.model.plan import Plan
from packer.model.solving import Limits, OnProgress, Progress, ShouldStop, Wishes
from packer.model.trip import Case, Concept, Gear, Leg, Rule, Trip

BASE_SHARE = 0.2  # of the time for the trip as it stands
KILO_G = 1000


@dataclass(frozen=True, slots=True)
class Margin:
    """A change and what it saves in minor units: at least (None: not known) and at most."""

    name: str
    least_minor: int | None
    most_minor: int

    @property
    def is_exact(self) -> bool:
        """Whether both ends meet."""
        return self.least_minor == self.most_minor


def one_more(trip: Trip) -> Iterator[tuple[str, Trip]]:
    """Each change by its name: free pieces, kilograms, cases."""
    yield from _pieces(trip)
    yield from _kilos(trip)
    yield from _cases(trip)


def _pieces(trip: Trip) -> Iterator[tuple[str, Trip]]:
    for bill in billings(trip):
        if bill.rule.concept is Concept.PIECE:
            first = bill.legs[0]
            more = replace(first, free_pieces=first.free_pieces + 1)
            yield f"1 more free piece on {bill.name}", _with_leg(trip, first, more)


def _with_leg(trip: Trip, old: Leg, new: Leg) -> Trip:
    return replace(trip, legs=tuple(new if leg is old else leg for leg in trip.legs))


def _kilos(trip: Trip) -> Iterator[tuple[str, Trip]]:
    used = {leg.rule for leg in trip.legs}
    for rule in trip.rules:
        if rule.name not in used:
            continue
        what = "a piece" if rule.concept is Concept.PIECE else "in all"
        yield f"1 kg more free weight {what}, {rule.name}", _with_rule(trip, rule, _freer(rule))
        yield f"1 kg more most weight, {rule.name}", _with_rule(trip, rule, _stronger(rule))


def _freer(rule: Rule) -> Rule:
    free_g = rule.free_weight_g + KILO_G
    return replace(rule, free_weight_g=free_g, most_weight_g=_most_g(rule, free_g))


def _most_g(rule: Rule, free_g: int) -> int:
    return max(rule.most_weight_g, free_g if rule.concept is Concept.PIECE else 0)


def _stronger(rule: Rule) -> Rule:
    """The last band reaches as far as the limit did before."""
    most_g = rule.most_weight_g + KILO_G
    bands = tuple(
        replace(band, upto_g=most_g) if band.upto_g == rule.most_weight_g else band
        for band in rule.bands
    )
    free_g = rule.free_weight_g
    if rule.concept is Concept.PIECE and free_g == rule.most_weight_g:
        free_g = most_g
    return replace(rule, most_weight_g=most_g, bands=bands, free_weight_g=free_g)


def _with_rule(trip: Trip, old: Rule, new: Rule) -> Trip:
    return replace(trip, rules=tuple(new if rule is old else rule for rule in trip.rules))


def _cases(trip: Trip) -> Iterator[tuple[str, Trip]]:
    for run in dict.fromkeys(case.run for case in trip.cases):
        members = [case for case in trip.cases if case.run == run]
        twin = replace(members[-1], name=f"{run} (one more)")
        yield f"1 more {run}", _with_case(trip, members, twin)


def _with_case(trip: Trip, members: list[Case], twin: Case) -> Trip:
    """The further case takes what all of its run take."""
    names = {case.name for case in members}
    gear = tuple(_also_in(line, names, twin.name) for line in trip.gear)
    return replace(trip, gear=gear, cases=(*trip.cases, twin))


def _also_in(line: Gear, run: set[str], name: str) -> Gear:
    if line.only_in is None or not run <= set(line.only_in):
        return line
    return replace(line, only_in=(*line.only_in, name))


def _problem(trip: Trip, wishes: Wishes) -> Problem:
    return limited(build(trip, wishes), wishes.most_pieces)


def margins(
    trip: Trip,
    plan: Plan,
    limits: Limits,
    on_progress: OnProgress = lambda _: None,
    should_stop: ShouldStop = lambda: False,
    wishes: Wishes = Wishes(),
) -> tuple[Margin, ...]:
    """What each change of `one_more` saves, all within `limits.seconds`, with the plan's wishes.

    Raises ValueError where the plan breaks a limit of the trip or a wish.
    """
    problem = _problem(trip, wishes)
    known = sketch_of_plan(problem, plan)
    if not serves(problem, known):
        raise ValueError("the plan does not serve the trip")
    estimator = Estimator(problem, limits, should_stop)
    base = estimator.learn(known, BASE_SHARE * limits.seconds)
    if base.most_minor is None:
        raise ValueError("the plan does not serve the trip")
    changes = list(one_more(trip))
    questions = [Question(_problem(changed, wishes), known) for _, changed in changes]

    def tell(done: int) -> None:
        doing = f"one more, {done} of {len(questions)}"
        on_progress(Progress(0.0, base.most_minor, base.least_minor, doing, trip.currency))

    floor = min(base.most_minor, max(base.least_minor, plan.bound_minor))
    found = estimator.estimate(questions, tell)
    return tuple(
        Margin(
            name,
            None if each.most_minor is None else max(0, floor - each.most_minor),
            max(0, base.most_minor - each.least_minor),
        )
        for (name, _), each in zip(changes, found, strict=True)
    )
