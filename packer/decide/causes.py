"""Why there is no plan: causes that can be proved without search, line by line.

Each cause names the object, the limit and the amount by which it misses. What only shows when
all is packed together is found by `packer.decide.relax`.
"""

from __future__ import annotations

from collections.abc import Iterator

from packer.decide.hire import most_covered
from packer.decide.problem import CaseSpec, Line, Problem, holds_one
from packer.law import travel_law
from packer.model.finding import Finding, Severity
from packer.model.trip import CaseKind, Choice, Gear


def causes_of(problem: Problem) -> tuple[Finding, ...]:
    """One finding for every line of which more units must fly than can; () where none."""
    return tuple(
        cause
        for line in problem.lines
        if line.least > line.most
        for cause in _line_causes(problem, line)
    )


def _line_causes(problem: Problem, line: Line) -> Iterator[Finding]:
    gear = line.gear
    why = _must_fly(problem, line)
    law = travel_law(gear)
    if law.forbidden:
        yield _cause("forbidden-on-board", gear, "battery", f"{why}, but {law.reason}",
                     "Hire it at every stop, or send it as declared cargo outside this plan.",
                     law.source)  # fmt: skip
    elif gear.choice is Choice.HIRE and line.least:
        yield _cause(
            "hire-without-offer", gear, "source", f"{gear.name} may only be hired, but {why}.",
            "Add an offer for it there, or let it fly.",
        )  # fmt: skip
    elif not line.cases:
        yield _no_case(problem, line, why)
    else:
        yield _cause("cannot-fly", gear, "source", f"{gear.name} was asked to be hired, but {why}.",
                     "Take the wish back, or add an offer.")  # fmt: skip


def _must_fly(problem: Problem, line: Line) -> str:
    """Why at least `line.least` units have to fly, as the beginning of a sentence."""
    gear = line.gear
    if gear.choice is Choice.FLY:
        return f"{gear.name} must fly (Source is fly)"
    for s in line.stops:
        reach = most_covered(problem.hires[s], line.index)
        if reach < gear.quantity:
            return (
                f"the offers at {problem.hires[s].stop} cover {reach} of {gear.quantity} "
                f"{gear.name}"
            )
    return f"{gear.name} was asked to fly"


def _no_case(problem: Problem, line: Line, why: str) -> Finding:
    """The nearest miss among the cases: by grams if one has room, else by what room lacks."""
    gear = line.gear
    allowed = [spec for spec in problem.cases if _allowed(gear, spec)]
    if not allowed:
        return _cause(
            "no-case-of-kind", gear, "gear",
            f"{why}, but no case takes {_what(gear)}.",
            "Add such a case, or let it be hired at every stop.",
        )  # fmt: skip
    roomy = [spec for spec in allowed if holds_one(gear, spec.case, problem.trip.clearance_mm)]
    if not roomy:
        return _cause(
            "no-case-large-enough", gear, "gear",
            f"{why}, but {_too_large(gear, allowed)}.",
            "Add a larger case, or let it be hired at every stop.",
        )  # fmt: skip
    limits = [
        (option.upto_g - spec.tare_g, spec)
        for spec in roomy
        for option in spec.options
        if option.route in line.routes
    ]
    if not limits:
        routes = " or ".join(sorted(line.routes))
        return _cause(
            "no-way-to-travel", gear, "carry",
            f"{why}, but no case with room for it may travel by {routes} on every leg.",
            "Look at Carry of the case, the sizes the legs take and the cabin pieces.",
        )  # fmt: skip
    room_g, spec = max(limits, key=lambda limit: limit[0])
    over_g = gear.weight_g - room_g
    return _cause(
        "too-heavy-for-any-case", gear, "weight",
        f"{why}, but one weighs {_kg(gear.weight_g)} and the roomiest limit, {spec.case.name}, "
        f"leaves {_kg(max(0, room_g))} for contents: {_kg(over_g)} too heavy.",
        "Hire it at every stop, take it apart, or find a leg that takes heavier pieces.",
    )  # fmt: skip


def _allowed(gear: Gear, spec: CaseSpec) -> bool:
    if gear.case_kind is not spec.case.kind:
        return False
    if gear.slot is not None and gear.slot != spec.case.slot:
        return False
    return gear.only_in is None or spec.case.name in gear.only_in


def _what(gear: Gear) -> str:
    only = f" named in Only in ({', '.join(gear.only_in)})" if gear.only_in is not None else ""
    kinds = {
        CaseKind.RACK: "rack gear",
        CaseKind.SLOTS: f"gear for a slot of kind {gear.slot!r}",
        CaseKind.BOX: "box gear",
    }
    return kinds[gear.case_kind] + only


def _too_large(gear: Gear, specs: list[CaseSpec]) -> str:
    if gear.case_kind is CaseKind.RACK:
        deep = max(spec.case.rack_depth_mm or 0 for spec in specs)
        units = max(spec.case.rack_half_units or 0 for spec in specs)
        if (gear.depth_mm or 0) > deep:
            return f"it is {gear.depth_mm} mm deep and the deepest rack takes {deep} mm"
        needs = (gear.rack_half_units or 0) / 2
        return f"it needs {needs:g} U and the largest rack has {units / 2:g} U"
    if gear.size is None:
        return "it has no lengths"
    sides = " x ".join(str(side) for side in gear.size.sides)
    room = max(specs, key=lambda s: s.volume_mm3).case
    inside = " x ".join(str(side) for side in room.inside.sides) if room.inside else "?"
    return f"at {sides} mm it goes in no case (the largest, {room.name}, is {inside} mm inside)"


def _kg(grams: int) -> str:
    return f"{grams / 1000:.2f} kg"


def _cause(
    code: str, gear: Gear, field: str, message: str, remedy: str, source: str = ""
) -> Finding:
    sentence = message[:1].upper() + message[1:]
    where = gear.source.cell(field) if gear.source.columns else None
    return Finding(code, Severity.ERROR, sentence, where, gear.name, remedy, source)
