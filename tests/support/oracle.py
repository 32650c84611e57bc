"""An exact solver for tiny trips, written from the contract alone, to hold the real one against.

In: a trip of a few units and cases. Out: the best objective, and a plan that reaches it, or None
where no plan exists. Every unit has its own variables, every place is exact; nothing is shared
with the solver of the product, nothing is clever; `UndecidedError` is raised where it is not sure.
"""

from __future__ import annotations

from collections.abc import Iterable

from ortools.sat.python import cp_model

from packer.judge import settle
from packer.model.plan import (
    UNSTATED,
    Costs,
    Cover,
    Decision,
    Packed,
    Piece,
    Place,
    Plan,
    Route,
    SolverNote,
    Status,
)
from packer.model.trip import Carry, CaseKind, Chemistry, Choice, Gear, Trip
from support.oracle_base import LINE_UNIT, Frame
from support.oracle_money import baggage_minor, freight_minor, hire_minor
from support.oracle_space import add_space

WORK = 60.0  # seconds of the solver's repeatable measure; tiny trips need far less
ION_MOST_MWH, METAL_MOST_MG, LEAD_MOST_MWH = 160_000, 2_000, 100_000
# IATA leaflet of 2018 and 49 CFR 175.10: 160 Wh, 2 g of lithium, 100 Wh of lead acid


class UndecidedError(RuntimeError):
    """The trip is not tiny enough: the model was not solved to the end."""


def best_objective(trip: Trip) -> int | None:
    """The least cash + worth given up, in minor units; None where no plan exists."""
    plan = best_plan(trip)
    return None if plan is None else plan.objective_minor


def best_plan(trip: Trip) -> Plan | None:
    """A plan of the least objective; None where no plan exists. Raises `UndecidedError`."""
    frame = Frame(trip)
    _kinds(frame)
    _weights_and_sizes(frame)
    _routes(frame)
    _together(frame)
    _one_case_lost(frame)
    add_space(frame)
    hire = hire_minor(frame)
    frame.model.minimize(baggage_minor(frame) + freight_minor(frame) + hire)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = WORK
    status = solver.solve(frame.model)
    if status == cp_model.INFEASIBLE:
        return None
    if status != cp_model.OPTIMAL:
        raise UndecidedError(f"{trip.name}: {solver.status_name(status)}")
    return _plan(frame, solver, round(solver.objective_value))


def _kinds(frame: Frame) -> None:
    """Kinds of case, racks, slots, Only in, Source; what the law forbids flies nowhere."""
    for unit, line in frame.units.items():
        if line.choice is Choice.FLY:
            frame.model.add(frame.flies(unit) == 1)
        if line.choice is Choice.HIRE or _is_forbidden(line):
            frame.model.add(frame.flies(unit) == 0)
        for case in frame.trip.cases:
            named = line.only_in is None or case.name in line.only_in
            if not (named and _suits(line, case)):
                frame.model.add(frame.inside[unit, case.name] == 0)
    for case in frame.trip.cases:
        if case.kind is CaseKind.RACK:
            used = [(line.rack_half_units or 0) * frame.inside[unit, case.name]
                    for unit, line in frame.units.items()]  # fmt: skip
            frame.model.add(sum(used) <= (case.rack_half_units or 0))
        if case.kind is CaseKind.SLOTS:
            frame.model.add(sum(frame.units_in(case.name)) <= (case.slots or 0))


def _suits(line: Gear, case: object) -> bool:
    kind, depth, slot = case.kind, case.rack_depth_mm, case.slot  # type: ignore[attr-defined]
    if line.rack_half_units is not None:
        length = line.depth_mm or (line.size.length_mm if line.size else None)
        return kind is CaseKind.RACK and None not in (length, depth) and bool(length <= depth)
    if line.slot is not None:
        return kind is CaseKind.SLOTS and bool(slot == line.slot)
    return kind is CaseKind.BOX


def _is_forbidden(line: Gear) -> bool:
    battery = line.battery
    if battery is None:
        return False
    energy, lithium = battery.energy_mwh or 0, battery.lithium_mg or 0
    return {
        Chemistry.LITHIUM_ION: energy > ION_MOST_MWH,
        Chemistry.LITHIUM_METAL: lithium > METAL_MOST_MG,
        Chemistry.LEAD_ACID: energy > LEAD_MOST_MWH,
    }.get(battery.chemistry, False)


def _is_cabin_by_law(line: Gear) -> bool:
    battery = line.battery
    lithium = battery is not None and battery.chemistry in (
        Chemistry.LITHIUM_ION,
        Chemistry.LITHIUM_METAL,
    )
    bank = "power bank" in f"{line.category} {line.description}".lower().replace("-", " ")
    return bool(lithium and battery and (battery.spare or bank))


def _weights_and_sizes(frame: Frame) -> None:
    """Constraints 1 and 2, for each case by the route it takes."""
    rules = [frame.trip.rule_of(leg) for leg in frame.trip.legs]
    freight = frame.trip.freight
    for case in frame.trip.cases:
        hold = [rule.most_weight_g for rule in rules]
        cabin = [rule.cabin_weight_g for rule in rules if rule.cabin_weight_g is not None]
        by_freight = [freight.most_weight_g] if freight and freight.most_weight_g else []
        for route, limits in (("hold", hold), ("cabin", cabin), ("freight", by_freight)):
            for limit in [*limits, *([case.most_gross_g] if case.most_gross_g else [])]:
                frame.at_most(frame.weight(case.name), limit, frame.route[case.name, route])
        linear = [rule.most_linear_mm for rule in rules if rule.most_linear_mm is not None]
        if any(sum(case.outside.sides) > limit for limit in linear):
            frame.model.add(frame.route[case.name, "hold"] == 0)
        if any(not _in_cabin(case.outside.sides, rule.cabin_mm) for rule in rules):
            frame.model.add(frame.route[case.name, "cabin"] == 0)


def _in_cabin(sides: tuple[int, ...], cabin_mm: tuple[int, ...]) -> bool:
    given = sorted(cabin_mm, reverse=True)
    return all(s <= c for s, c in zip(sorted(sides, reverse=True), given, strict=False))


def _routes(frame: Frame) -> None:
    """Constraint 7: routes of cases and of gear, cabin pieces of every leg."""
    ways = {
        Carry.HOLD: {"hold", "freight"},
        Carry.CABIN: {"cabin"},
        Carry.EITHER: {"hold", "cabin", "freight"},
    }
    for case in frame.trip.cases:
        for route in {"hold", "cabin", "freight"}:
            offered = route != "freight" or frame.trip.freight is not None
            if route not in ways[case.carry] or not offered:
                frame.model.add(frame.route[case.name, route] == 0)
        for unit, line in frame.units.items():
            inside, cabin = frame.inside[unit, case.name], frame.route[case.name, "cabin"]
            if _is_cabin_by_law(line) or line.carry is Carry.CABIN:
                frame.model.add_implication(inside, cabin)
            elif line.carry is Carry.HOLD:
                frame.model.add_implication(inside, cabin.negated())
    for leg in frame.trip.legs:
        frame.model.add(sum(frame.by_route("cabin")) <= leg.free_cabin_pieces)


def _together(frame: Frame) -> None:
    """Constraint 5: all flown units of a Pack with in one case."""
    for group in {line.pack_with for line in frame.trip.gear if line.pack_with}:
        chosen = {case.name: frame.flag() for case in frame.trip.cases}
        frame.model.add_at_most_one(chosen.values())
        for unit, line in frame.units.items():
            if line.pack_with == group:
                for case in frame.trip.cases:
                    frame.model.add_implication(frame.inside[unit, case.name], chosen[case.name])


def _one_case_lost(frame: Frame) -> None:
    """Constraint 6, as section 5.6 has it."""
    if not frame.trip.one_case_lost:
        return
    for role in {line.role for line in frame.trip.gear if line.role}:
        lines = [line for line in frame.trip.gear if line.role == role]
        needs = max(line.role_needs or 0 for line in lines)
        units = [unit for unit, line in frame.units.items() if line.role == role]
        for stop in frame.trip.stops:
            here = [line for line in lines if stop.name in line.needed_at]
            if sum(line.quantity for line in here) <= needs:
                continue
            covered = sum(line.quantity - frame.flown(line) for line in here)
            for case in frame.trip.cases:
                safe = [frame.flies(unit) - frame.inside[unit, case.name] for unit in units]
                frame.model.add(sum(safe) + covered >= needs)


def _plan(frame: Frame, solver: cp_model.CpSolver, objective: int) -> Plan:
    """The solution as a plan, with every figure filled in."""
    trip = frame.trip
    bare = Plan(
        holdall="",
        trip=trip.name,
        input_sha256=trip.input_sha256,
        made="",
        status=Status.OPTIMAL,
        currency=trip.currency,
        costs=Costs(UNSTATED, UNSTATED, UNSTATED, UNSTATED, UNSTATED),
        bound_minor=objective,
        decisions=tuple(
            Decision(
                line.name, solver.value(frame.flown(line)), tuple(_covers(frame, solver, line))
            )
            for line in trip.gear
        ),
        pieces=tuple(_pieces(frame, solver)),
        charges=(),
        findings=(),
        solver=SolverNote(0.0, 1, 0, "", 0.0),
    )
    return settle(trip, bare)


def _flown(frame: Frame, solver: cp_model.CpSolver, line: Gear) -> int:
    return int(solver.value(frame.flown(line)))


def _covers(frame: Frame, solver: cp_model.CpSolver, line: Gear) -> Iterable[Cover]:
    stays = line.quantity - _flown(frame, solver, line)
    for offer, units in frame.taken:
        count = solver.value(units)
        if not offer.is_kit and offer.target == line.name and count:
            yield Cover(offer.stop, offer.supplier, line.name, count, UNSTATED)
        by_kit = offer.is_kit and offer.target == line.kit and offer.stop in line.needed_at
        if by_kit and count and stays:
            yield Cover(offer.stop, offer.supplier, offer.target, stays, UNSTATED)


def _pieces(frame: Frame, solver: cp_model.CpSolver) -> Iterable[Piece]:
    for case in frame.trip.cases:
        packed = [
            Packed(unit[0], unit[1], _place(frame, solver, unit))
            for unit in frame.units
            if solver.value(frame.inside[unit, case.name])
        ]
        if packed:
            route = next(r for r in Route if solver.value(frame.route[case.name, str(r)]))
            yield Piece(case.name, route, UNSTATED, UNSTATED, UNSTATED, tuple(packed))


def _place(frame: Frame, solver: cp_model.CpSolver, unit: LINE_UNIT) -> Place | None:
    if unit not in frame.corner:
        return None
    at = tuple(solver.value(each) for each in frame.corner[unit])
    size = tuple(solver.value(each) for each in frame.lengths[unit])
    return Place((at[0], at[1], at[2]), (size[0], size[1], size[2]))
