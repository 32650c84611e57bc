"""Stores, servers and browsers for the tests of the API."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.databases import PostgresServer, why_no_postgres
from support.serving import Caller, Served, served
from support.tour import tour_bytes

from api.store import Store
from api.store.plans import Ending


@pytest.fixture(scope="session")
def postgres() -> Iterator[PostgresServer]:
    """A PostgreSQL server of our own, for this run of the tests."""
    reason = why_no_postgres()
    if reason:
        pytest.skip(reason)
    with PostgresServer() as server:
        yield server


@pytest.fixture(params=["sqlite", "postgresql"])
def store_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The URL of an empty store, on each database in turn."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'holdall.db'}"
    server: PostgresServer = request.getfixturevalue("postgres")
    return server.new_database()


@pytest.fixture
def store(store_url: str) -> Iterator[Store]:
    """An empty store, on each database in turn."""
    opened = Store.open(store_url)
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def tour(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The invented tour as a workbook."""
    return tour_bytes(tmp_path_factory.mktemp("tour"))


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One server process for all tests that leave nothing behind that another would trip over."""
    with served(tmp_path_factory.mktemp("server")) as server:
        yield server


@pytest.fixture(scope="session")
def caller(shared_server: Served) -> Caller:
    """Whoever sits at this machine, at the shared server."""
    return shared_server.caller()


@pytest.fixture(scope="session")
def solved(caller: Caller, tour: bytes) -> tuple[str, str]:
    """A trip and a finished plan of it at the shared server, to look at and not to change."""
    trip = caller.send_trip(tour)
    return trip, caller.planned(trip)


@pytest.fixture
def fresh(
    caller: Caller, shared_server: Served, solved: tuple[str, str], tour: bytes
) -> tuple[str, str]:
    """A trip and a finished plan of its own for one test, to change at will.

    The plan is the one of `solved` again, put into the store beside the running server: solving
    it anew for every test would take most of the time of the whole run.
    """
    store = Store.open(f"sqlite:///{shared_server.data / 'holdall.db'}")
    row = store.plans.get(solved[1])
    trip = caller.send_trip(tour)
    names = ("state", "message", "causes", "plan_json", "best_minor", "bound_minor")
    ending = Ending(code=row.code or 0, **{name: getattr(row, name) for name in names})
    plan = store.plans.adopt(trip, 1, row.ask, ending, "test").id
    store.close()
    return trip, plan
