"""The variables that every part of the oracle shares: what lies where, and how it travels."""

from __future__ import annotations

from typing import Any

from ortools.sat.python import cp_model

from packer.model.trip import Gear, Offer, Trip

LINE_UNIT = tuple[str, int]
"""A line's id and a unit number from 1."""

ROUTES = ("hold", "cabin", "freight")


class Frame:
    """A model with a flag for each unit in each case, and for each case and route."""

    def __init__(self, trip: Trip) -> None:
        self.trip = trip
        self.model = cp_model.CpModel()
        self.units: dict[LINE_UNIT, Gear] = {
            (line.name, number): line
            for line in trip.gear
            for number in range(1, line.quantity + 1)
        }
        self.inside = {(unit, case.name): self.flag() for unit in self.units for case in trip.cases}
        self.route = {(case.name, route): self.flag() for case in trip.cases for route in ROUTES}
        self.corner: dict[LINE_UNIT, list[Any]] = {}
        self.lengths: dict[LINE_UNIT, list[Any]] = {}
        self.taken: list[tuple[Offer, Any]] = []
        self._one_case_and_one_route()

    def _one_case_and_one_route(self) -> None:
        for unit in self.units:
            self.model.add(self.flies(unit) <= 1)
        for case in self.trip.cases:
            used = sum(self.route[case.name, route] for route in ROUTES)
            inside = self.units_in(case.name)
            self.model.add(used <= 1)
            self.model.add(sum(inside) >= used)
            for each in inside:
                self.model.add(used >= each)

    def flag(self) -> Any:
        """A new yes or no."""
        return self.model.new_bool_var("")

    def count(self, most: int) -> Any:
        """A new whole number from 0."""
        return self.model.new_int_var(0, most, "")

    def flies(self, unit: LINE_UNIT) -> Any:
        """1 where the unit flies."""
        return sum(self.inside[unit, case.name] for case in self.trip.cases)

    def flown(self, line: Gear) -> Any:
        """Units of a line that fly."""
        return sum(self.flies((line.name, number)) for number in range(1, line.quantity + 1))

    def units_in(self, case: str) -> list[Any]:
        """The flags of all units for a case."""
        return [self.inside[unit, case] for unit in self.units]

    def by_route(self, route: str) -> list[Any]:
        """The flags of all cases for a route."""
        return [self.route[case.name, route] for case in self.trip.cases]

    def weight(self, case: str) -> Any:
        """Planning weight of a case in grams, should it travel."""
        found = self.trip.case_named(case)
        contents = sum(line.weight_g * self.inside[unit, case] for unit, line in self.units.items())
        return found.empty_g + self.trip.scale_margin_g + contents

    def at_most(self, what: Any, limit: int, when: Any) -> None:
        """`what` <= limit, where `when` holds."""
        self.model.add(what <= limit).only_enforce_if(when)
