"""The shape of the database, as numbered steps that are only ever added to.

`migrate(connection)` brings any older database to the newest shape inside the caller's
transaction. `{blob}` and `{serial}` stand for what each database calls them.
"""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, text


@dataclass(frozen=True, slots=True)
class Step:
    """One change of shape: its number, what it is for, and its statements."""

    number: int
    purpose: str
    statements: tuple[str, ...]


STEPS: tuple[Step, ...] = (
    Step(
        1,
        "trips with every upload kept, and plans with the queue of solves",
        (
            """CREATE TABLE blobs (
                sha256 TEXT PRIMARY KEY, size BIGINT NOT NULL, content {blob} NOT NULL)""",
            """CREATE TABLE trips (
                id TEXT PRIMARY KEY, name TEXT NOT NULL, made TEXT NOT NULL, made_by TEXT NOT NULL)
            """,
            """CREATE TABLE uploads (
                trip TEXT NOT NULL REFERENCES trips(id), number INTEGER NOT NULL,
                file TEXT NOT NULL, form TEXT NOT NULL,
                sha256 TEXT NOT NULL REFERENCES blobs(sha256),
                code INTEGER NOT NULL, findings TEXT NOT NULL, facts TEXT NOT NULL,
                made TEXT NOT NULL, made_by TEXT NOT NULL, PRIMARY KEY (trip, number))""",
            """CREATE TABLE edits (
                seq {serial}, trip TEXT NOT NULL REFERENCES trips(id), what TEXT NOT NULL,
                subject TEXT NOT NULL, setting TEXT NOT NULL, why TEXT NOT NULL,
                made TEXT NOT NULL, made_by TEXT NOT NULL)""",
            "CREATE INDEX edits_by_trip ON edits (trip, seq)",
            """CREATE TABLE plans (
                seq {serial}, id TEXT NOT NULL UNIQUE, trip TEXT NOT NULL REFERENCES trips(id),
                upload INTEGER NOT NULL, ask TEXT NOT NULL, state TEXT NOT NULL,
                tries INTEGER NOT NULL, stop_asked INTEGER NOT NULL,
                best_minor BIGINT, bound_minor BIGINT, doing TEXT NOT NULL, seconds REAL NOT NULL,
                code INTEGER, message TEXT NOT NULL, causes TEXT NOT NULL, plan_json TEXT,
                made TEXT NOT NULL, made_by TEXT NOT NULL, begun TEXT, ended TEXT)""",
            "CREATE INDEX plans_by_trip ON plans (trip, seq)",
            "CREATE INDEX plans_by_state ON plans (state, seq)",
        ),
    ),
    Step(
        2,
        "papers kept beside their plan, so that the second look is quick",
        (
            """CREATE TABLE papers (
                plan TEXT NOT NULL REFERENCES plans(id), name TEXT NOT NULL,
                sha256 TEXT NOT NULL REFERENCES blobs(sha256), size BIGINT NOT NULL,
                PRIMARY KEY (plan, name))""",
        ),
    ),
    Step(
        3,
        "people: accounts, sessions and links for one trip",
        (
            """CREATE TABLE accounts (
                name TEXT PRIMARY KEY, role TEXT NOT NULL, secret TEXT NOT NULL,
                made TEXT NOT NULL)""",
            """CREATE TABLE sessions (
                mark TEXT PRIMARY KEY, account TEXT NOT NULL, role TEXT NOT NULL,
                trip TEXT, ends TEXT NOT NULL)""",
            """CREATE TABLE links (
                id TEXT PRIMARY KEY, mark TEXT NOT NULL UNIQUE, trip TEXT NOT NULL,
                role TEXT NOT NULL, ends TEXT NOT NULL, made TEXT NOT NULL, made_by TEXT NOT NULL)
            """,
        ),
    ),
    Step(
        4,
        "what happens on the road, as entries that are only ever added",
        (
            """CREATE TABLE events (
                seq {serial}, trip TEXT NOT NULL REFERENCES trips(id), plan TEXT NOT NULL,
                book TEXT NOT NULL, mark TEXT NOT NULL, entry TEXT NOT NULL,
                made TEXT NOT NULL, made_by TEXT NOT NULL, UNIQUE (plan, book, mark))""",
            "CREATE INDEX events_by_book ON events (plan, book, seq)",
        ),
    ),
    Step(
        5,
        "the best plan so far of a running solve, so that a cut does not lose what was shown",
        ("ALTER TABLE plans ADD COLUMN best_json TEXT",),
    ),
    Step(
        6,
        "studies of a plan: what if one thing changed, what a little more would save",
        (
            """CREATE TABLE studies (
                seq {serial}, id TEXT NOT NULL UNIQUE, plan TEXT NOT NULL REFERENCES plans(id),
                kind TEXT NOT NULL, seconds REAL NOT NULL, state TEXT NOT NULL,
                tries INTEGER NOT NULL, stop_asked INTEGER NOT NULL, doing TEXT NOT NULL,
                result TEXT NOT NULL, code INTEGER, message TEXT NOT NULL,
                made TEXT NOT NULL, made_by TEXT NOT NULL, begun TEXT, ended TEXT)""",
            "CREATE INDEX studies_by_plan ON studies (plan, seq)",
        ),
    ),
    Step(
        7,
        "trips put away: out of the list, with all that belongs to them kept",
        ("ALTER TABLE trips ADD COLUMN away TEXT",),
    ),
)

_WORDS = {
    "sqlite": {"blob": "BLOB", "serial": "INTEGER PRIMARY KEY AUTOINCREMENT"},
    "postgresql": {"blob": "BYTEA", "serial": "BIGSERIAL PRIMARY KEY"},
}

NEWEST = STEPS[-1].number


class NewerShapeError(RuntimeError):
    """The database was made by a newer Holdall than this one."""


def migrate(connection: Connection, upto: int = NEWEST) -> tuple[int, ...]:
    """Apply the steps that are still missing; returns their numbers. Raises NewerShapeError."""
    connection.execute(text("CREATE TABLE IF NOT EXISTS shape (number INTEGER PRIMARY KEY)"))
    stands = connection.execute(text("SELECT COALESCE(MAX(number), 0) FROM shape")).scalar_one()
    if stands > NEWEST:
        raise NewerShapeError(f"the store has shape {stands}, this Holdall knows up to {NEWEST}")
    missing = [step for step in STEPS if stands < step.number <= upto]
    for step in missing:
        _apply(connection, step)
    return tuple(step.number for step in missing)


def _apply(connection: Connection, step: Step) -> None:
    words = _WORDS[connection.dialect.name]
    for statement in step.statements:
        connection.execute(text(statement.format(**words)))
    connection.execute(text("INSERT INTO shape (number) VALUES (:number)"), {"number": step.number})
