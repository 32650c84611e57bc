"""The cheapest cover at every stop for units that stay at home, exactly, remembered by stop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from packer.decide.hire import KitOffer, StopHire, UnitOffer, grouped
from packer.model.trip import Trip


@dataclass(frozen=True, slots=True)
class Covered:
    """Units of a line covered by one offer (index into Trip.offers); cost by contract 5.15."""

    line: int
    offer: int
    units: int
    cost_minor: int


@dataclass(frozen=True, slots=True)
class StopCover:
    """The cheapest cover at one stop; `possible` False where offers do not reach."""

    covered: tuple[Covered, ...]
    hire_minor: int
    delivery_minor: int
    possible: bool = True


@dataclass(frozen=True, slots=True)
class Cover:
    """The covers of all stops and their sums."""

    stops: tuple[StopCover, ...]

    @property
    def hire_minor(self) -> int:
        """Hire of units and kits."""
        return sum(stop.hire_minor for stop in self.stops)

    @property
    def delivery_minor(self) -> int:
        """Deliveries, once for each supplier and stop."""
        return sum(stop.delivery_minor for stop in self.stops)

    @property
    def possible(self) -> bool:
        """False where at some stop the offers do not reach."""
        return all(stop.possible for stop in self.stops)


class Coverer:
    """Finds covers; equal questions at a stop are answered once."""

    def __init__(self, trip: Trip, hires: tuple[StopHire, ...]) -> None:
        self._trip = trip
        self._hires = hires
        self._known: dict[tuple[int, tuple[int, ...]], StopCover] = {}

    def cover(self, flown: Sequence[int]) -> Cover:
        """The cheapest cover at every stop when these units of each line fly."""
        return Cover(tuple(self._stop(s, flown) for s in range(len(self._hires))))

    def _stop(self, s: int, flown: Sequence[int]) -> StopCover:
        hire = self._hires[s]
        missing = tuple(self._trip.gear[i].quantity - flown[i] for i in hire.lines)
        key = (s, missing)
        if key not in self._known:
            self._known[key] = cover_stop(hire, missing)
        return self._known[key]


def cover_stop(hire: StopHire, missing: tuple[int, ...]) -> StopCover:
    """The cheapest way to cover `missing` units of each of the stop's lines."""
    wanted = {line: count for line, count in zip(hire.lines, missing, strict=True) if count}
    simple = {line: price for line in wanted if (price := hire.simple_price(line)) is not None}
    rows = [
        Covered(line, hire.offers_for(line)[0].offer, wanted[line], wanted[line] * price)
        for line, price in simple.items()
        if hire.offers_for(line)[0].most >= wanted[line]
    ]
    if len(rows) < len(simple):
        return StopCover((), 0, 0, possible=False)
    rest = {line: count for line, count in wanted.items() if line not in simple}
    solved = _solve(hire, rest) if rest else StopCover((), 0, 0)
    covered = tuple(sorted((*rows, *solved.covered), key=lambda row: (row.line, row.offer)))
    return StopCover(
        covered,
        sum(row.cost_minor for row in covered),
        solved.delivery_minor,
        solved.possible,
    )


def _solve(hire: StopHire, wanted: dict[int, int]) -> StopCover:
    model = cp_model.CpModel()
    units = [offer for offer in hire.units if offer.line in wanted]
    kits = [kit for kit in hire.kits if any(line in wanted for line in kit.lines)]
    taken = [
        model.new_int_var(0, min(offer.most, wanted[offer.line]), f"u{n}")
        for n, offer in enumerate(units)
    ]
    hired = [model.new_bool_var(f"k{n}") for n in range(len(kits))]
    _each_covered(model, wanted, units, taken, kits, hired)
    delivered = _deliveries(model, hire, units, taken, kits, hired)
    model.minimize(
        sum(offer.price_minor * var for offer, var in zip(units, taken, strict=True))
        + sum(kit.price_minor * var for kit, var in zip(kits, hired, strict=True))
        + sum(hire.delivery_minor[supplier] * var for supplier, var in delivered.items())
    )
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False
    if solver.solve(model) != cp_model.OPTIMAL:
        return StopCover((), 0, 0, possible=False)
    kits_taken = [kit for kit, var in zip(kits, hired, strict=True) if solver.boolean_value(var)]
    rows = [
        Covered(offer.line, offer.offer, n, n * offer.price_minor)
        for offer, var in zip(units, taken, strict=True)
        if (n := solver.value(var))
    ]
    rows += [row for kit in kits_taken for row in _kit_rows(kit, wanted)]
    paid = sum(hire.delivery_minor[s] for s, var in delivered.items() if solver.boolean_value(var))
    return StopCover(tuple(rows), sum(row.cost_minor for row in rows), paid)


def _each_covered(
    model: cp_model.CpModel,
    wanted: dict[int, int],
    units: list[UnitOffer],
    taken: list[cp_model.IntVar],
    kits: list[KitOffer],
    hired: list[cp_model.IntVar],
) -> None:
    """Each line by single offers alone, or by one kit completely."""
    singles = grouped(zip(units, taken, strict=True), lambda pair: pair[0].line)
    for line, count in wanted.items():
        by_kit = [v for k, v in zip(kits, hired, strict=True) if line in k.lines]
        single = sum(var for _, var in singles.get(line, ()))
        model.add(single + count * sum(by_kit) == count)
        model.add_at_most_one(by_kit)


def _deliveries(
    model: cp_model.CpModel,
    hire: StopHire,
    units: list[UnitOffer],
    taken: list[cp_model.IntVar],
    kits: list[KitOffer],
    hired: list[cp_model.IntVar],
) -> dict[str, cp_model.IntVar]:
    delivered = {
        supplier: model.new_bool_var(f"d{n}") for n, supplier in enumerate(hire.delivery_minor)
    }
    for offer, var in zip(units, taken, strict=True):
        if offer.supplier in delivered:
            model.add(var <= max(1, offer.most) * delivered[offer.supplier])
    for kit, flag in zip(kits, hired, strict=True):
        if kit.supplier in delivered:
            model.add_implication(flag, delivered[kit.supplier])
    return delivered


def _kit_rows(kit: KitOffer, wanted: dict[int, int]) -> list[Covered]:
    """A kit's price stands once, on its first line by row, and 0 on the others."""
    here = [line for line in kit.lines if line in wanted]
    return [
        Covered(line, kit.offer, wanted[line], kit.price_minor if n == 0 else 0)
        for n, line in enumerate(here)
    ]
