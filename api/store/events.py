"""What happened on the road: ticks, weights, borders; entries that are only ever added.

Each entry carries a `mark` made by whoever sends it. The same mark sent twice, by a phone that
lost the answer, is kept once; two phones at once each get their own place in one order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from sqlalchemy import Connection, Engine, text

from api.store.basics import now, value_of
from api.store.engine import reading, writing
from api.store.trips import lock_trip


@dataclass(frozen=True, slots=True)
class EventRow:
    """An entry in one book (`ticks`, `scale`, `border`) of a plan; `entry` is JSON."""

    seq: int
    trip: str
    plan: str
    book: str
    mark: str
    entry: str
    made: str
    made_by: str


Settle = Callable[[tuple[EventRow, ...]], Iterable[tuple[str, str]]]


class Events:
    """Entries in the store."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def enter(self, trip: str, plan: str, book: str, settle: Settle, by: str) -> None:
        """Add the (mark, entry) pairs that `settle` makes of what stands, alone with the book.

        What `settle` raises undoes all. Raises MissingError for an unknown trip.
        """
        with writing(self._engine) as connection:
            lock_trip(connection, trip)
            for mark, entry in settle(_standing(connection, plan, book, 0)):
                connection.execute(
                    text(
                        "INSERT INTO events (trip, plan, book, mark, entry, made, made_by) VALUES"
                        " (:trip, :plan, :book, :mark, :entry, :made, :by)"
                    ),
                    {
                        "trip": trip,
                        "plan": plan,
                        "book": book,
                        "mark": mark,
                        "entry": entry,
                        "made": now(),
                        "by": by,
                    },
                )

    def of(self, plan: str, book: str, after: int = 0) -> tuple[EventRow, ...]:
        """The entries of a plan's book in order, those after a place only."""
        with reading(self._engine) as connection:
            return _standing(connection, plan, book, after)


def _standing(connection: Connection, plan: str, book: str, after: int) -> tuple[EventRow, ...]:
    rows = connection.execute(
        text(
            "SELECT * FROM events WHERE plan = :plan AND book = :book AND seq > :after ORDER BY seq"
        ),
        {"plan": plan, "book": book, "after": after},
    )
    return tuple(value_of(EventRow, row) for row in rows.mappings())
