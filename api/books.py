"""The books of a plan: entries that the road's rules let in, kept in the store.

In: a draft and the rule that stands for its book. Out: what came of each draft. The rule is asked
inside the transaction, so that two phones at once can neither lose nor double an entry.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

from api.desk import Desk, ask_of_plan
from api.store.basics import now
from api.store.events import EventRow
from api.store.plans import PlanRow
from packer.road.border_book import ledger_of
from packer.road.crossings import Issued
from packer.road.journal import Draft, Entered, Entry, RuleOn, settle

TICKS, BORDER, SCALE, OTHER_WAYS = "ticks", "border", "scale", "other-ways"


def border_plan(desk: Desk, plan: PlanRow) -> PlanRow:
    """The plan whose customs list was issued, where this one was made with it; else itself."""
    issued = ask_of_plan(plan).issued
    return desk.store.plans.get(issued) if issued else plan


def issued_list(desk: Desk, plan: PlanRow) -> Issued | None:
    """The customs list that stands issued for a plan; None where none does."""
    return ledger_of(entries_of(desk, plan, BORDER)).issued


def entries_of(desk: Desk, plan: PlanRow, book: str) -> tuple[Entry, ...]:
    """What stands in a book, numbered from 1."""
    return _entries(desk.store.events.of(plan.id, book))


def enter(
    desk: Desk, plan: PlanRow, book: str, drafts: Iterable[Draft], rule: RuleOn
) -> dict[str, Entered]:
    """Enter each draft that the rule lets in; what came of each, by its key."""
    outcomes: dict[str, Entered] = {}

    def decide(rows: tuple[EventRow, ...]) -> Iterator[tuple[str, str]]:
        standing, moment = _entries(rows), now()
        for draft in drafts:
            entered = _settle(standing, draft, rule, moment)
            outcomes[draft.key] = entered
            fresh = [entry for entry in entered.entries if entry not in standing]
            standing += tuple(fresh)
            for entry in fresh:
                yield entry.key, json.dumps(entry.event, ensure_ascii=False)

    who = next((draft.who for draft in drafts), "")
    desk.store.events.enter(plan.trip, plan.id, book, decide, who)
    return outcomes


def _settle(standing: tuple[Entry, ...], draft: Draft, rule: RuleOn, moment: str) -> Entered:
    for entry in standing:
        # The moment may have been put right by the server the first time.
        if entry.key == draft.key and _timeless(entry.event) == _timeless(draft.event):
            return Entered((entry,))
    return settle(standing, draft, rule, moment)


def _timeless(event: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in event.items() if name != "done_at"}


def _entries(rows: Iterable[EventRow]) -> tuple[Entry, ...]:
    return tuple(
        Entry(number, row.made, row.made_by, row.mark, json.loads(row.entry))
        for number, row in enumerate(rows, start=1)
    )
