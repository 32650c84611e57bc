"""Where everything that was acknowledged is kept: one store over SQLite or PostgreSQL.

`Store.open(url)` migrates and opens; `store.trips`, `.plans`, `.papers`, `.people`, `.events` and
`.studies` each hold one topic. All values in and out are frozen; times are ISO 8601 in UTC.
"""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Engine

from api.store.claim import Claim
from api.store.engine import open_engine, writing
from api.store.events import Events
from api.store.migrations import migrate
from api.store.papers import Papers
from api.store.people import People
from api.store.plans import Plans
from api.store.studies import Studies
from api.store.trips import Trips


@dataclass(frozen=True, slots=True)
class Store:
    """The whole store; every part shares one engine."""

    engine: Engine
    trips: Trips
    plans: Plans
    papers: Papers
    people: People
    events: Events
    studies: Studies
    claim: Claim

    @classmethod
    def open(cls, url: str) -> Store:
        """Open the store at a URL, bringing an older one to the newest shape."""
        engine = open_engine(url)
        with writing(engine) as connection:
            migrate(connection)
        return cls(
            engine,
            Trips(engine),
            Plans(engine),
            Papers(engine),
            People(engine),
            Events(engine),
            Studies(engine),
            Claim(engine),
        )

    def close(self) -> None:
        """Give up the claim and the connections."""
        self.claim.release()
        self.engine.dispose()
