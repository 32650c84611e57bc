"""What may be left behind when a plan is mended, and what hiring it instead costs.

In: a trip and a plan that holds. Out: how many units of each line may stay, the part of the
repair's model that prices them (hire, deliveries and worth given up, stop by stop), and the
decisions of the plan afterwards. At a stop where nothing more stays away, orders are as they
were; elsewhere they are made anew, at the least cost (contract, section 2 and 5.4).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from packer.decide.cover import StopCover, cover_stop
from packer.decide.hire import StopHire, most_covered, stop_hires
from packer.judge import judge
from packer.model.plan import Cover, Decision, Plan
from packer.model.trip import Choice, Trip

Linear = cp_model.LinearExprT


def most_left(trip: Trip, plan: Plan) -> dict[str, int]:
    """Units of each flown line that may stay behind, since offers cover them at every stop."""
    flown = {decision.gear: decision.flown for decision in plan.decisions}
    hires = stop_hires(trip)
    found = {}
    for i, line in enumerate(trip.gear):
        here = [most_covered(hire, i) for hire in hires if i in hire.lines]
        stays = line.quantity - flown.get(line.name, 0)
        most = min([flown.get(line.name, 0), *(units - stays for units in here)])
        if most > 0 and line.choice is not Choice.FLY:
            found[line.name] = most
    return found


@dataclass(frozen=True, slots=True)
class _Taken:
    """The variables of one stop's orders."""

    hire: StopHire
    units: tuple[cp_model.IntVar, ...]
    kits: tuple[cp_model.IntVar, ...]


class Leaving:
    """The part of a model that lets units stay behind; `most` bounds the units of a line."""

    def __init__(
        self, model: cp_model.CpModel, trip: Trip, plan: Plan, most: Mapping[str, int]
    ) -> None:
        self.model, self.trip, self.plan = model, trip, plan
        self.flown = {decision.gear: decision.flown for decision in plan.decisions}
        self.units = {
            name: model.new_int_var(0, count, f"left {name}") for name, count in most.items()
        }
        self._before = _paid_by_stop(trip, plan)
        hires = [hire for hire in stop_hires(trip) if list(self._leaving(hire))]
        self.costs: tuple[Linear, ...] = (
            self._worth(),
            *(term for hire in hires for term in self._stop(hire)),
        )

    def _leaving(self, hire: StopHire) -> Iterator[cp_model.IntVar]:
        for i in hire.lines:
            if (var := self.units.get(self.trip.gear[i].name)) is not None:
                yield var

    def _worth(self) -> Linear:
        """Worth given up, at every stop that needs the line, house offers too (contract 5.5)."""
        return sum(
            len(line.needed_at) * line.worth_minor * self.units[line.name]
            for line in self.trip.gear
            if line.name in self.units
        )

    def _stop(self, hire: StopHire) -> Iterator[Linear]:
        """What a stop costs more than before; below 0 where ordering anew saves."""
        anew = self.model.new_bool_var(f"anew {hire.stop}")
        leaving = list(self._leaving(hire))
        self.model.add(sum(leaving) >= anew)
        for var in leaving:
            self.model.add(var == 0).only_enforce_if(~anew)
        taken = self._taken(hire, anew)
        for i in hire.lines:
            self._covered(i, taken, anew)
        yield from self._paid(taken)
        yield -self._before.get(hire.stop, 0) * anew

    def _taken(self, hire: StopHire, anew: cp_model.IntVar) -> _Taken:
        units = [
            self.model.new_int_var(0, offer.most, f"hired {offer.offer}") for offer in hire.units
        ]
        kits = [self.model.new_bool_var(f"kit {kit.offer}") for kit in hire.kits]
        for var in (*units, *kits):
            self.model.add(var == 0).only_enforce_if(~anew)
        return _Taken(hire, tuple(units), tuple(kits))

    def _covered(self, i: int, taken: _Taken, anew: cp_model.IntVar) -> None:
        """A line by single offers alone, or by one kit completely."""
        line = self.trip.gear[i]
        missing = line.quantity - self.flown.get(line.name, 0) + self.units.get(line.name, 0)
        singles = [v for o, v in zip(taken.hire.units, taken.units, strict=True) if o.line == i]
        kits = [v for k, v in zip(taken.hire.kits, taken.kits, strict=True) if i in k.lines]
        self.model.add_at_most_one(kits)
        for var in kits:
            self.model.add(sum(singles) == 0).only_enforce_if(var)
        bare = [anew, *(~var for var in kits)]
        self.model.add(sum(singles) == missing).only_enforce_if(bare)

    def _paid(self, taken: _Taken) -> Iterator[Linear]:
        hire = taken.hire
        units = list(zip(hire.units, taken.units, strict=True))
        kits = list(zip(hire.kits, taken.kits, strict=True))
        yield from (offer.price_minor * var for offer, var in units)
        yield from (kit.price_minor * var for kit, var in kits)
        for supplier, minor in hire.delivery_minor.items():
            comes = self.model.new_bool_var(f"delivery {hire.stop} {supplier}")
            for offer, var in units:
                if offer.supplier == supplier:
                    self.model.add(var <= offer.most * comes)
            for kit, var in kits:
                if kit.supplier == supplier:
                    self.model.add_implication(var, comes)
            yield minor * comes


def _paid_by_stop(trip: Trip, plan: Plan) -> dict[str, int]:
    """Hire and deliveries of the plan as it stands, by stop."""
    stops = judge(trip, plan).stops
    return {stop.stop: stop.hire_minor + stop.delivery_minor for stop in stops}


def decisions_after(trip: Trip, plan: Plan, left: Mapping[str, int]) -> tuple[Decision, ...]:
    """The plan's decisions once so many units of each line stay behind as well.

    ValueError where the offers do not reach.
    """
    before = {decision.gear: decision for decision in plan.decisions}
    flown = [
        before[line.name].flown - left.get(line.name, 0) if line.name in before else 0
        for line in trip.gear
    ]
    covers = {
        hire.stop: _ordered(hire, [trip.gear[i].quantity - flown[i] for i in hire.lines])
        for hire in stop_hires(trip)
        if any(left.get(trip.gear[i].name) for i in hire.lines)
    }
    return tuple(
        Decision(
            line.name,
            flown[i],
            tuple(_covers_of(trip, before.get(line.name), covers, i)),
        )
        for i, line in enumerate(trip.gear)
    )


def _ordered(hire: StopHire, missing: list[int]) -> StopCover:
    found = cover_stop(hire, tuple(missing))
    if not found.possible:
        raise ValueError(f"{hire.stop}: the offers do not reach")
    return found


def _covers_of(
    trip: Trip, before: Decision | None, anew: Mapping[str, StopCover], i: int
) -> Iterator[Cover]:
    """Covers of a line by stop: as they were, or as ordered anew."""
    for stop in trip.stops:
        if stop.name not in anew:
            yield from (c for c in (before.covers if before else ()) if c.stop == stop.name)
            continue
        for row in anew[stop.name].covered:
            if row.line == i:
                offer = trip.offers[row.offer]
                yield Cover(stop.name, offer.supplier, offer.target, row.units, row.cost_minor)


def with_left(trip: Trip, plan: Plan, left: Mapping[str, int]) -> Plan:
    """The plan with its decisions made anew; its pieces as they are."""
    if not any(left.values()):
        return plan
    return replace(plan, decisions=decisions_after(trip, plan, left))
