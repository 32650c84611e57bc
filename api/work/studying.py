"""The process that works on one study, and what the queue knows of studies.

Over the pipe go out `("progress", doing)`, `("line", {...})` for each line as it is found, and
`("end", (state, code, message))`; in comes `"stop"`, upon which it ends with what is there.
"""

from __future__ import annotations

import json
import threading
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from multiprocessing.connection import Connection
from typing import Any

from api.store import Store
from api.store.plans import MOST_TRIES
from api.store.studies import StudyRow
from api.work.hands import be_nice
from api.work.queue import Work
from api.work.solving import NICENESS, listen
from api.work.telling import Line
from packer.model.outcome import Outcome
from packer.model.plan import Plan
from packer.model.solving import Limits, Progress, Wishes
from packer.model.trip import Trip

MARGINS, SWEEP = "margins", "sweep"
MARGIN_ROUNDS = 3  # so many times the seconds of one plan for all that a little more would save
MOST_PLANS = 24  # that a sweep solves: 15 changes at most, and 8 numbers of pieces
Ended = tuple[str, int, str]


@dataclass(frozen=True, slots=True)
class StudyOrder:
    """Everything that one study needs; `known` are the names of lines found before a cut, each
    with whether there was a plan."""

    kind: str
    trip: Trip
    plan: Plan
    wishes: Wishes
    limits: Limits
    known: tuple[tuple[str, bool], ...] = ()


def study_order(pipe: Connection, order: StudyOrder) -> None:
    """The whole life of the process."""
    be_nice(2 * NICENESS)
    stop, line = threading.Event(), Line(pipe)
    threading.Thread(target=listen, args=(pipe, stop), daemon=True).start()
    study = margins_of if order.kind == MARGINS else sweep_of
    try:
        study(order, line, stop.is_set)
        words = "Stopped; what was found stands." if stop.is_set() else ""
        ended: Ended = ("done", int(Outcome.DONE), words)
    except ValueError as problem:  # the plan does not serve the trip
        ended = ("failed", int(Outcome.BAD_INPUT), f"Not to be compared: {problem}.")
    except Exception as fault:
        traceback.print_exc()
        message = f"The program has a fault ({type(fault).__name__}); the log says more."
        ended = ("failed", int(Outcome.FAULT), message)
    line.send("end", ended)


def margins_of(order: StudyOrder, line: Line, should_stop: Callable[[], bool]) -> None:
    """What a little more would save; all lines come at the end."""
    from packer.decide.margins import margins

    def tell(progress: Progress) -> None:
        line.send("progress", progress.doing)

    limits = replace(order.limits, seconds=MARGIN_ROUNDS * order.limits.seconds)
    for found in margins(order.trip, order.plan, limits, tell, should_stop, order.wishes):
        saved = {"saves_least_minor": found.least_minor, "saves_most_minor": found.most_minor}
        line.send("line", {"name": found.name, **saved})


def sweep_of(order: StudyOrder, line: Line, should_stop: Callable[[], bool]) -> None:
    """What the plan would cost if one thing changed; each line as it is found."""
    from packer.what_if import WhatIf, sweep, tried

    known = dict(order.known)

    def try_one(what_if: WhatIf) -> bool:
        if should_stop():
            return False
        if what_if.name in known:
            return known[what_if.name]
        line.send("progress", what_if.name)
        changed = tried(
            order.trip,
            order.plan,
            what_if,
            order.limits,
            should_stop=should_stop,
            wishes=order.wishes,
        )
        if not should_stop():  # a search that was broken off says too little
            line.send("line", changed.to_json())
        return changed.plan is not None

    sweep(order.trip, order.plan, try_one)


MakeStudyOrder = Callable[[StudyRow], StudyOrder]


class StudyWork(Work[StudyRow]):
    """Studies to be made."""

    target = staticmethod(study_order)

    def __init__(self, store: Store, make_order: MakeStudyOrder) -> None:
        self._studies = store.studies
        self._make_order = make_order

    def waiting(self) -> Sequence[StudyRow]:
        """As `Work`."""
        return self._studies.waiting()

    def begin(self, row: StudyRow) -> bool:
        """As `Work`."""
        return self._studies.begin(row.id)

    def order(self, row: StudyRow) -> tuple[StudyOrder, float]:
        """As `Work`."""
        rounds = MARGIN_ROUNDS if row.kind == MARGINS else MOST_PLANS
        lines = json.loads(self._studies.get(row.id).result)
        known = tuple((line["name"], line.get("objective_minor") is not None) for line in lines)
        return replace(self._make_order(row), known=known), rounds * row.seconds

    def hear(self, row: StudyRow, kind: str, what: tuple[Any, ...]) -> None:
        """As `Work`."""
        if kind == "line":
            self._studies.add(row.id, what[0])
        else:
            self._studies.note(row.id, what[0])

    def end(self, row: StudyRow, ending: Ended) -> None:
        """As `Work`."""
        self._studies.end(row.id, *ending)

    def fail(self, row: StudyRow, message: str) -> None:
        """As `Work`."""
        self._studies.end(row.id, "failed", int(Outcome.FAULT), message)

    def end_stopped(self, row: StudyRow) -> None:
        """As `Work`."""
        self._studies.end(row.id, "done", int(Outcome.DONE), "Stopped; what was found stands.")

    def cut_off(self, row: StudyRow) -> None:
        """As `Work`; the lines found so far stay, and are not worked out again."""
        row = self._studies.get(row.id)
        if row.stop_asked:
            self.end_stopped(row)
        elif row.tries >= MOST_TRIES:
            self.fail(row, f"Cut off {row.tries} times; what was found stands.")
        else:
            self._studies.put_back(row.id, spent=True)

    def put_back(self, row: StudyRow) -> None:
        """As `Work`."""
        self._studies.put_back(row.id, spent=False)

    def take_up_again(self) -> Sequence[StudyRow]:
        """As `Work`."""
        rows = self._studies.solving()
        for row in rows:
            self.cut_off(row)
        return rows

    def ask_stop(self, key: str) -> bool:
        """As `Work`."""
        return self._studies.ask_stop(key)
