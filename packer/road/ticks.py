"""Packing progress: which unit is in which case, by whom and when, from ticks of many phones.

In: ticks, closings and openings, in any order, some sent twice or late. Out: what is packed,
what is still out by case and by role, which cases are closed. The state depends on the set of
events alone: for each unit and case the event done last (by its own time, then its key) counts,
so phones that were offline neither lose nor double anything when they catch up.

A case is closed only while everything planned for it is ticked or excused by name.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from packer.model.finding import Finding, Severity
from packer.model.plan import Plan
from packer.model.trip import Trip

Unit = tuple[str, int]
"""A gear id and the number of the unit, from 1."""


@dataclass(frozen=True, slots=True)
class Tick:
    """Someone put a unit into a case (`packed`), or took it out again. `at`: ISO time, UTC."""

    gear: str
    unit: int
    case: str
    at: str
    who: str
    packed: bool = True
    key: str = ""


@dataclass(frozen=True, slots=True)
class Excuse:
    """A unit that may be missing from a closed case, and why."""

    gear: str
    unit: int
    reason: str


@dataclass(frozen=True, slots=True)
class Lid:
    """Someone closed a case (or opened it again), with the exceptions named."""

    case: str
    at: str
    who: str
    closed: bool = True
    excuses: tuple[Excuse, ...] = ()
    key: str = ""


PackingEvent = Tick | Lid


@dataclass(frozen=True, slots=True)
class CaseProgress:
    """One case: planned units, those ticked, out, excused, and strangers that are not planned."""

    case: str
    planned: int
    packed: tuple[Unit, ...]
    out: tuple[Unit, ...]
    excused: tuple[Excuse, ...]
    strangers: tuple[Unit, ...]
    closed: bool

    @property
    def complete(self) -> bool:
        """True when nothing is out and nothing strange is in."""
        return not self.out and not self.strangers


@dataclass(frozen=True, slots=True)
class RoleProgress:
    """One role: units of it that fly and those not yet in their case."""

    role: str
    planned: int
    out: tuple[Unit, ...]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far packing is. `doubles` are units ticked in two cases; the later tick counts."""

    cases: tuple[CaseProgress, ...]
    roles: tuple[RoleProgress, ...]
    doubles: tuple[Finding, ...] = ()

    @property
    def planned(self) -> int:
        """Units that the plan packs."""
        return sum(case.planned for case in self.cases)

    @property
    def packed(self) -> int:
        """Units in the case that the plan has for them."""
        return sum(len(case.packed) for case in self.cases)

    def case(self, name: str) -> CaseProgress:
        """The progress of one case; KeyError if the plan does not use it."""
        for case in self.cases:
            if case.case == name:
                return case
        raise KeyError(name)


def progress(trip: Trip, plan: Plan, events: Iterable[PackingEvent]) -> Progress:
    """How far packing is, from every event so far in any order."""
    known = tuple(events)
    ticks = tuple(event for event in known if isinstance(event, Tick))
    lids = tuple(event for event in known if isinstance(event, Lid))
    inside = _inside(ticks)
    cases = tuple(
        _case(piece.case, _units(plan, piece.case), inside, lids) for piece in plan.pieces
    )
    return Progress(cases, _roles(trip, plan, cases), _doubles(ticks, inside))


def refusals(
    trip: Trip, plan: Plan, events: Iterable[PackingEvent], new: PackingEvent
) -> tuple[Finding, ...]:
    """Why an event cannot be entered: things the plan does not know, or a case not complete."""
    cases = {piece.case for piece in plan.pieces}
    if new.case not in cases:
        return (_no("case-not-in-plan", f"The plan does not use case {new.case}.", new.case),)
    if isinstance(new, Tick):
        return _against_tick(plan, new)
    return _against_lid(progress(trip, plan, events).case(new.case), new)


def _against_tick(plan: Plan, new: Tick) -> tuple[Finding, ...]:
    flown = {(p.gear, p.unit) for piece in plan.pieces for p in piece.contents}
    if (new.gear, new.unit) in flown:
        return ()
    message = f"{unit_text((new.gear, new.unit))} does not fly by this plan."
    return (_no("unit-not-flown", message, new.gear, "Plan again if it must come."),)


def _against_lid(now: CaseProgress, new: Lid) -> tuple[Finding, ...]:
    if not new.closed:
        return ()
    nameless = [excuse for excuse in new.excuses if not excuse.reason.strip()]
    if nameless:
        names = ", ".join(unit_text((excuse.gear, excuse.unit)) for excuse in nameless)
        return (_no("exception-without-reason", f"No reason is given for {names}.", new.case),)
    excused = {(excuse.gear, excuse.unit) for excuse in new.excuses}
    missing = [unit for unit in now.out if unit not in excused]
    if not missing and not now.strangers:
        return ()
    parts = [f"still out: {_list(missing)}"] if missing else []
    parts += [f"in it but not planned: {_list(now.strangers)}"] if now.strangers else []
    message = f"Case {new.case} cannot be closed: {'; '.join(parts)}."
    return (_no("case-not-complete", message, new.case, "Pack it, or name the exception."),)


def unit_text(unit: Unit) -> str:
    """`HORN 2`."""
    return f"{unit[0]} {unit[1]}"


def _inside(ticks: Iterable[Tick]) -> Mapping[Unit, Tick]:
    """For every unit that is in a case, the tick that says so: the last of those not undone."""
    inside: dict[Unit, Tick] = {}
    for tick in _standing(ticks):
        known = inside.get((tick.gear, tick.unit))
        if known is None or _when(tick) > _when(known):
            inside[(tick.gear, tick.unit)] = tick
    return inside


def _standing(ticks: Iterable[Tick]) -> tuple[Tick, ...]:
    """For each unit and case its last tick, where that says packed."""
    last: dict[tuple[str, int, str], Tick] = {}
    for tick in ticks:
        place = (tick.gear, tick.unit, tick.case)
        if place not in last or _when(tick) > _when(last[place]):
            last[place] = tick
    return tuple(tick for tick in last.values() if tick.packed)


def _when(event: PackingEvent) -> tuple[str, str, str]:
    return (event.at, event.key, event.who)


def _doubles(ticks: tuple[Tick, ...], inside: Mapping[Unit, Tick]) -> tuple[Finding, ...]:
    others = [t for t in _standing(ticks) if inside[(t.gear, t.unit)].case != t.case]
    return tuple(
        _double(tick, inside[(tick.gear, tick.unit)])
        for tick in sorted(others, key=lambda t: (t.gear, t.unit, t.case))
    )


def _double(other: Tick, counted: Tick) -> Finding:
    message = (
        f"{unit_text((other.gear, other.unit))} is ticked in {other.case} (by {other.who}) and in "
        f"{counted.case} (by {counted.who}); it counts in {counted.case}, ticked later."
    )
    remedy = "Look where it is and take the wrong tick away."
    return Finding("ticked-twice", Severity.WARNING, message, subject=other.gear, remedy=remedy)


def _units(plan: Plan, case: str) -> tuple[Unit, ...]:
    return tuple(
        (packed.gear, packed.unit)
        for piece in plan.pieces
        if piece.case == case
        for packed in piece.contents
    )


def _case(
    name: str, planned: tuple[Unit, ...], inside: Mapping[Unit, Tick], lids: tuple[Lid, ...]
) -> CaseProgress:
    here = {unit for unit, tick in inside.items() if tick.case == name}
    out = tuple(unit for unit in planned if unit not in here)
    strangers = tuple(sorted(here - set(planned)))
    lid = max((lid for lid in lids if lid.case == name), key=_when, default=None)
    excused = tuple(e for e in lid.excuses if (e.gear, e.unit) in out) if lid and lid.closed else ()
    excused_units = {(e.gear, e.unit) for e in excused}
    closed = bool(lid and lid.closed and set(out) <= excused_units and not strangers)
    packed = tuple(unit for unit in planned if unit in here)
    return CaseProgress(name, len(planned), packed, out, excused, strangers, closed)


def _roles(trip: Trip, plan: Plan, cases: tuple[CaseProgress, ...]) -> tuple[RoleProgress, ...]:
    role_of = {line.name: line.role for line in trip.gear if line.role}
    flown = [u for piece in plan.pieces for u in _units(plan, piece.case) if u[0] in role_of]
    out = [unit for case in cases for unit in case.out]
    return tuple(
        RoleProgress(
            role,
            sum(1 for unit in flown if role_of[unit[0]] == role),
            tuple(unit for unit in out if role_of.get(unit[0]) == role),
        )
        for role in sorted({role_of[gear] for gear, _ in flown})
    )


def _list(units: Iterable[Unit]) -> str:
    return ", ".join(unit_text(unit) for unit in units)


def _no(code: str, message: str, subject: str, remedy: str = "") -> Finding:
    return Finding(code, Severity.ERROR, message, subject=subject, remedy=remedy)


def to_json(event: PackingEvent) -> dict[str, Any]:
    """The event as a journal keeps it (who and key stand beside it there)."""
    if isinstance(event, Tick):
        return {
            "kind": "tick",
            "gear": event.gear,
            "unit": event.unit,
            "case": event.case,
            "done_at": event.at,
            "packed": event.packed,
        }
    return {
        "kind": "lid",
        "case": event.case,
        "done_at": event.at,
        "closed": event.closed,
        "excuses": [[e.gear, e.unit, e.reason] for e in event.excuses],
    }


def from_json(data: dict[str, Any], who: str, key: str) -> PackingEvent:
    """The event in a journal's JSON; ValueError or KeyError if it is none."""
    if data["kind"] == "tick":
        return Tick(
            str(data["gear"]),
            int(data["unit"]),
            str(data["case"]),
            str(data["done_at"]),
            who,
            bool(data["packed"]),
            key,
        )
    if data["kind"] != "lid":
        raise ValueError(f"no packing event: {data['kind']!r}")
    excuses = tuple(Excuse(*excuse) for excuse in data["excuses"])
    return Lid(str(data["case"]), str(data["done_at"]), who, bool(data["closed"]), excuses, key)
