"""What a solve comes to when it is stopped, cut off or beaten by what it had shown before.

In: a plan's row, with the best plan that it kept while being solved, and the ending that the
solver gave, if it gave one. Out: the ending that the store keeps. A judged plan that was shown is
never taken back for nothing or for a dearer one.
"""

from __future__ import annotations

import json
from dataclasses import replace

from api.store.plans import MOST_TRIES, Ending, PlanRow
from packer.model.outcome import Outcome
from packer.model.plan import Status
from packer.model.plan_json import plan_from_json, plan_to_json

STOPPED = "Stopped: the best plan so far, judged."
PROVED = "Proved cheapest."


def cut_off(row: PlanRow) -> Ending | None:
    """Of a solve whose process or server was killed; None where it is to be solved again."""
    if row.stop_asked:
        return stopped(row)
    if row.tries < MOST_TRIES:
        return None
    message = f"Cut off {row.tries} times while solving; ask for the plan again."
    failed = Ending("failed", int(Outcome.FAULT), message)
    return best_kept(row, f"Cut off {row.tries} times: the best plan so far, judged.") or failed


def stopped(row: PlanRow) -> Ending:
    """Of a solve that somebody asked to stop, and that cannot answer any more."""
    nothing = "Stopped before a plan was found." if row.begun else "Stopped before it began."
    no_time = Ending("out-of-time", int(Outcome.OUT_OF_TIME), nothing)
    return best_kept(row, STOPPED) or no_time


def settled(row: PlanRow, ending: Ending) -> Ending:
    """The solver's ending, or the plan kept on the way where the ending has none as cheap.

    A plan that stays close to an earlier one may cost more than the cheapest on the way.
    """
    if row.best_json is None or row.best_minor is None:
        return ending
    if ending.plan_json is not None and ending.best_minor is not None:
        close = json.loads(row.ask)["ask"].get("keep") is not None
        if close or ending.best_minor <= row.best_minor:
            return ending
        return best_kept(_with_bound(row, ending), ending.message) or ending
    message = f"{ending.message.rstrip('.')}; the best plan before that, judged."
    return best_kept(row, message) or ending


def best_kept(row: PlanRow, message: str) -> Ending | None:
    """The plan kept on the way as the result, with the bound proved since; None without one."""
    if row.best_json is None:
        return None
    plan = plan_from_json(json.loads(row.best_json))
    bound = min(max(plan.bound_minor, row.bound_minor or 0), plan.objective_minor)
    proved = bound == plan.objective_minor
    plan = replace(plan, bound_minor=bound, status=Status.OPTIMAL if proved else Status.FEASIBLE)
    return Ending(
        "done",
        int(Outcome.DONE),
        PROVED if proved else message,
        "[]",
        json.dumps(plan_to_json(plan), ensure_ascii=False),
        plan.objective_minor,
        bound,
    )


def _with_bound(row: PlanRow, ending: Ending) -> PlanRow:
    return replace(row, bound_minor=max(row.bound_minor or 0, ending.bound_minor or 0))
