"""Plans asked for, in the order asked: the queue, what is being solved, and what came of it.

A row is written before the asking is acknowledged. States: `waiting`, `solving`, then one of
`done`, `impossible`, `out-of-time`, `failed`. While a plan is solved, the best so far stands in the
row (`best_json`, which costs `best_minor`), so that it is there after a cut. What was cut off goes
back to `waiting` or ends, as whoever owns the queue says (`take_up_again`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Engine, text

from api.store.basics import MissingError, new_id, now, value_of
from api.store.engine import reading, writing

MOST_TRIES = 3
OPEN_STATES = ("waiting", "solving")


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A plan asked for. `ask` and `causes` are JSON; money in minor units of the trip currency."""

    seq: int
    id: str
    trip: str
    upload: int
    ask: str
    state: str
    tries: int
    stop_asked: int
    best_minor: int | None
    bound_minor: int | None
    doing: str
    seconds: float
    code: int | None
    message: str
    causes: str
    plan_json: str | None
    made: str
    made_by: str
    begun: str | None
    ended: str | None
    best_json: str | None

    @property
    def is_open(self) -> bool:
        """True until there is a result."""
        return self.state in OPEN_STATES


@dataclass(frozen=True, slots=True)
class Ending:
    """What came of a solve; `code` is the outcome, as the command's exit code."""

    state: str
    code: int
    message: str
    causes: str = "[]"
    plan_json: str | None = None
    best_minor: int | None = None
    bound_minor: int | None = None


class Plans:
    """Plans in the store."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def ask(self, trip: str, upload: int, ask: str, by: str) -> PlanRow:
        """Put a solve into the queue."""
        with writing(self._engine) as connection:
            row = connection.execute(
                text(
                    "INSERT INTO plans (id, trip, upload, ask, state, tries, stop_asked, doing,"
                    " seconds, message, causes, made, made_by) VALUES (:id, :trip, :upload, :ask,"
                    " 'waiting', 0, 0, '', 0, '', '[]', :made, :by) RETURNING *"
                ),
                {
                    "id": new_id(),
                    "trip": trip,
                    "upload": upload,
                    "ask": ask,
                    "made": now(),
                    "by": by,
                },
            )
            return value_of(PlanRow, row.mappings().one())

    def adopt(self, trip: str, upload: int, ask: str, ending: Ending, by: str) -> PlanRow:
        """Keep a plan that was made without the queue, with its result."""
        with writing(self._engine) as connection:
            row = connection.execute(
                text(
                    "INSERT INTO plans (id, trip, upload, ask, state, tries, stop_asked, doing,"
                    " seconds, best_minor, bound_minor, code, message, causes, plan_json, made,"
                    " made_by, begun, ended) VALUES (:id, :trip, :upload, :ask, :state, 0, 0, '',"
                    " 0, :best_minor, :bound_minor, :code, :message, :causes, :plan_json, :now,"
                    " :by, :now, :now) RETURNING *"
                ),
                {
                    "id": new_id(),
                    "trip": trip,
                    "upload": upload,
                    "ask": ask,
                    "by": by,
                    "now": now(),
                    **{name: getattr(ending, name) for name in Ending.__slots__},
                },
            )
            return value_of(PlanRow, row.mappings().one())

    def get(self, plan: str) -> PlanRow:
        """A plan by id; raises MissingError."""
        rows = self._rows("id = :key", plan)
        if not rows:
            raise MissingError(plan)
        return rows[0]

    def of_trip(self, trip: str) -> tuple[PlanRow, ...]:
        """Every plan of a trip, newest first."""
        return tuple(reversed(self._rows("trip = :key", trip)))

    def waiting(self) -> tuple[PlanRow, ...]:
        """The queue, the next one first."""
        return self._rows("state = :key", "waiting")

    def count_ahead(self, plan: PlanRow) -> int:
        """How many are before this one in the queue; 0 when it is next or no longer waits."""
        if plan.state != "waiting":
            return 0
        return sum(1 for other in self.waiting() if other.seq < plan.seq)

    def begin(self, plan: str) -> bool:
        """Take a waiting plan to solve it; False when it no longer waits."""
        return self._change(
            "state = 'solving', tries = tries + 1, begun = :now, doing = 'starting'",
            plan,
            "waiting",
        )

    def ask_stop(self, plan: str) -> bool:
        """Remember that somebody wants the best so far; False when there is nothing to stop."""
        with writing(self._engine) as connection:
            done = connection.execute(
                text(
                    "UPDATE plans SET stop_asked = 1 WHERE id = :plan"
                    " AND state IN ('waiting', 'solving')"
                ),
                {"plan": plan},
            )
            return done.rowcount == 1

    def note_progress(self, plan: str, seconds: float, bound: int | None, doing: str) -> None:
        """Keep the last sign of life of a running solve; a bound once proved stays proved."""
        with writing(self._engine) as connection:
            connection.execute(
                text(
                    "UPDATE plans SET seconds = :seconds, doing = :doing, bound_minor = CASE WHEN"
                    " bound_minor IS NULL OR bound_minor < :bound THEN :bound ELSE bound_minor END"
                    " WHERE id = :plan AND state = 'solving'"
                ),
                {"seconds": seconds, "bound": bound, "doing": doing, "plan": plan},
            )

    def note_best(self, plan: str, best: int, plan_json: str) -> bool:
        """Keep a better plan of a running solve; False where one as good stands already."""
        with writing(self._engine) as connection:
            done = connection.execute(
                text(
                    "UPDATE plans SET best_minor = :best, best_json = :plan_json WHERE id = :plan"
                    " AND state = 'solving' AND (best_minor IS NULL OR best_minor > :best)"
                ),
                {"best": best, "plan_json": plan_json, "plan": plan},
            )
            return done.rowcount == 1

    def end(self, plan: str, ending: Ending) -> None:
        """Write the result; what already has one is left as it is."""
        with writing(self._engine) as connection:
            connection.execute(
                text(
                    "UPDATE plans SET state = :state, code = :code, message = :message,"
                    " causes = :causes, plan_json = :plan_json, best_minor = :best_minor,"
                    " bound_minor = :bound_minor, best_json = NULL, doing = '', ended = :now"
                    " WHERE id = :plan AND state IN ('waiting', 'solving')"
                ),
                {
                    "now": now(),
                    "plan": plan,
                    **{name: getattr(ending, name) for name in Ending.__slots__},
                },
            )

    def take_up_again(self, came_to: Callable[[PlanRow], Ending | None]) -> tuple[PlanRow, ...]:
        """At a server's start: what was being solved ends as `came_to` says, or waits again."""
        cut_off = self._rows("state = :key", "solving")
        for row in cut_off:
            self.cut_off(row, came_to)
        return cut_off

    def cut_off(self, row: PlanRow, came_to: Callable[[PlanRow], Ending | None]) -> None:
        """A solve was cut off: it ends as `came_to` says, or waits again where that is None."""
        ending = came_to(row)
        if ending is None:
            self._change("state = 'waiting', doing = ''", row.id, "solving")
        else:
            self.end(row.id, ending)

    def put_back(self, plan: str) -> bool:
        """At an orderly end of the server: what was being solved waits again, its try unspent."""
        return self._change("state = 'waiting', tries = tries - 1, doing = ''", plan, "solving")

    def _change(self, what: str, plan: str, state: str) -> bool:
        with writing(self._engine) as connection:
            done = connection.execute(
                text(f"UPDATE plans SET {what} WHERE id = :plan AND state = :state"),
                {"plan": plan, "state": state, "now": now()}
                if ":now" in what
                else {"plan": plan, "state": state},
            )
            return done.rowcount == 1

    def _rows(self, where: str, key: str) -> tuple[PlanRow, ...]:
        with reading(self._engine) as connection:
            rows = connection.execute(
                text(f"SELECT * FROM plans WHERE {where} ORDER BY seq"), {"key": key}
            )
            return tuple(value_of(PlanRow, row) for row in rows.mappings())
