"""One server per store: a second one would hand the same solve out twice.

The claim is a lock that the operating system or PostgreSQL drops by itself when the process
dies, so a killed server never leaves it behind.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import IO

from sqlalchemy import Connection, Engine, text
from sqlalchemy.engine import make_url

_PG_KEY = 0x686F6C64  # "hold", an arbitrary number of our own


class AlreadyServedError(RuntimeError):
    """Another server works on this store."""


class Claim:
    """Holds a store for one server from `take` to `release`."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._file: IO[bytes] | None = None
        self._connection: Connection | None = None

    def take(self) -> None:
        """Claim the store; raises AlreadyServedError where another server has it."""
        if self._engine.dialect.name == "postgresql":
            self._take_postgres()
        else:
            self._take_file()

    def release(self) -> None:
        """Give the store up."""
        if self._file is not None:
            self._file.close()
            self._file = None
        if self._connection is not None:
            self._connection.invalidate()  # ends the session, and its lock with it
            self._connection.close()
            self._connection = None

    def _take_postgres(self) -> None:
        connection = self._engine.connect().execution_options(isolation_level="AUTOCOMMIT")
        got = connection.execute(text("SELECT pg_try_advisory_lock(:key)"), {"key": _PG_KEY})
        if not got.scalar_one():
            connection.close()
            raise AlreadyServedError("another server works on this database")
        self._connection = connection

    def _take_file(self) -> None:
        database = make_url(str(self._engine.url)).database or ""
        path = Path(database + ".lock")
        file = path.open("ab")
        if not _lock(file):
            file.close()
            raise AlreadyServedError(f"another server works on {database}")
        self._file = file


def _lock(file: IO[bytes]) -> bool:
    try:
        if os.name == "nt":
            import msvcrt

            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
        else:
            import fcntl

            fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
