"""Trips, every upload of each of them byte for byte, and the edits made on top.

An upload is never changed or removed: replacing a workbook adds the next number. An edit (a
lock, a price, a worth) is an entry too; what holds now is the last entry for its subject.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Engine, text

from api.store.basics import MissingError, blob, keep_blob, new_id, now, value_of
from api.store.engine import reading, writing


@dataclass(frozen=True, slots=True)
class TripRow:
    """A trip: its id, the name its workbook gives, who made it and when.

    `away` is when it was put away: out of the list, with all that belongs to it kept.
    """

    id: str
    name: str
    made: str
    made_by: str
    away: str | None = None


@dataclass(frozen=True, slots=True)
class Upload:
    """One workbook (`form` xlsx) or zip of CSV sheets (`form` csv-zip), with what was found."""

    trip: str
    number: int
    file: str
    form: str
    sha256: str
    code: int
    findings: str
    facts: str
    made: str
    made_by: str


@dataclass(frozen=True, slots=True)
class Edit:
    """One entry: `what` is lock, worth or price; `setting` is empty to take it back."""

    seq: int
    trip: str
    what: str
    subject: str
    setting: str
    why: str
    made: str
    made_by: str


@dataclass(frozen=True, slots=True)
class Incoming:
    """An upload that was read, about to be kept."""

    name: str
    file: str
    form: str
    content: bytes
    code: int
    findings: Sequence[dict[str, str]]
    facts: dict[str, Any]


class Trips:
    """Trips in the store."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def add(self, incoming: Incoming, by: str) -> Upload:
        """A new trip with its first upload."""
        with writing(self._engine) as connection:
            trip = TripRow(new_id(), incoming.name, now(), by)
            connection.execute(
                text(
                    "INSERT INTO trips (id, name, made, made_by)"
                    " VALUES (:id, :name, :made, :made_by)"
                ),
                {"id": trip.id, "name": trip.name, "made": trip.made, "made_by": by},
            )
            return _keep_upload(connection, trip.id, 1, incoming, by)

    def replace(self, trip: str, incoming: Incoming, by: str) -> Upload:
        """The next upload of a trip; the earlier ones stay. Raises MissingError."""
        with writing(self._engine) as connection:
            lock_trip(connection, trip)
            last = connection.execute(
                text("SELECT MAX(number) FROM uploads WHERE trip = :trip"), {"trip": trip}
            ).scalar_one()
            connection.execute(
                text("UPDATE trips SET name = :name WHERE id = :trip"),
                {"name": incoming.name, "trip": trip},
            )
            return _keep_upload(connection, trip, int(last or 0) + 1, incoming, by)

    def put_away(self, trip: str, *, away: bool) -> None:
        """Put a trip away, or take it out again; nothing of it changes. Raises MissingError."""
        with writing(self._engine) as connection:
            lock_trip(connection, trip)
            connection.execute(
                text("UPDATE trips SET away = :away WHERE id = :trip"),
                {"away": now() if away else None, "trip": trip},
            )

    def remove(self, trip: str) -> None:
        """Remove a trip with everything of it, originals too, for ever. Raises MissingError."""
        with writing(self._engine) as connection:
            lock_trip(connection, trip)
            for statement in _REMOVALS:
                connection.execute(text(statement), {"trip": trip})

    def all(self) -> tuple[TripRow, ...]:
        """Every trip, newest first, those put away too."""
        with reading(self._engine) as connection:
            rows = connection.execute(text("SELECT * FROM trips ORDER BY made DESC, id"))
            return tuple(value_of(TripRow, row) for row in rows.mappings())

    def get(self, trip: str) -> TripRow:
        """A trip by id; raises MissingError."""
        with reading(self._engine) as connection:
            row = connection.execute(text("SELECT * FROM trips WHERE id = :trip"), {"trip": trip})
            found = row.mappings().one_or_none()
        if found is None:
            raise MissingError(trip)
        return value_of(TripRow, found)

    def uploads(self, trip: str) -> tuple[Upload, ...]:
        """Every upload of a trip, newest first; empty for an unknown trip."""
        with reading(self._engine) as connection:
            rows = connection.execute(
                text("SELECT * FROM uploads WHERE trip = :trip ORDER BY number DESC"),
                {"trip": trip},
            )
            return tuple(value_of(Upload, row) for row in rows.mappings())

    def upload(self, trip: str, number: int | None = None) -> Upload:
        """An upload by number, the newest where none is given; raises MissingError."""
        for upload in self.uploads(trip):
            if number is None or upload.number == number:
                return upload
        raise MissingError(f"{trip}/{number}")

    def original(self, upload: Upload) -> bytes:
        """What was uploaded, byte for byte."""
        with reading(self._engine) as connection:
            return blob(connection, upload.sha256)

    def edit(self, trip: str, what: str, subject: str, setting: str, why: str, by: str) -> Edit:
        """Add an entry and return it; raises MissingError for an unknown trip."""
        with writing(self._engine) as connection:
            lock_trip(connection, trip)
            row = connection.execute(
                text(
                    "INSERT INTO edits (trip, what, subject, setting, why, made, made_by) VALUES"
                    " (:trip, :what, :subject, :setting, :why, :made, :made_by) RETURNING *"
                ),
                {
                    "trip": trip,
                    "what": what,
                    "subject": subject,
                    "setting": setting,
                    "why": why,
                    "made": now(),
                    "made_by": by,
                },
            )
            return value_of(Edit, row.mappings().one())

    def edits(self, trip: str) -> tuple[Edit, ...]:
        """Every entry of a trip in the order made."""
        with reading(self._engine) as connection:
            rows = connection.execute(
                text("SELECT * FROM edits WHERE trip = :trip ORDER BY seq"), {"trip": trip}
            )
            return tuple(value_of(Edit, row) for row in rows.mappings())

    def standing_edits(self, trip: str) -> tuple[Edit, ...]:
        """The last entry for each subject, without those taken back."""
        last = {(edit.what, edit.subject): edit for edit in self.edits(trip)}
        return tuple(edit for edit in last.values() if edit.setting)


_OF_PLANS = "plan IN (SELECT id FROM plans WHERE trip = :trip)"
_REMOVALS = (
    f"DELETE FROM studies WHERE {_OF_PLANS}",
    f"DELETE FROM papers WHERE {_OF_PLANS}",
    "DELETE FROM events WHERE trip = :trip",
    "DELETE FROM plans WHERE trip = :trip",
    "DELETE FROM edits WHERE trip = :trip",
    "DELETE FROM sessions WHERE trip = :trip",
    "DELETE FROM links WHERE trip = :trip",
    "DELETE FROM uploads WHERE trip = :trip",
    "DELETE FROM trips WHERE id = :trip",
    # Bytes that another trip has as well stay.
    "DELETE FROM blobs WHERE sha256 NOT IN (SELECT sha256 FROM uploads)"
    " AND sha256 NOT IN (SELECT sha256 FROM papers)",
)


def lock_trip(connection: Connection, trip: str) -> None:
    """Let no other writer add to this trip until the transaction ends; raises MissingError."""
    suffix = " FOR UPDATE" if connection.dialect.name == "postgresql" else ""
    found = connection.execute(
        text("SELECT id FROM trips WHERE id = :trip" + suffix), {"trip": trip}
    ).scalar_one_or_none()
    if found is None:
        raise MissingError(trip)


def _keep_upload(
    connection: Connection, trip: str, number: int, incoming: Incoming, by: str
) -> Upload:
    upload = Upload(
        trip,
        number,
        incoming.file,
        incoming.form,
        keep_blob(connection, incoming.content),
        incoming.code,
        json.dumps(list(incoming.findings), ensure_ascii=False),
        json.dumps(incoming.facts, ensure_ascii=False),
        now(),
        by,
    )
    connection.execute(
        text(
            "INSERT INTO uploads (trip, number, file, form, sha256, code, findings, facts, made,"
            " made_by) VALUES (:trip, :number, :file, :form, :sha256, :code, :findings, :facts,"
            " :made, :made_by)"
        ),
        {name: getattr(upload, name) for name in Upload.__slots__},
    )
    return upload
