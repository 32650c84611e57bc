"""The whole program as one function: read, rules, decide, rules again, judge, papers.

In: the path of a trip and what the user wishes. Out: one `Planned` that says what came of it.
`solve` is the pure part, values to values; `plan_trip` puts the edges round it: the file read,
the clock, the papers written. A plan that the judge refuses is never written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from packer import __version__
from packer.decide import decide
from packer.judge import judge
from packer.model.finding import Finding, Severity, in_order
from packer.model.outcome import Outcome
from packer.model.plan import Plan
from packer.model.solving import Limits, OnProgress, Progress, ShouldStop, Wishes
from packer.model.trip import Trip
from packer.papers import KINDS, write_papers
from packer.reading import read_trip
from packer.rules import check_plan, check_trip
from packer.wishes import check_wishes

if TYPE_CHECKING:
    from packer.judge import Verdict


@dataclass(frozen=True, slots=True)
class Planned:
    """What came of planning a trip.

    `findings` are all of reader, rules and wishes in their fixed order; `plan` and `verdict` are
    there once the solver found a plan, `papers` once they are written, with `notices` about them;
    `causes` say why there is no plan. `bound_minor` is the proved lower bound of the objective,
    in minor units of the trip currency.
    """

    outcome: Outcome
    findings: tuple[Finding, ...]
    trip: Trip | None = None
    plan: Plan | None = None
    verdict: Verdict | None = None
    papers: tuple[Path, ...] = ()
    notices: tuple[str, ...] = ()
    causes: tuple[Finding, ...] = ()
    bound_minor: int = 0


class Narrowed(Protocol):
    """A trip that plans only with a part of itself: what that rules out, and units at most."""

    @property
    def trip(self) -> Trip:
        """The trip to plan."""
        ...

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What it rules out."""
        ...

    @property
    def at_most(self) -> tuple[tuple[str, int], ...]:
        """The solver's wish of the same name."""
        ...


class Narrowing(Protocol):
    """Something outside the workbook that a plan must keep to, like a list already issued."""

    def narrow(self, trip: Trip) -> Narrowed:
        """The trip as far as it may be planned."""
        ...

    def refused(self, trip: Trip, plan: Plan) -> tuple[Finding, ...]:
        """What a plan does that it may not; () where it keeps to it."""
        ...


def quiet(progress: Progress) -> None:
    """Takes signs of life and says nothing."""


def never() -> bool:
    """Never asks the solver to stop early."""
    return False


def plan_trip(
    path: Path,
    out_dir: Path,
    limits: Limits = Limits(),
    wishes: Wishes = Wishes(),
    on_progress: OnProgress = quiet,
    should_stop: ShouldStop = never,
    *,
    every_label: bool = False,
    narrowing: Narrowing | None = None,
) -> Planned:
    """Plan the trip in a workbook or CSV folder and write its papers into `out_dir`.

    `every_label` adds a label for each object to the usual papers; `narrowing` is what the plan
    must keep to besides the workbook.

    Raises `packer.papers.PapersError` where the papers cannot be written; nothing else is raised
    for what the user did.
    """
    reading = read_trip(path)
    if reading.trip is None:
        return Planned(Outcome.BAD_INPUT, in_order(reading.findings))
    planned = solve_within(
        reading.trip, reading.findings, limits, wishes, on_progress, should_stop, narrowing
    )
    if planned.plan is None or planned.outcome is not Outcome.DONE:
        return planned
    on_progress(_last_sign(planned.plan, "writing the papers"))
    kinds = frozenset(KINDS) if every_label else None
    papers = write_papers(reading.trip, planned.plan, out_dir, only=kinds)
    return replace(planned, papers=papers.paths, notices=papers.notices)


def solve_within(
    trip: Trip,
    read_findings: Iterable[Finding] = (),
    limits: Limits = Limits(),
    wishes: Wishes = Wishes(),
    on_progress: OnProgress = quiet,
    should_stop: ShouldStop = never,
    narrowing: Narrowing | None = None,
) -> Planned:
    """Solve with what a narrowing allows; IMPOSSIBLE, with its words, where no plan keeps to it."""
    if narrowing is None:
        return solve(trip, read_findings, limits, wishes, on_progress, should_stop)
    narrowed = narrowing.narrow(trip)
    wishes = replace(wishes, at_most=(*wishes.at_most, *narrowed.at_most))
    findings = (*read_findings, *narrowed.findings)

    def tell(progress: Progress) -> None:
        make = progress.plan
        kept = None if make is None else lambda: _kept_to(narrowing, trip, make())
        on_progress(replace(progress, plan=kept))

    planned = solve(narrowed.trip, findings, limits, wishes, tell, should_stop)
    refused = narrowing.refused(trip, planned.plan) if planned.plan else ()
    if refused:
        return replace(planned, outcome=Outcome.IMPOSSIBLE, plan=None, causes=refused)
    return planned


def _kept_to(narrowing: Narrowing, trip: Trip, plan: Plan | None) -> Plan | None:
    """A plan on the way; None where the narrowing refuses it."""
    return None if plan is None or narrowing.refused(trip, plan) else plan


def solve(
    trip: Trip,
    read_findings: Iterable[Finding] = (),
    limits: Limits = Limits(),
    wishes: Wishes = Wishes(),
    on_progress: OnProgress = quiet,
    should_stop: ShouldStop = never,
) -> Planned:
    """Check, decide, check the plan and judge it; FAULT where the judge refuses the plan."""
    findings = in_order([*read_findings, *check_trip(trip), *check_wishes(trip, wishes)])
    if has_errors(findings):
        return Planned(Outcome.BAD_INPUT, findings, trip)
    answer = decide(trip, limits, wishes, _for_people(trip, findings, on_progress), should_stop)
    if answer.plan is None:
        return Planned(
            answer.outcome, findings, trip, causes=answer.causes, bound_minor=answer.bound_minor
        )
    findings, plan, verdict = _checked(trip, findings, answer.plan)
    outcome = Outcome.FAULT if verdict.breaches else answer.outcome
    return Planned(
        outcome, findings, trip, plan, verdict, causes=answer.causes, bound_minor=answer.bound_minor
    )


def _checked(
    trip: Trip, findings: tuple[Finding, ...], plan: Plan
) -> tuple[tuple[Finding, ...], Plan, Verdict]:
    """The findings with those of the plan, the plan with its origin, and what the judge says."""
    findings = in_order([*findings, *check_plan(trip, plan)])
    plan = signed(plan, trip, findings)
    return findings, plan, judge(trip, plan)


def _for_people(trip: Trip, findings: tuple[Finding, ...], on_progress: OnProgress) -> OnProgress:
    """Signs of life with the currency of their figures, and plans only as the judge lets pass."""

    def tell(progress: Progress) -> None:
        make = progress.plan
        passed = None if make is None else lambda: _passed(trip, findings, make)
        on_progress(replace(progress, currency=trip.currency, plan=passed))

    return tell


def _passed(
    trip: Trip, findings: tuple[Finding, ...], make: Callable[[], Plan | None]
) -> Plan | None:
    """A plan on the way, signed; None where the judge refuses it."""
    made = make()
    if made is None:
        return None
    _, plan, verdict = _checked(trip, findings, made)
    return None if verdict.breaches else plan


def _last_sign(plan: Plan, doing: str) -> Progress:
    return Progress(
        plan.solver.seconds, plan.objective_minor, plan.bound_minor, doing, plan.currency
    )


def signed(plan: Plan, trip: Trip, findings: Iterable[Finding]) -> Plan:
    """The plan with its origin: the program's version, the input, the time, the findings."""
    return replace(
        plan,
        holdall=__version__,
        trip=trip.name,
        input_sha256=trip.input_sha256,
        made=datetime.now(UTC).isoformat(timespec="seconds"),
        currency=trip.currency,
        findings=tuple(finding.to_json() for finding in findings),
    )


def has_errors(findings: Iterable[Finding]) -> bool:
    """Whether any finding is an error, which stops planning."""
    return any(finding.severity is Severity.ERROR for finding in findings)
