"""Weigh in: what the scale says instead of what was computed, and what that breaks.

In: a trip, a plan, real gross weights of packed cases and of single objects. Out: a `WeighIn`: a
trip in which the figures are the real ones, the plan with its figures put right by the judge, the
differences, and everything that is no longer legal, leg by leg.

A difference is the case's: it is heavier or lighter than its list, and nobody can say by which
object. So it stays with the case (as part of its empty weight) and is never spread over objects.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from packer.judge import Breach, Verdict, judge, settle
from packer.model.finding import Finding, Severity
from packer.model.plan import Piece, Plan, Status
from packer.model.trip import Trip

CAUTION = (
    "Two people lift a heavy case, close to the body and without twisting; who may lift what is "
    "for the employer and the law to say."
)


@dataclass(frozen=True, slots=True)
class Difference:
    """A weighed case: empty weight and contents by the list, and the scale's figure, in grams."""

    case: str
    listed_g: int
    real_g: int

    @property
    def more_g(self) -> int:
        """How much heavier than its list the case is; below 0 where it is lighter."""
        return self.real_g - self.listed_g


@dataclass(frozen=True, slots=True)
class WeighIn:
    """A trip and plan with real weights. `before` and `now` are the judge's costs of the plan."""

    trip: Trip
    plan: Plan
    differences: tuple[Difference, ...]
    before: Verdict
    now: Verdict
    findings: tuple[Finding, ...] = ()

    @property
    def legal(self) -> bool:
        """True where the plan holds as it stands, perhaps at another price."""
        return self.now.accepted

    @property
    def breaks(self) -> tuple[Breach, ...]:
        """What the real weights break that was legal before."""
        known = {(breach.code, breach.subject) for breach in self.before.breaches}
        return tuple(b for b in self.now.breaches if (b.code, b.subject) not in known)

    @property
    def dearer_minor(self) -> int:
        """How much more cash the plan costs as it stands, by the real weights."""
        return self.now.costs.cash_minor - self.before.costs.cash_minor

    @property
    def dearer_by_leg(self) -> tuple[tuple[str, int], ...]:
        """The charges that changed: (leg or ticket, how much more)."""
        old = {charge.leg: charge.total_minor for charge in self.before.charges}
        rises = ((c.leg, c.total_minor - old.get(c.leg, 0)) for c in self.now.charges)
        return tuple((leg, rise) for leg, rise in rises if rise)


def weigh_in(
    trip: Trip,
    plan: Plan,
    cases_g: Mapping[str, int],
    objects_g: Mapping[str, int] | None = None,
) -> WeighIn:
    """Put real weights (grams: packed cases as on the scale, gear of one object) in place.

    KeyError for a case that the plan does not use or gear that the trip does not have.
    """
    objects = dict(objects_g or {})
    for name in objects:
        trip.gear_named(name)
    listed = settle(_with_objects(trip, objects), plan)
    pieces = {piece.case: piece for piece in listed.pieces}
    differences = tuple(
        Difference(case, pieces[case].empty_g + pieces[case].contents_g, real)
        for case, real in cases_g.items()
    )
    real_trip = _with_cases(_with_objects(trip, objects), differences)
    real_plan = unproved(settle(real_trip, plan))
    return WeighIn(
        real_trip,
        real_plan,
        differences,
        before=judge(trip, settle(trip, plan)),
        now=judge(real_trip, real_plan),
        findings=tuple(
            finding for each in differences for finding in _doubts(each, pieces[each.case])
        ),
    )


def _with_objects(trip: Trip, objects_g: Mapping[str, int]) -> Trip:
    if not objects_g:
        return trip
    gear = (replace(g, weight_g=objects_g.get(g.name, g.weight_g)) for g in trip.gear)
    return replace(trip, gear=tuple(gear))


def _with_cases(trip: Trip, differences: tuple[Difference, ...]) -> Trip:
    more = {each.case: each.more_g for each in differences}
    cases = (replace(c, empty_g=c.empty_g + more.get(c.name, 0)) for c in trip.cases)
    return replace(trip, cases=tuple(cases))


def unproved(plan: Plan) -> Plan:
    """The plan without the proof that belonged to the weights of before."""
    return replace(plan, status=Status.FEASIBLE, bound_minor=0)


def _doubts(each: Difference, piece: Piece) -> tuple[Finding, ...]:
    """A case that weighs less than its list: something may not be in it."""
    if each.more_g >= 0:
        return ()
    below_contents = each.real_g < piece.contents_g
    message = (
        f"Case {each.case} is {-each.more_g} g lighter than its list "
        f"({each.real_g} g on the scale, {each.listed_g} g listed)"
        + (", less even than its contents alone." if below_contents else ".")
    )
    remedy = "Open it and look whether everything is in it."
    severity = Severity.WARNING if below_contents else Severity.NOTE
    return (Finding("lighter-than-list", severity, message, subject=each.case, remedy=remedy),)
