"""Stores, servers and browsers for the tests of the API."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.databases import PostgresServer, why_no_postgres

from api.store import Store


@pytest.fixture(scope="session")
def postgres(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PostgresServer]:
    """A PostgreSQL server of our own, for this run of the tests."""
    reason = why_no_postgres()
    if reason:
        pytest.skip(reason)
    with PostgresServer(tmp_path_factory.mktemp("postgres")) as server:
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
