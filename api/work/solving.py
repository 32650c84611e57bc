"""The process that solves one plan: reads the workbook again, solves, sends what came of it.

Over the pipe go out `("progress", seconds, bound, doing)`, `("better", minor, plan.json)` for a
better plan once the judge let it pass, and at the end `("end", Ending)`; in comes `"stop"`. When
the server dies the pipe closes, and so does this.
"""

from __future__ import annotations

import json
import os
import threading
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING

from api.store.plans import Ending
from api.work.edits import Edits, with_edits
from api.work.hands import be_nice
from api.work.keeping import PROVED, STOPPED
from api.work.telling import Keeper, Line
from api.work.uploads import read_content
from packer.model.outcome import Outcome
from packer.model.plan import Plan
from packer.model.plan_json import plan_from_json, plan_to_json
from packer.model.solving import Limits, Progress, Wishes
from packer.road.crossings import Issued

if TYPE_CHECKING:
    from packer.pipeline import Planned

NICENESS = 5
STATES = {
    Outcome.DONE: "done",
    Outcome.FAULT: "failed",
    Outcome.BAD_INPUT: "failed",
    Outcome.IMPOSSIBLE: "impossible",
    Outcome.OUT_OF_TIME: "out-of-time",
}


@dataclass(frozen=True, slots=True)
class Order:
    """Everything that one solve needs, ready to go to another process."""

    content: bytes
    form: str
    edits: Edits
    limits: Limits
    fly: tuple[str, ...] = ()
    hire: tuple[str, ...] = ()
    keep_json: str | None = None
    keep_slack_minor: int = 0
    issued: Issued | None = None
    most_pieces: int | None = None


def solve_order(pipe: Connection, order: Order) -> None:
    """The whole life of the solving process."""
    be_nice(NICENESS)
    stop, line = threading.Event(), Line(pipe)
    keeper = Keeper(line)
    keeper.start()
    threading.Thread(target=listen, args=(pipe, stop), daemon=True).start()

    def tell(progress: Progress) -> None:
        keeper.hear(progress)
        line.send("progress", progress.seconds, progress.bound_minor, progress.doing)

    try:
        ending = fulfil(order, tell, stop.is_set)
    except Exception as fault:
        traceback.print_exc()
        message = f"The program has a fault ({type(fault).__name__}); the log says more."
        ending = Ending("failed", int(Outcome.FAULT), message)
    keeper.end()
    line.send("end", ending)


def fulfil(
    order: Order, on_progress: Callable[[Progress], None], should_stop: Callable[[], bool]
) -> Ending:
    """Read, put the edits on, solve and judge; what came of it."""
    from packer.pipeline import solve_within
    from packer.road.listed import ByList

    reading = read_content(order.content, order.form)
    if reading.trip is None:
        return Ending("failed", int(Outcome.BAD_INPUT), Outcome.BAD_INPUT.meaning)
    trip = with_edits(reading.trip, order.edits)
    planned = solve_within(
        trip,
        reading.findings,
        order.limits,
        _wishes(order),
        on_progress,
        should_stop,
        ByList(order.issued) if order.issued else None,
    )
    return ending_of(planned, stopped=should_stop())


def ending_of(planned: Planned, *, stopped: bool = False) -> Ending:
    """The result as the store keeps it."""
    outcome, plan = planned.outcome, planned.plan
    causes = planned.causes or tuple(
        finding for finding in planned.findings if finding.severity.rank == 0
    )
    causes_json = json.dumps([cause.to_json() for cause in causes], ensure_ascii=False)
    if outcome is not Outcome.DONE or plan is None:
        message = causes[0].message if causes else outcome.meaning
        return Ending(STATES[outcome], int(outcome), message, causes_json)
    return Ending(
        "done",
        int(outcome),
        _words(plan, stopped),
        causes_json,
        json.dumps(plan_to_json(plan), ensure_ascii=False),
        plan.objective_minor,
        plan.bound_minor,
    )


def _words(plan: Plan, stopped: bool) -> str:
    if plan.status == "optimal":
        return PROVED
    return STOPPED if stopped else "Judged, not proved cheapest."


def _wishes(order: Order) -> Wishes:
    keep: Plan | None = None
    if order.keep_json is not None:
        keep = plan_from_json(json.loads(order.keep_json))
    slack = order.keep_slack_minor
    return Wishes(order.fly, order.hire, keep, slack, order.most_pieces)


def listen(pipe: Connection, stop: threading.Event) -> None:
    """Hear the wish to stop; end the process when nobody is left to take the answer."""
    try:
        while pipe.recv() == "stop":
            stop.set()
    except (EOFError, OSError):
        os._exit(1)
