"""Studies of a plan asked for: what if one thing changed (`sweep`), a little more (`margins`).

A row is written before the asking is acknowledged, and each line of the result as it is found, so
that a cut loses nothing that was shown. States: `waiting`, `solving`, then `done` or `failed`.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Engine, text

from api.store.basics import MissingError, new_id, now, value_of
from api.store.engine import reading, writing

OPEN_STATES = ("waiting", "solving")


@dataclass(frozen=True, slots=True)
class StudyRow:
    """A study asked for. `result` is a JSON list of lines by `kind`; `seconds` go to each plan."""

    seq: int
    id: str
    plan: str
    kind: str
    seconds: float
    state: str
    tries: int
    stop_asked: int
    doing: str
    result: str
    code: int | None
    message: str
    made: str
    made_by: str
    begun: str | None
    ended: str | None

    @property
    def is_open(self) -> bool:
        """True until it has ended."""
        return self.state in OPEN_STATES


class Studies:
    """Studies in the store."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def ask(self, plan: str, kind: str, seconds: float, by: str) -> StudyRow:
        """Put a study into the queue."""
        with writing(self._engine) as connection:
            row = connection.execute(
                text(
                    "INSERT INTO studies (id, plan, kind, seconds, state, tries, stop_asked, doing,"
                    " result, message, made, made_by) VALUES (:id, :plan, :kind, :seconds,"
                    " 'waiting', 0, 0, '', '[]', '', :made, :by) RETURNING *"
                ),
                {
                    "id": new_id(),
                    "plan": plan,
                    "kind": kind,
                    "seconds": seconds,
                    "made": now(),
                    "by": by,
                },
            )
            return value_of(StudyRow, row.mappings().one())

    def get(self, study: str) -> StudyRow:
        """A study by id; raises MissingError."""
        rows = self._rows("id = :key", study)
        if not rows:
            raise MissingError(study)
        return rows[0]

    def of_plan(self, plan: str) -> tuple[StudyRow, ...]:
        """Every study of a plan, newest first."""
        return tuple(reversed(self._rows("plan = :key", plan)))

    def waiting(self) -> tuple[StudyRow, ...]:
        """The queue, the next one first."""
        return self._rows("state = :key", "waiting")

    def solving(self) -> tuple[StudyRow, ...]:
        """What is being worked on, or was when the server was cut off."""
        return self._rows("state = :key", "solving")

    def begin(self, study: str) -> bool:
        """Take a waiting study to work on it; False when it no longer waits."""
        what = "state = 'solving', tries = tries + 1, begun = :now"
        return self._change(what, study, "state = 'waiting'", now=now())

    def put_back(self, study: str, *, spent: bool) -> None:
        """It waits again; `spent` says whether the try counts."""
        what = "state = 'waiting', doing = ''" + ("" if spent else ", tries = tries - 1")
        self._change(what, study, "state = 'solving'")

    def ask_stop(self, study: str) -> bool:
        """Remember that somebody wants what is there; False when there is nothing to stop."""
        return self._change("stop_asked = 1", study, "state IN ('waiting', 'solving')")

    def note(self, study: str, doing: str) -> None:
        """Keep the last sign of life."""
        self._change("doing = :doing", study, "state = 'solving'", doing=doing)

    def add(self, study: str, line: dict[str, Any]) -> None:
        """Keep one more line of the result; a line of the same name stands once."""
        with writing(self._engine) as connection:
            found = connection.execute(
                text("SELECT result FROM studies WHERE id = :id AND state = 'solving'"),
                {"id": study},
            ).scalar_one_or_none()
            lines = json.loads(found) if found is not None else []
            if found is None or line["name"] in [one["name"] for one in lines]:
                return
            connection.execute(
                text("UPDATE studies SET result = :result WHERE id = :id"),
                {"result": json.dumps([*lines, line], ensure_ascii=False), "id": study},
            )

    def end(self, study: str, state: str, code: int, message: str) -> None:
        """It has ended; what has already stays as it is."""
        what = "state = :state, code = :code, message = :message, doing = '', ended = :now"
        more = {"state": state, "code": code, "message": message, "now": now()}
        self._change(what, study, "state IN ('waiting', 'solving')", **more)

    def _change(self, what: str, study: str, where: str, **more: Any) -> bool:
        with writing(self._engine) as connection:
            done = connection.execute(
                text(f"UPDATE studies SET {what} WHERE id = :study AND {where}"),
                {"study": study, **more},
            )
            return done.rowcount == 1

    def _rows(self, where: str, key: str) -> tuple[StudyRow, ...]:
        with reading(self._engine) as connection:
            rows = connection.execute(
                text(f"SELECT * FROM studies WHERE {where} ORDER BY seq"), {"key": key}
            )
            return tuple(value_of(StudyRow, row) for row in rows.mappings())
