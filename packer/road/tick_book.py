"""Packing progress on a journal: what the command and the API both do with entries.

In: journal entries (from a file or a database), a trip, a plan, an event someone wants to enter.
Out: the events they hold, and the rule that a store asks inside its transaction.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from packer.model.finding import Finding
from packer.model.plan import Plan
from packer.model.trip import Trip
from packer.road.journal import Draft, Entered, Entry, RuleOn, append
from packer.road.ticks import PackingEvent, from_json, refusals, to_json


def events_of(entries: Iterable[Entry]) -> tuple[PackingEvent, ...]:
    """The packing events in journal entries; ValueError where one is none."""
    return tuple(from_json(entry.event, entry.who, entry.key) for entry in entries)


def draft_of(event: PackingEvent) -> Draft:
    """The event as a draft for a journal or database."""
    return Draft(event.who, event.key, to_json(event))


def rule_on_packing(trip: Trip, plan: Plan) -> RuleOn:
    """The rule for one plan; see `journal.settle`."""

    def rule(entries: tuple[Entry, ...], draft: Draft) -> tuple[Finding, ...]:
        new = from_json(draft.event, draft.who, draft.key)
        return refusals(trip, plan, events_of(entries), new)

    return rule


def enter(path: Path, trip: Trip, plan: Plan, events: tuple[PackingEvent, ...], at: str) -> Entered:
    """Enter events in a progress file, all or none; `at`: ISO time. OSError if the disk refuses."""
    drafts = tuple(draft_of(event) for event in events)
    return append(path, drafts, rule_on_packing(trip, plan), at)
