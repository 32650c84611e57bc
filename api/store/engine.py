"""The connection to the database: SQLite with a write-ahead log, or PostgreSQL by URL.

`open_engine(url)` gives an engine; `reading(engine)` and `writing(engine)` give transactions.
A write that returned is on the disk: nothing acknowledged is lost when the process is killed.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url

_WAIT_SECONDS = 30


def open_engine(url: str) -> Engine:
    """An engine for a store's URL; makes the folder of an SQLite file where it is missing."""
    address = make_url(url)
    if address.get_backend_name() == "sqlite":
        return _sqlite(url, address.database or "")
    if address.get_backend_name() == "postgresql":
        return create_engine(address.set(drivername="postgresql+pg8000"), pool_pre_ping=True)
    raise ValueError(f"a store is sqlite:/// or postgresql://, not {address.drivername!r}")


def _sqlite(url: str, file: str) -> Engine:
    Path(file).parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(
        url, connect_args={"timeout": _WAIT_SECONDS, "check_same_thread": False}, pool_size=20
    )
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(connection: Any, _record: object) -> None:
    connection.isolation_level = None  # transactions begin where `_begin_sqlite` says, not earlier
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    # A writer takes its lock at once: one that reads first and writes later could find
    # that another wrote in between, and fail instead of waiting.
    write = connection.get_execution_options().get("write", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """One consistent view of the store."""
    with engine.connect() as connection:
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """One transaction that is kept whole, or not at all when the block raises."""
    with engine.connect().execution_options(write=True) as connection, connection.begin():
        yield connection
