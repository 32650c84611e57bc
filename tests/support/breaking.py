"""Ways to break the worked trip and plan of `support.worked`, one thing at a time.

A `Break` takes a trip and the JSON of a plan (its own copy) and returns the trip, changed or not;
the plan is changed in place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from packer.model.trip import Case, Gear, Leg, Rule, Trip

Break = Callable[[Trip, dict[str, Any]], Trip]


def decision(plan: dict[str, Any], gear: str) -> dict[str, Any]:
    """The plan's decision on a line."""
    return next(each for each in plan["decisions"] if each["gear"] == gear)


def piece(plan: dict[str, Any], case: str) -> dict[str, Any]:
    """The plan's piece of a case."""
    return next(each for each in plan["pieces"] if each["case"] == case)


def unit(plan: dict[str, Any], gear: str, number: int = 1) -> dict[str, Any]:
    """A packed unit, wherever it lies."""
    return next(
        each
        for holder in plan["pieces"]
        for each in holder["contents"]
        if (each["gear"], each["unit"]) == (gear, number)
    )


def take_out(plan: dict[str, Any], gear: str, number: int = 1) -> dict[str, Any]:
    """Take a unit out of its case."""
    found = unit(plan, gear, number)
    for holder in plan["pieces"]:
        holder["contents"] = [each for each in holder["contents"] if each is not found]
    return found


def move(gear: str, number: int, case: str, **place: Any) -> Break:
    """Move a unit into another case, with this place (none for none)."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        take_out(plan, gear, number)
        piece(plan, case)["contents"].append({"gear": gear, "unit": number, **place})
        return trip

    return breaking


def place(gear: str, number: int, **changes: Any) -> Break:
    """Change a unit's place, or number."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        unit(plan, gear, number).update(changes)
        return trip

    return breaking


def state(**changes: Any) -> Break:
    """Change what the plan states at its top level."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        plan.update(changes)
        return trip

    return breaking


def state_in(key: str, index: int, **changes: Any) -> Break:
    """Change what the plan states in an item of one of its lists."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        plan[key][index].update(changes)
        return trip

    return breaking


def decide(gear: str, **changes: Any) -> Break:
    """Change a decision."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        decision(plan, gear).update(changes)
        return trip

    return breaking


def cover(gear: str, index: int, **changes: Any) -> Break:
    """Change one of a line's covers."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        decision(plan, gear)["stops"][index].update(changes)
        return trip

    return breaking


def add_cover(gear: str, stop: str, supplier: str, units: int = 1, target: str = "") -> Break:
    """Hire more than the plan does."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        found = {"stop": stop, "supplier": supplier, "for": target or gear, "units": units}
        decision(plan, gear)["stops"].append(found)
        return trip

    return breaking


def drop_cover(gear: str, index: int) -> Break:
    """Forget one of a line's covers."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        del decision(plan, gear)["stops"][index]
        return trip

    return breaking


def route(case: str, way: str) -> Break:
    """Send a case another way."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        piece(plan, case)["route"] = way
        return trip

    return breaking


def change_gear(name: str, **changes: Any) -> Break:
    """Change a line of gear in the trip."""
    return _change_trip("gear", name, changes)


def change_case(name: str, **changes: Any) -> Break:
    """Change a case in the trip."""
    return _change_trip("cases", name, changes)


def change_rule(name: str, **changes: Any) -> Break:
    """Change a baggage rule in the trip."""
    return _change_trip("rules", name, changes)


def change_leg(name: str, **changes: Any) -> Break:
    """Change a leg in the trip."""
    return _change_trip("legs", name, changes)


def change_trip(**changes: Any) -> Break:
    """Change the trip itself."""
    return lambda trip, _: replace(trip, **changes)


def both(*breaks: Break) -> Break:
    """One after the other."""

    def breaking(trip: Trip, plan: dict[str, Any]) -> Trip:
        for each in breaks:
            trip = each(trip, plan)
        return trip

    return breaking


def _change_trip(rows: str, name: str, changes: dict[str, Any]) -> Break:
    def breaking(trip: Trip, _: dict[str, Any]) -> Trip:
        found: tuple[Gear | Case | Rule | Leg, ...] = getattr(trip, rows)
        assert any(each.name == name for each in found)
        new = tuple(replace(each, **changes) if each.name == name else each for each in found)
        return replace(trip, **{rows: new})

    return breaking
