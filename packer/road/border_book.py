"""The ledger of borders on a journal: what the command and the API both do with entries.

In: journal entries (from a file or a database) and an event someone wants to enter. Out: the
ledger they fold to, and the rule that a store asks inside its transaction.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from packer.model.finding import Finding
from packer.road.border_rules import refusals, remarks
from packer.road.crossings import LedgerEvent, from_json, to_json
from packer.road.journal import Draft, Entered, Entry, append
from packer.road.ledger import Ledger, ledger


def ledger_of(entries: Iterable[Entry]) -> Ledger:
    """The state that journal entries fold to; ValueError where one is no ledger event."""
    return ledger((entry.number, from_json(entry.event)) for entry in entries)


def rule_on_border(entries: tuple[Entry, ...], draft: Draft) -> tuple[Finding, ...]:
    """Refusals of and remarks on a draft, given the entries so far; see `journal.settle`."""
    state, event = ledger_of(entries), from_json(draft.event)
    return refusals(state, event) or remarks(state, event)


def draft_of(event: LedgerEvent, who: str, key: str) -> Draft:
    """The event as a draft for a journal or database."""
    return Draft(who, key, to_json(event))


def enter(path: Path, event: LedgerEvent, who: str, key: str, at: str) -> Entered:
    """Enter one event in a ledger file; `at` is an ISO time. OSError where the disk refuses."""
    return append(path, (draft_of(event, who, key),), rule_on_border, at)
