"""Deciding and packing: a trip comes in, the cheapest plan known and a proved bound come out.

`decide` is the door. Behind it: `problem` settles what needs no search, `improve` makes plans and
makes them better (compiled, in `ruin`), `joint` and `classes` are the models, `space` asks the
geometry, `search` runs them against the clock, `finish` turns what was found into a plan,
`causes`, `evident` and `shortfalls` explain why there is none.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from packer.decide.causes import causes_of
from packer.decide.evident import evident
from packer.decide.finish import Effort, finish_s, plan_of
from packer.decide.improve import is_warm, warm_up
from packer.decide.piece_limit import exceeds, limited, too_many
from packer.decide.polish import polish
from packer.decide.problem import build
from packer.decide.search import Search
from packer.decide.shortfalls import causes_together
from packer.decide.sketch import Sketch
from packer.decide.strategy import run
from packer.decide.watch import Watch
from packer.model.outcome import Outcome
from packer.model.plan import Plan
from packer.model.solving import (
    COMPILING,
    Answer,
    Limits,
    OnProgress,
    Progress,
    ShouldStop,
    Wishes,
)
from packer.model.trip import Trip

__all__ = ["decide", "warm_up"]


def decide(
    trip: Trip,
    limits: Limits = Limits(),
    wishes: Wishes = Wishes(),
    on_progress: OnProgress = lambda _: None,
    should_stop: ShouldStop = lambda: False,
) -> Answer:
    """The cheapest plan found within the limits, with a proved bound of the objective.

    The outcome is DONE with a plan (`optimal` or `feasible`), IMPOSSIBLE with the causes that can
    be proved, or OUT_OF_TIME. Money is in minor units of the trip currency.
    """
    # Compiled before the clock starts: on a fresh machine it takes longer than a short limit.
    doing = "making the packing code ready" if is_warm() else COMPILING
    on_progress(Progress(0.0, None, None, doing))
    warm_up()
    watch = Watch(limits, should_stop)
    plain = build(trip, wishes)
    problem = limited(plain, wishes.most_pieces)
    causes = causes_of(problem)
    if causes:
        return Answer(Outcome.IMPOSSIBLE, None, 0, causes)
    if evident(problem):
        return Answer(Outcome.IMPOSSIBLE, None, 0, causes_together(problem, watch))
    search = Search(problem, watch, lambda progress: on_progress(_told(search, wishes, progress)))
    watch.reserve(finish_s(problem, watch.seconds))
    run(search)
    if search.best is None:
        if not search.impossible:
            return Answer(Outcome.OUT_OF_TIME, None, search.bound_minor)
        causes = causes_together(problem, watch, search.cuts)
        return Answer(Outcome.IMPOSSIBLE, None, search.bound_minor, causes)
    if exceeds(search.best, wishes.most_pieces):
        return too_many(plain, wishes.most_pieces, search.bound_minor)
    found = polish(search, wishes.keep, wishes.keep_slack_minor) or search.best
    plan = _made(search, wishes, found, search.bound_minor)
    return Answer(Outcome.DONE, plan, plan.bound_minor)


def _told(search: Search, wishes: Wishes, progress: Progress) -> Progress:
    """What the search says, with a way to its plan; one of too many pieces counts as none."""
    if search.best is None:
        return progress
    if exceeds(search.best, wishes.most_pieces):
        return replace(progress, best_minor=None)
    return replace(progress, plan=partial(_made, search, wishes, search.best, search.bound_minor))


def _made(search: Search, wishes: Wishes, found: Sketch, bound_minor: int) -> Plan:
    watch = search.watch
    effort = Effort(watch.seconds, watch.spent)
    return plan_of(
        search.problem,
        found,
        search.space,
        search.coverer,
        bound_minor,
        watch.limits,
        effort,
        wishes.keep,
        watch.finish_s,
    )
