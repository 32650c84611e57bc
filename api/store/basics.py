"""What every part of the store uses: ids, the clock, blobs, rows to values."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping
from dataclasses import fields
from datetime import UTC, datetime
from typing import Any, TypeVar

from sqlalchemy import Connection, text

Row = TypeVar("Row")


class MissingError(LookupError):
    """What was asked for is not in the store."""


def new_id() -> str:
    """A short id that nobody can guess: 10 characters of 32, no look-alikes (50 bits)."""
    letters = "abcdefghjkmnpqrstuvwxyz023456789"
    return "".join(secrets.choice(letters) for _ in range(10))


def now() -> str:
    """This moment, ISO 8601, UTC, to the millisecond."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def value_of(kind: type[Row], row: Mapping[Any, Any]) -> Row:
    """A frozen value from the columns of the same names."""
    names = [field.name for field in fields(kind)]  # type: ignore[arg-type]
    return kind(**{name: row[name] for name in names})


def keep_blob(connection: Connection, content: bytes) -> str:
    """Keep bytes under their SHA-256, once however often they come; returns it in hex."""
    mark = hashlib.sha256(content).hexdigest()
    connection.execute(
        text(
            "INSERT INTO blobs (sha256, size, content) VALUES (:sha256, :size, :content)"
            " ON CONFLICT (sha256) DO NOTHING"
        ),
        {"sha256": mark, "size": len(content), "content": content},
    )
    return mark


def blob(connection: Connection, sha256: str) -> bytes:
    """The bytes kept under a SHA-256; raises MissingError."""
    found = connection.execute(
        text("SELECT content FROM blobs WHERE sha256 = :sha256"), {"sha256": sha256}
    ).scalar_one_or_none()
    if found is None:
        raise MissingError(sha256)
    return bytes(found)
