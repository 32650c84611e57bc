"""Accounts, sessions and links for one trip.

No secret stands in the store: a password only as its slow hash (`api.safety.passwords`), the
secret of a session or a link only as its SHA-256, its `mark`.
"""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, Engine, text

from api.store.basics import MissingError, new_id, now, value_of
from api.store.engine import reading, writing


@dataclass(frozen=True, slots=True)
class Account:
    """A named account; `secret` is the slow hash of its password."""

    name: str
    role: str
    secret: str
    made: str


@dataclass(frozen=True, slots=True)
class Session:
    """Someone who logged in, or came by a link to one trip (`trip` set), until `ends`."""

    mark: str
    account: str
    role: str
    trip: str | None
    ends: str


@dataclass(frozen=True, slots=True)
class Link:
    """A link to one trip that works until `ends`."""

    id: str
    mark: str
    trip: str
    role: str
    ends: str
    made: str
    made_by: str


class People:
    """Accounts, sessions and links in the store."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def set_account(self, name: str, role: str, secret: str) -> None:
        """Make an account, or change its role and password; its sessions end."""
        with writing(self._engine) as connection:
            connection.execute(
                text(
                    "INSERT INTO accounts (name, role, secret, made) VALUES"
                    " (:name, :role, :secret, :made) ON CONFLICT (name)"
                    " DO UPDATE SET role = excluded.role, secret = excluded.secret"
                ),
                {"name": name, "role": role, "secret": secret, "made": now()},
            )
            _end_sessions(connection, name)

    def remove_account(self, name: str) -> None:
        """Remove an account and end its sessions; raises MissingError."""
        with writing(self._engine) as connection:
            done = connection.execute(
                text("DELETE FROM accounts WHERE name = :name"), {"name": name}
            )
            if done.rowcount == 0:
                raise MissingError(name)
            _end_sessions(connection, name)

    def accounts(self) -> tuple[Account, ...]:
        """All accounts by name."""
        with reading(self._engine) as connection:
            rows = connection.execute(text("SELECT * FROM accounts ORDER BY name"))
            return tuple(value_of(Account, row) for row in rows.mappings())

    def account(self, name: str) -> Account:
        """An account by name; raises MissingError."""
        for account in self.accounts():
            if account.name == name:
                return account
        raise MissingError(name)

    def open_session(self, session: Session) -> None:
        """Keep a session, and drop those that have ended."""
        with writing(self._engine) as connection:
            connection.execute(text("DELETE FROM sessions WHERE ends < :now"), {"now": now()})
            connection.execute(
                text(
                    "INSERT INTO sessions (mark, account, role, trip, ends)"
                    " VALUES (:mark, :account, :role, :trip, :ends)"
                ),
                {name: getattr(session, name) for name in Session.__slots__},
            )

    def session(self, mark: str) -> Session:
        """A session that has not ended; raises MissingError."""
        with reading(self._engine) as connection:
            row = connection.execute(
                text("SELECT * FROM sessions WHERE mark = :mark AND ends > :now"),
                {"mark": mark, "now": now()},
            )
            found = row.mappings().one_or_none()
        if found is None:
            raise MissingError("session")
        return value_of(Session, found)

    def close_session(self, mark: str) -> None:
        """Log out."""
        with writing(self._engine) as connection:
            connection.execute(text("DELETE FROM sessions WHERE mark = :mark"), {"mark": mark})

    def add_link(self, mark: str, trip: str, role: str, ends: str, by: str) -> Link:
        """Make a link to one trip."""
        link = Link(new_id(), mark, trip, role, ends, now(), by)
        with writing(self._engine) as connection:
            connection.execute(
                text(
                    "INSERT INTO links (id, mark, trip, role, ends, made, made_by)"
                    " VALUES (:id, :mark, :trip, :role, :ends, :made, :made_by)"
                ),
                {name: getattr(link, name) for name in Link.__slots__},
            )
        return link

    def links(self, trip: str) -> tuple[Link, ...]:
        """The links of a trip that still work."""
        return self._links("trip = :key", trip)

    def link(self, mark: str) -> Link:
        """A link by its mark, while it works; raises MissingError."""
        found = self._links("mark = :key", mark)
        if not found:
            raise MissingError("link")
        return found[0]

    def remove_link(self, trip: str, link: str) -> None:
        """Take a link back, and end the sessions that came by it; raises MissingError."""
        with writing(self._engine) as connection:
            done = connection.execute(
                text("DELETE FROM links WHERE id = :link AND trip = :trip"),
                {"link": link, "trip": trip},
            )
            if done.rowcount == 0:
                raise MissingError(link)
            _end_sessions(connection, f"link {link}")

    def _links(self, where: str, key: str) -> tuple[Link, ...]:
        with reading(self._engine) as connection:
            rows = connection.execute(
                text(f"SELECT * FROM links WHERE {where} AND ends > :now ORDER BY made"),
                {"key": key, "now": now()},
            )
            return tuple(value_of(Link, row) for row in rows.mappings())


def _end_sessions(connection: Connection, account: str) -> None:
    connection.execute(text("DELETE FROM sessions WHERE account = :name"), {"name": account})
