"""An append-only journal in a file, for what people report on the road.

One JSON object a line: number, time, who, key, event, and a seal over this line and the one
before, so that an entry edited or cut out by hand is noticed. An entry counts once it is on the
disk (fsync). One writer at a time holds the lock file beside the journal; whoever writes sees all
earlier entries first, so two writers at once neither lose nor double. A last line torn by a power
cut was never acknowledged: it is ignored, reported, and never in the way.

In: a path and a function that rules on new events. Out: entries and findings.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from packer.model.finding import Finding, Severity
from packer.road.locking import locked

JsonEvent = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Draft:
    """An event someone wants to enter; `key` makes sending it twice harmless."""

    who: str
    key: str
    event: JsonEvent


@dataclass(frozen=True, slots=True)
class Entry:
    """An event that stands: numbered from 1 in the order of entry, `at` an ISO time."""

    number: int
    at: str
    who: str
    key: str
    event: JsonEvent = field(compare=True)


@dataclass(frozen=True, slots=True)
class Contents:
    """What a journal holds, and what is wrong with it."""

    entries: tuple[Entry, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def altered(self) -> bool:
        """True where a line was edited or removed after it was entered."""
        return any(finding.severity is Severity.ERROR for finding in self.findings)


@dataclass(frozen=True, slots=True)
class Entered:
    """What came of writing: the new entries (or the ones these keys already made), or refusals."""

    entries: tuple[Entry, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def refused(self) -> bool:
        """True if nothing was entered because a rule spoke against it."""
        return any(finding.severity is Severity.ERROR for finding in self.findings)


RuleOn = Callable[[tuple[Entry, ...], Draft], tuple[Finding, ...]]
"""Given the entries so far and a draft: the findings against it; an error refuses it."""


def read_journal(path: Path) -> Contents:
    """Everything in the journal; an absent file is an empty journal. OSError if unreadable."""
    if not path.exists():
        return Contents(())
    with locked(path):
        return _parse(path.read_bytes(), path.name)


def append(path: Path, drafts: tuple[Draft, ...], rule_on: RuleOn, at: str) -> Entered:
    """Enter drafts in order, each ruled on after the one before; all of them or none.

    A draft whose key already stands is not entered again. A refusal of any refuses all, so that
    what was sent together stands together. OSError where the disk refuses; then nothing counts.
    """
    with locked(path), _open_at_end(path) as handle:
        contents = _parse(path.read_bytes(), path.name)
        if contents.altered:
            return Entered((), contents.findings)
        ruled = _rule(contents.entries, drafts, rule_on, at)
        if not ruled.refused:
            known = {entry.number for entry in contents.entries}
            fresh = tuple(entry for entry in ruled.entries if entry.number not in known)
            _write(handle, path, contents.entries, fresh)
        return Entered(ruled.entries, contents.findings + ruled.findings)


def settle(entries: tuple[Entry, ...], draft: Draft, rule_on: RuleOn, at: str) -> Entered:
    """What entering one draft would give: the entry its key already made, a new one, or refusals.

    The same for every store of entries, file or database: call it inside the transaction.
    """
    for entry in entries:
        if draft.key and entry.key == draft.key:
            same = entry.event == draft.event
            return Entered((entry,)) if same else Entered((), (_reused(draft, entry),))
    findings = rule_on(entries, draft)
    if any(finding.severity is Severity.ERROR for finding in findings):
        return Entered((), findings)
    number = entries[-1].number + 1 if entries else 1
    return Entered((Entry(number, at, draft.who, draft.key, draft.event),), findings)


def _rule(
    entries: tuple[Entry, ...], drafts: tuple[Draft, ...], rule_on: RuleOn, at: str
) -> Entered:
    standing = entries
    made: tuple[Entry, ...] = ()
    said: tuple[Finding, ...] = ()
    for draft in drafts:
        one = settle(standing, draft, rule_on, at)
        said += one.findings
        if one.refused:
            return Entered((), said)
        standing += tuple(entry for entry in one.entries if entry not in standing)
        made += one.entries
    return Entered(made, said)


def _reused(draft: Draft, entry: Entry) -> Finding:
    message = (
        f"Key {draft.key!r} already stands at entry {entry.number} by {entry.who}, "
        "with something else in it."
    )
    return Finding("key-used-twice", Severity.ERROR, message, remedy="Send it under a new key.")


@contextmanager
def _open_at_end(path: Path) -> Iterator[int]:
    existed = path.exists()
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0), 0o644)
    try:
        if not existed:
            _sync_folder(path.parent)
        yield handle
    finally:
        os.close(handle)


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":  # Windows has no way to sync a folder
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _write(handle: int, path: Path, before: tuple[Entry, ...], fresh: tuple[Entry, ...]) -> None:
    if not fresh:
        return
    seal = _last_seal(before)
    lines = b"" if _ends_clean(path) else b"\n"
    for entry in fresh:
        seal = _seal(seal, entry)
        lines += _line(entry, seal)
    _write_all(handle, lines)
    os.fsync(handle)


def _write_all(handle: int, data: bytes) -> None:
    while data:
        data = data[os.write(handle, data) :]


def _ends_clean(path: Path) -> bool:
    data = path.read_bytes()
    return not data or data.endswith(b"\n")


def _body(entry: Entry) -> dict[str, Any]:
    return {
        "number": entry.number,
        "at": entry.at,
        "who": entry.who,
        "key": entry.key,
        "event": entry.event,
    }


def _line(entry: Entry, seal: str) -> bytes:
    return (json.dumps({**_body(entry), "seal": seal}, ensure_ascii=False) + "\n").encode()


def _seal(before: str, entry: Entry) -> str:
    text = before + json.dumps(_body(entry), ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def _last_seal(entries: tuple[Entry, ...]) -> str:
    seal = ""
    for entry in entries:
        seal = _seal(seal, entry)
    return seal


def _parse(data: bytes, name: str) -> Contents:
    entries: list[Entry] = []
    findings: list[Finding] = []
    seal = ""
    for row, line in enumerate(data.split(b"\n"), start=1):
        if not line.strip():
            continue
        record = _record(line)
        if record is None:
            findings.append(_torn(name, row))
            continue
        entry = Entry(*(record[key] for key in ("number", "at", "who", "key", "event")))
        expected = _seal(seal, entry)
        if record["seal"] != expected or entry.number != len(entries) + 1:
            findings.append(_altered(name, row))
            break
        entries.append(entry)
        seal = expected
    return Contents(tuple(entries), tuple(findings))


def _record(line: bytes) -> dict[str, Any] | None:
    try:
        record = json.loads(line)
    except ValueError:
        return None
    wanted = {"number", "at", "who", "key", "event", "seal"}
    return record if isinstance(record, dict) and wanted <= record.keys() else None


def _torn(name: str, row: int) -> Finding:
    return Finding(
        "journal-line-torn",
        Severity.WARNING,
        f"Line {row} of {name} broke off while it was being written and was never acknowledged.",
        subject=name,
        remedy="Enter again what was being entered at that moment.",
    )


def _altered(name: str, row: int) -> Finding:
    return Finding(
        "journal-altered",
        Severity.ERROR,
        f"From line {row} on, {name} is not as it was entered: a line was changed or taken out.",
        subject=name,
        remedy="Bring the file back from a copy; corrections are made as new entries.",
    )
