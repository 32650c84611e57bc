"""What all routes share: the store, the guard's door, the queue, and trips and plans at hand.

Trips are read in another process and kept for a while, since they never change: an upload and
the edits on it are the key. Nothing in here knows of HTTP except the refusals it raises.
"""

from __future__ import annotations

import json
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import replace
from typing import Any, TypeVar

from fastapi import Request

from api.errors import Refusal
from api.safety.identity import Door
from api.settings import Settings
from api.shapes.plans import PlanAsk
from api.store import Store
from api.store.plans import PlanRow
from api.store.studies import StudyRow
from api.store.trips import Edit, Incoming, Upload
from api.work.edits import NO_EDITS, Edits, with_edits
from api.work.hands import HandLostError, Hands, HandSlowError
from api.work.printing import papers_of
from api.work.queue import PlanWork, Queue
from api.work.solving import NICENESS, Order
from api.work.studying import StudyOrder, StudyWork
from api.work.tiny import Health, plan_tiny_trip
from api.work.uploads import NotATripError, Read, TooMuchError, form_of, read_upload
from packer.model.outcome import Outcome
from packer.model.plan import Plan
from packer.model.plan_json import plan_from_json
from packer.model.solving import Limits, Wishes
from packer.model.trip import Trip
from packer.road.crossings import Issued
from packer.road.listed import ByList

Value = TypeVar("Value")
_HEALTH_SECONDS = 60.0


class Shelf:
    """Keeps the last few values, and makes a missing one once however many ask at once."""

    def __init__(self, size: int) -> None:
        self._size = size
        self._values: OrderedDict[Hashable, Any] = OrderedDict()
        self._lock = threading.Lock()
        self._making: dict[Hashable, threading.Lock] = {}

    def get(self, key: Hashable, make: Callable[[], Value]) -> Value:
        """The value under a key, made where it is not there."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                found: Value = self._values[key]
                return found
            making = self._making.setdefault(key, threading.Lock())
        with making:
            with self._lock:
                if key in self._values:
                    again: Value = self._values[key]
                    return again
            return self._keep(key, make())

    def _keep(self, key: Hashable, value: Value) -> Value:
        with self._lock:
            self._values[key] = value
            self._making.pop(key, None)
            while len(self._values) > self._size:
                self._values.popitem(last=False)
        return value


class Desk:
    """One server's common ground."""

    def __init__(self, settings: Settings, store: Store) -> None:
        self.settings = settings
        self.store = store
        self.door = Door(settings, store)
        self.readers = Hands(settings.ceilings.desk_hands)
        self.thinkers = Hands(1, NICENESS)
        self.queue = Queue(PlanWork(store, self._order), settings.ceilings.solves_at_once)
        self.studies = Queue(StudyWork(store, self._study_order), 1)
        self._shelf = Shelf(64)

    def open(self) -> None:
        """Claim the store and take up what waits in it. Raises AlreadyServedError."""
        self.store.claim.take()
        self.queue.start()
        self.studies.start()

    def close(self) -> None:
        """Give everything back in order."""
        self.queue.close()
        self.studies.close()
        self.readers.end()
        self.thinkers.end()
        self.store.close()

    def take_in(self, content: bytes, file: str) -> tuple[Incoming, Trip | None]:
        """Read an upload; raises Refusal for what is no trip or more than is taken."""
        ceilings = self.settings.ceilings
        if len(content) > ceilings.upload_bytes:
            message = f"This server takes at most {ceilings.upload_bytes:,} bytes at once."
            raise Refusal(413, "too-large", message)
        read, form = self._read(content)
        name = read.name or file or "Trip without a name"
        incoming = Incoming(name, file, form, content, read.code, read.findings, read.facts)
        return incoming, read.trip

    def _read(self, content: bytes) -> tuple[Read, str]:
        try:
            form = form_of(content)
            seconds = self.settings.ceilings.read_seconds
            read: Read = self.run_reader(
                read_upload, content, form, self.settings.ceilings, seconds=seconds
            )
        except NotATripError as error:
            remedy = "Send an .xlsx workbook or a zip of .csv sheets."
            raise Refusal(422, "not-a-trip", str(error), remedy=remedy) from error
        except TooMuchError as error:
            raise Refusal(413, "too-large", str(error)) from error
        return read, form

    def run_reader(self, function: Callable[..., Any], *args: Any, seconds: float) -> Any:
        """Run something in a reading process; raises Refusal when it takes too long."""
        return _run(self.readers, function, *args, seconds=seconds)

    def run_thinker(self, function: Callable[..., Any], *args: Any, seconds: float) -> Any:
        """Run something that solves, in a process that gives way to others."""
        return _run(self.thinkers, function, *args, seconds=seconds)

    def trip_of(self, upload: Upload, edits: Edits = NO_EDITS) -> Trip:
        """The trip of an upload with edits on it; raises Refusal where it has none."""
        bare = self._shelf.get(("trip", upload.sha256), lambda: self._read_trip(upload))
        if bare is None:
            raise bad_input(upload)
        if edits == NO_EDITS:
            return bare
        return self._shelf.get(("edited", upload.sha256, edits), lambda: with_edits(bare, edits))

    def _read_trip(self, upload: Upload) -> Trip | None:
        read, _ = self._read(self.store.trips.original(upload))
        return read.trip

    def standing_edits(self, trip: str) -> Edits:
        """The edits of a trip that hold now."""
        return edits_of(self.store.trips.standing_edits(trip))

    def ask_plan(self, trip: str, ask: PlanAsk, by: str) -> PlanRow:
        """Put a plan into the queue; raises Refusal for bad input or a full queue."""
        upload = self.store.trips.upload(trip)
        if upload.code != int(Outcome.DONE):
            raise bad_input(upload)
        ceilings = self.settings.ceilings
        if len(self.store.plans.waiting()) >= ceilings.solves_waiting:
            message = f"{ceilings.solves_waiting} plans wait already."
            raise Refusal(503, "queue-full", message, headers={"Retry-After": "30"})
        if ask.keep is not None:
            self.plan_of(self._kept(trip, ask.keep))
        if ask.issued:
            holder = self._kept(trip, ask.issued)
            issued = ask_of_plan(holder).issued or holder.id
            self._issued(issued)
            ask = ask.model_copy(update={"issued": issued})
        asked = {"ask": ask.model_dump(), "edits": edits_to_json(self.standing_edits(trip))}
        row = self.store.plans.ask(trip, upload.number, json.dumps(asked), by)
        self.queue.look()
        return row

    def ask_study(self, plan: PlanRow, kind: str, seconds: float, by: str) -> StudyRow:
        """Put a study of a plan into its queue; raises Refusal without a plan or a free place."""
        self.plan_of(plan)
        if len(self.store.studies.waiting()) >= self.settings.ceilings.solves_waiting:
            raise Refusal(503, "queue-full", "Too many wait.", headers={"Retry-After": "30"})
        row = self.store.studies.ask(plan.id, kind, seconds, by)
        self.studies.look()
        return row

    def _study_order(self, row: StudyRow) -> StudyOrder:
        plan = self.store.plans.get(row.plan)
        trip, wishes = self.as_asked(plan)
        limits = Limits(row.seconds, self.settings.ceilings.solver_workers)
        return StudyOrder(row.kind, trip, self.plan_of(plan), wishes, limits)

    def as_asked(self, row: PlanRow) -> tuple[Trip, Wishes]:
        """The trip and the wishes that a plan was solved with, a list already issued included."""
        trip, wishes, issued = self.trip_of_plan(row), wishes_of_plan(row), ask_of_plan(row).issued
        if not issued:
            return trip, wishes
        narrowed = ByList(self._issued(issued)).narrow(trip)
        return narrowed.trip, replace(wishes, at_most=(*wishes.at_most, *narrowed.at_most))

    def is_busy_with(self, trip: str) -> bool:
        """Whether a plan or study of a trip waits or runs."""
        plans = self.store.plans.of_trip(trip)
        studies = (row for plan in plans for row in self.store.studies.of_plan(plan.id))
        return any(row.is_open for row in plans) or any(row.is_open for row in studies)

    def _kept(self, trip: str, plan: str) -> PlanRow:
        row = self.store.plans.get(plan)
        if row.trip != trip:
            raise Refusal(404, "not-found", f"There is no plan {plan!r} of this trip.")
        return row

    def _issued(self, plan: str) -> Issued:
        """The customs list that was issued for a plan; raises Refusal where none was."""
        from api.books import issued_list  # books stand on the desk

        issued = issued_list(self, self.store.plans.get(plan))
        if issued is None:
            remedy = "Enter it on the page Borders first."
            raise Refusal(409, "list-not-issued", "No list of that plan was issued.", remedy=remedy)
        return issued

    def plan_of(self, row: PlanRow) -> Plan:
        """The plan of a row; raises Refusal where there is none (yet)."""
        text = row.plan_json
        if text is None:
            raise Refusal(
                409,
                "no-plan-yet" if row.is_open else "no-plan",
                "This plan is still being solved." if row.is_open else row.message,
                outcome=Outcome(row.code) if row.code else Outcome.BAD_INPUT,
                findings=json.loads(row.causes),
            )
        return self._shelf.get(("plan", row.id), lambda: plan_from_json(json.loads(text)))

    def trip_of_plan(self, row: PlanRow) -> Trip:
        """The trip as it was when this plan was asked for."""
        upload = self.store.trips.upload(row.trip, row.upload)
        return self.trip_of(upload, edits_of_plan(row))

    def papers_of(self, row: PlanRow) -> None:
        """Make sure the papers of a plan are in the store."""
        if not self.store.papers.of_plan(row.id):
            self._shelf.get(("papers", row.id), lambda: self._print(row))

    def _print(self, row: PlanRow) -> bool:
        plan, trip = self.plan_of(row), self.trip_of_plan(row)
        seconds = self.settings.ceilings.paper_seconds
        files: dict[str, bytes] = self.run_reader(papers_of, trip, plan, seconds=seconds)
        self.store.papers.keep(row.id, files)
        return True

    def health(self) -> Health:
        """Plan the tiny trip in another process."""
        found: Health = self.run_thinker(plan_tiny_trip, seconds=_HEALTH_SECONDS)
        return found

    def kept(self, key: Hashable, make: Callable[[], Value]) -> Value:
        """A value that never changes, made once and kept for a while."""
        return self._shelf.get(key, make)

    def fresh(self, key: str, seconds: float, make: Callable[[], Value]) -> Value:
        """A value at most so many seconds old, made once however many ask at once."""
        return self._shelf.get((key, int(time.monotonic() / seconds)), make)

    def _order(self, row: PlanRow) -> Order:
        upload = self.store.trips.upload(row.trip, row.upload)
        ask, wishes = ask_of_plan(row), wishes_of_plan(row)
        ceilings = self.settings.ceilings
        seconds = min(ask.seconds, ceilings.solve_seconds)
        keep = self.store.plans.get(ask.keep).plan_json if ask.keep else None
        return Order(
            self.store.trips.original(upload),
            upload.form,
            edits_of_plan(row),
            Limits(seconds, ceilings.solver_workers, ask.seed),
            wishes.fly,
            wishes.hire,
            keep,
            ask.keep_slack_minor,
            self._issued(ask.issued) if ask.issued else None,
            ask.most_pieces,
        )


def desk_of(request: Request) -> Desk:
    """The desk of the app that serves a request."""
    desk = request.app.state.desk
    assert isinstance(desk, Desk)
    return desk


def bad_input(upload: Upload) -> Refusal:
    """The refusal of an upload with errors, with its findings."""
    findings = json.loads(upload.findings)
    errors = [finding for finding in findings if finding["severity"] == "error"]
    message = f"The workbook has {len(errors)} error{'' if len(errors) == 1 else 's'}."
    remedy = "Correct the cells named and send it again."
    return Refusal(422, "input-has-errors", message, remedy=remedy, findings=findings)


def edits_of(entries: tuple[Edit, ...]) -> Edits:
    """Edits from the entries that hold."""
    found: dict[str, list[Any]] = {"lock": [], "worth": [], "price": []}
    for entry in entries:
        subject = json.loads(entry.subject)
        key = subject[0] if len(subject) == 1 else tuple(subject)
        found[entry.what].append((key, entry.setting))
    return Edits(
        tuple(found["lock"]),
        tuple((gear, int(minor)) for gear, minor in found["worth"]),
        tuple((key, int(minor)) for key, minor in found["price"]),
    )


def edits_to_json(edits: Edits) -> dict[str, Any]:
    """Edits as a plan's asking keeps them."""
    return {
        "locks": [list(pair) for pair in edits.locks],
        "worths": [list(pair) for pair in edits.worths],
        "prices": [[list(key), minor] for key, minor in edits.prices],
        "tares": [list(pair) for pair in edits.tares],
        "weights": [list(pair) for pair in edits.weights],
    }


def edits_of_plan(row: PlanRow) -> Edits:
    """The edits that a plan was asked for with."""
    data = json.loads(row.ask)["edits"]
    return Edits(
        tuple((gear, lock) for gear, lock in data["locks"]),
        tuple((gear, minor) for gear, minor in data["worths"]),
        tuple((tuple(key), minor) for key, minor in data["prices"]),
        tuple((case, grams) for case, grams in data.get("tares", ())),
        tuple((gear, grams) for gear, grams in data.get("weights", ())),
    )


def wishes_of_plan(row: PlanRow) -> Wishes:
    """What flies and what is hired by the user's will in this plan."""
    ask, edits = ask_of_plan(row), edits_of_plan(row)
    return Wishes(
        tuple(dict.fromkeys((*edits.locked("fly"), *ask.fly))),
        tuple(dict.fromkeys((*edits.locked("hire"), *ask.hire))),
        most_pieces=ask.most_pieces,
    )


def ask_of_plan(row: PlanRow) -> PlanAsk:
    """What a plan was asked for with."""
    return PlanAsk(**json.loads(row.ask)["ask"])


def _run(hands: Hands, function: Callable[..., Any], *args: Any, seconds: float) -> Any:
    try:
        return hands.run(function, *args, seconds=seconds)
    except HandSlowError as error:
        message = f"This took longer than {seconds:.0f} s and was given up."
        raise Refusal(504, "too-slow", message, outcome=Outcome.OUT_OF_TIME) from error
    except HandLostError as error:
        message = "The working process ended before it answered."
        raise Refusal(500, "fault", message, outcome=Outcome.FAULT) from error
