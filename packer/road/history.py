"""The history of a trip: who changed the plan, when and why, kept in an append-only journal.

In: a plan and a reason. Out: entries of a journal, and their lines for people.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packer.model.plan import Plan
from packer.model.plan_json import plan_text
from packer.road.journal import Draft, Entered, Entry, append

PLANNED = "planned"
WEIGHED = "weighed"
CHANGED = "changed"


@dataclass(frozen=True, slots=True)
class Change:
    """One change: what kind, of which input (sha256), to which plan (sha256), at what cost."""

    kind: str
    why: str
    input_sha256: str
    plan_sha256: str
    objective_minor: int
    currency: str


def change_of(kind: str, plan: Plan, why: str) -> Change:
    """The change that brought a plan about."""
    digest = hashlib.sha256(plan_text(plan).encode()).hexdigest()
    return Change(kind, why, plan.input_sha256, digest, plan.objective_minor, plan.currency)


def note_change(path: Path, kind: str, plan: Plan, who: str, why: str, at: str) -> Entered:
    """Add a change to a history file; the same plan for the same reason is noted once.

    `at` is an ISO time. OSError where the disk refuses.
    """
    change = change_of(kind, plan, why)
    key = f"{kind}:{why}:{change.plan_sha256}"
    return append(path, (Draft(who, key, to_json(change)),), lambda _entries, _draft: (), at)


def to_json(change: Change) -> dict[str, Any]:
    """The change as a journal keeps it."""
    return {
        "kind": change.kind,
        "why": change.why,
        "input_sha256": change.input_sha256,
        "plan_sha256": change.plan_sha256,
        "objective_minor": change.objective_minor,
        "currency": change.currency,
    }


def change_from(entry: Entry) -> Change:
    """The change in a journal entry; KeyError if it is none."""
    event = entry.event
    return Change(
        str(event["kind"]),
        str(event["why"]),
        str(event["input_sha256"]),
        str(event["plan_sha256"]),
        int(event["objective_minor"]),
        str(event["currency"]),
    )
