"""The papers of a plan, kept as they were first written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Engine, text

from api.store.basics import MissingError, blob, keep_blob, value_of
from api.store.engine import reading, writing


@dataclass(frozen=True, slots=True)
class Paper:
    """One file of a plan; `size` in bytes."""

    plan: str
    name: str
    sha256: str
    size: int


class Papers:
    """Papers in the store."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def keep(self, plan: str, files: Mapping[str, bytes]) -> None:
        """Keep all papers of a plan in one go; what is there already stays as it is."""
        with writing(self._engine) as connection:
            for name, content in files.items():
                connection.execute(
                    text(
                        "INSERT INTO papers (plan, name, sha256, size) VALUES"
                        " (:plan, :name, :sha256, :size) ON CONFLICT (plan, name) DO NOTHING"
                    ),
                    {
                        "plan": plan,
                        "name": name,
                        "sha256": keep_blob(connection, content),
                        "size": len(content),
                    },
                )

    def of_plan(self, plan: str) -> tuple[Paper, ...]:
        """The papers of a plan by name; empty while none were written."""
        with reading(self._engine) as connection:
            rows = connection.execute(
                text("SELECT * FROM papers WHERE plan = :plan ORDER BY name"), {"plan": plan}
            )
            return tuple(value_of(Paper, row) for row in rows.mappings())

    def content(self, plan: str, name: str) -> bytes:
        """One paper; raises MissingError. Names are only ever compared with names in the store."""
        with reading(self._engine) as connection:
            mark = connection.execute(
                text("SELECT sha256 FROM papers WHERE plan = :plan AND name = :name"),
                {"plan": plan, "name": name},
            ).scalar_one_or_none()
            if mark is None:
                raise MissingError(name)
            return blob(connection, mark)
