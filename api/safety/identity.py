"""Who is asking, and whether they may: roles, sessions, tokens and links for one trip.

On loopback with no token and no accounts, whoever sits at this machine manages. Otherwise a
caller carries a bearer token, a session's cookie, or the cookie that a link to one trip gave.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import IntEnum

from fastapi import Request

from api.errors import Refusal
from api.safety.passwords import (
    hash_password,
    mark_of,
    new_secret,
    password_matches,
    same_secret,
)
from api.safety.throttle import Throttle
from api.settings import Settings
from api.store import Store
from api.store.basics import MissingError
from api.store.people import Session

COOKIE = "holdall"
SESSION_HOURS = 24 * 7
WITHIN_SECONDS = 300.0
FAILURES_OF_CALLER = 5
# Higher than for a caller: nobody should lock a colleague out with a few wrong guesses.
FAILURES_OF_NAME = 50


class Role(IntEnum):
    """What someone may do; each role may also do what the ones before it may."""

    LOOK = 1
    PACK = 2
    MANAGE = 3

    @property
    def word(self) -> str:
        """The role as people and the API write it."""
        return self.name.lower()

    @classmethod
    def named(cls, word: str) -> Role:
        """The role of a word; raises KeyError."""
        return cls[word.upper()]


@dataclass(frozen=True, slots=True)
class Person:
    """Someone who may be here. `trip` set: only this trip. `by_cookie`: a browser sent them."""

    name: str
    role: Role
    trip: str | None = None
    by_cookie: bool = False


class Door:
    """Lets people in: knows the settings, the store and how often each caller has failed."""

    def __init__(self, settings: Settings, store: Store) -> None:
        self._settings = settings
        self._store = store
        self._callers = Throttle(FAILURES_OF_CALLER, WITHIN_SECONDS)
        self._names = Throttle(FAILURES_OF_NAME, WITHIN_SECONDS)
        # A name that does not exist costs as much time as one that does.
        self._decoy = hash_password(secrets.token_hex(8))

    @property
    def is_open(self) -> bool:
        """True when this machine is its own proof: loopback, no token, no accounts."""
        if not self._settings.is_loopback or self._settings.token:
            return False
        return not self._store.people.accounts()

    def who(self, request: Request) -> Person | None:
        """The person behind a request; None for a stranger."""
        bearer = request.headers.get("authorization", "")
        if bearer.lower().startswith("bearer "):
            return self._by_token(bearer[7:].strip(), request)
        cookie = request.cookies.get(COOKIE)
        if cookie:
            person = self._by_session(cookie)
            if person:
                return person
        return Person("this machine", Role.MANAGE) if self.is_open else None

    def log_in(self, name: str, password: str, caller: str) -> tuple[str, Session]:
        """A session for a name and password, or for the token with no name; raises Refusal."""
        self._refuse_if(max(self._callers.wait(caller), self._names.wait(name)))
        role = self._role_of(name, password)
        if role is None:
            self._callers.failed(caller)
            self._names.failed(name)
            raise Refusal(401, "wrong-log-in", "This name and password do not go together.")
        self._callers.succeeded(caller)
        return self._open(name or "token", role, None, hours=SESSION_HOURS)

    def follow_link(self, secret: str, caller: str) -> tuple[str, Session]:
        """A session for one trip by a link's secret; raises Refusal."""
        self._refuse_if(self._callers.wait(caller))
        try:
            link = self._store.people.link(mark_of(secret))
        except MissingError:
            self._callers.failed(caller)
            raise Refusal(404, "link-ended", "This link has ended or never was.") from None
        name = f"link {link.id}"
        return self._open(name, Role.named(link.role), link.trip, ends=link.ends)

    def log_out(self, request: Request) -> None:
        """End the session of a request."""
        self._store.people.close_session(mark_of(request.cookies.get(COOKIE, "")))

    def _refuse_if(self, wait: int) -> None:
        if wait:
            raise Refusal(
                429,
                "too-many-tries",
                f"Too many wrong tries; wait {wait} s.",
                headers={"Retry-After": str(wait)},
            )

    def _by_token(self, token: str, request: Request) -> Person | None:
        caller = caller_of(request)
        self._refuse_if(self._callers.wait(caller))
        if self._settings.token and same_secret(token, self._settings.token):
            return Person("token", Role.MANAGE)
        person = self._by_session(token)
        if person is None:
            self._callers.failed(caller)
        return person and Person(person.name, person.role, person.trip)

    def _by_session(self, secret: str) -> Person | None:
        try:
            session = self._store.people.session(mark_of(secret))
        except MissingError:
            return None
        return Person(session.account, Role.named(session.role), session.trip, by_cookie=True)

    def _role_of(self, name: str, password: str) -> Role | None:
        if not name:
            token = self._settings.token
            return Role.MANAGE if token and same_secret(password, token) else None
        try:
            account = self._store.people.account(name)
        except MissingError:
            password_matches(password, self._decoy)
            return None
        matches = password_matches(password, account.secret)
        return Role.named(account.role) if matches else None

    def _open(
        self, name: str, role: Role, trip: str | None, *, hours: int = 0, ends: str = ""
    ) -> tuple[str, Session]:
        secret = new_secret()
        until = ends or later(hours)
        session = Session(mark_of(secret), name, role.word, trip, until)
        self._store.people.open_session(session)
        return secret, session


def caller_of(request: Request) -> str:
    """The address that a request came from."""
    return request.client.host if request.client else ""


def later(hours: int) -> str:
    """The moment so many hours from now, as the store writes times."""
    return (datetime.now(UTC) + timedelta(hours=hours)).isoformat(timespec="milliseconds")


def person_of(request: Request) -> Person:
    """The person that the guard has put on the request."""
    person = request.state.person
    assert isinstance(person, Person)
    return person


def needs(role: Role) -> Callable[[Request], Person]:
    """A dependency: the caller has at least this role, and the trip in the path is theirs."""

    def check(request: Request) -> Person:
        person: Person | None = request.state.person
        if person is None:
            raise Refusal(
                401, "log-in-first", "Log in first.", headers={"WWW-Authenticate": "Bearer"}
            )
        if person.role < role:
            raise Refusal(403, "not-your-role", f"This needs the role {role.word}.")
        return person

    return check


def check_trip(person: Person, trip: str) -> None:
    """Refuse someone who came by a link to another trip, as if this one were not there."""
    if person.trip is not None and person.trip != trip:
        raise Refusal(404, "not-found", f"There is no trip {trip!r} here.")
