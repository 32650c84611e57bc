"""What the judge answers: breaches, recomputed costs and charges, and where the money goes.

`BREACHES` is the catalogue of all breach codes; a code is stable and never reused.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from packer.model.plan import Charge, Costs

BREACHES: dict[str, str] = {
    # who is who
    "unknown-gear": "the plan names gear that the trip does not have",
    "unknown-case": "the plan names a case that the trip does not have",
    "gear-decided-twice": "a line of gear has two decisions",
    "case-used-twice": "a case stands in the plan as two pieces",
    "case-empty": "a case travels with nothing in it",
    "unit-packed-twice": "one unit lies in two places",
    "no-such-unit": "a unit number is above the line's quantity",
    "flown-not-packed": "a decision flies more or fewer units than are packed",
    # weight and size
    "over-most-gross": "a piece is heavier than its case may be",
    "over-hold-weight": "a piece is heavier than a leg takes in the hold",
    "over-cabin-weight": "a piece is heavier than a leg takes in the cabin",
    "over-freight-weight": "a piece is heavier than the freight offer takes",
    "weight-in-no-band": "a piece above the free weight is in no overweight band",
    "over-linear-size": "a piece is longer in sum than a leg takes in the hold",
    "over-cabin-size": "a piece is larger than a leg takes in the cabin",
    # kinds of case
    "wrong-kind-of-case": "gear lies in a case of another kind than it needs",
    "rack-overfull": "a rack case holds more rack units than it has",
    "rack-too-shallow": "rack gear is deeper than its rack case",
    "wrong-slot": "gear lies in a case with slots of another kind",
    "slots-overfull": "a case holds more units than it has slots",
    "outside-only-in": "gear lies in a case that its Only in does not name",
    "pack-with-split": "gear that must lie together lies in several cases",
    # space in boxes
    "place-missing": "a rigid unit in a box has no place",
    "place-not-wanted": "a unit that needs no place has one",
    "gear-without-lengths": "box gear has no lengths",
    "case-without-lengths": "a box has no inside lengths",
    "size-not-a-turn": "a unit's size in the plan is no turn of its real size",
    "not-upright": "a unit that must stand upright lies on its side",
    "outside-the-case": "a unit with its clearance sticks out of the case",
    "places-overlap": "two units with their clearance overlap",
    "above-fragile": "a rigid unit lies above a fragile one",
    "soft-overfull": "soft goods need more room than the rigid units leave",
    "soft-too-long": "a soft unit does not fit its case in any turn",
    # routes
    "route-not-for-case": "a case travels by a route that it is not made for",
    "no-freight-offer": "a piece goes by freight and the trip has no freight offer",
    "cabin-gear-outside-cabin": "gear for the cabin travels elsewhere",
    "hold-gear-in-cabin": "gear for the hold travels in the cabin",
    "spare-lithium-outside-cabin": "a spare lithium battery travels outside the cabin",
    "forbidden-battery-flies": "a battery that no passenger may bring is packed",
    "too-many-cabin-pieces": "more cabin pieces than a leg allows",
    # fly, hire, cover
    "must-fly-stays": "gear that must fly stays at home",
    "must-stay-flies": "gear that is to be hired flies",
    "units-uncovered": "a stop lacks units that neither fly nor are hired",
    "units-overcovered": "more units are hired for a stop than stay at home",
    "covered-where-not-needed": "units are hired for a stop that does not need them",
    "no-such-offer": "the trip has no such offer",
    "offer-overdrawn": "more is taken from an offer than is available",
    "cover-without-units": "an offer is taken for no unit at all",
    "kit-offer-incomplete": "a kit's offer does not cover a line of the kit completely",
    # one case lost
    "role-lost-with-case": "losing one case would leave a role with too few units",
    # figures that the plan states
    "wrong-weight": "a stated weight is not what the case and its contents weigh",
    "wrong-cover-cost": "a stated cost of cover is not what the offer costs",
    "wrong-charge": "a row of the charges is not what the airline charges",
    "charge-missing": "a leg or ticket has no row in the charges",
    "charge-unknown": "a row of the charges is for no leg or ticket of the trip",
    "wrong-baggage": "the stated baggage total is wrong",
    "wrong-hire": "the stated hire total is wrong",
    "wrong-delivery": "the stated delivery total is wrong",
    "wrong-freight": "the stated freight total is wrong",
    "wrong-worth": "the stated worth given up is wrong",
    "wrong-cash": "the stated cash total is wrong",
    "wrong-objective": "the stated objective is wrong",
    "wrong-currency": "the plan counts in another currency than the trip",
    "bound-above-objective": "the proved lower bound is above the objective",
    "optimal-without-proof": "the plan says optimal and its bound is below the objective",
    "impossible-with-plan": "the plan says that no plan is possible",
}


@dataclass(frozen=True, slots=True)
class Breach:
    """One way in which a plan breaks the trip's rules or misstates a figure.

    `message` is one sentence with the actual value and the limit; `actual` and `limit` are the
    same two as numbers (grams, millimetres, minor units, units), where there are two.
    """

    code: str
    subject: str
    message: str
    actual: int | None = None
    limit: int | None = None

    def __post_init__(self) -> None:
        if self.code not in BREACHES:
            raise ValueError(f"no breach is called {self.code!r}")

    def line(self) -> str:
        """The breach as one line of text."""
        return f"{self.message} [{self.code}]"

    def __str__(self) -> str:
        return self.line()

    def to_json(self) -> dict[str, Any]:
        """The breach as the command and the API carry it."""
        return {
            "code": self.code,
            "subject": self.subject,
            "message": self.message,
            "actual": self.actual,
            "limit": self.limit,
        }


@dataclass(frozen=True, slots=True)
class StopCost:
    """What one stop costs, in minor units: hire and delivery in cash, worth given up beside it."""

    stop: str
    hire_minor: int
    delivery_minor: int
    worth_minor: int


@dataclass(frozen=True, slots=True)
class Verdict:
    """The judge's answer. `notes` are remarks that do not count against the plan."""

    breaches: tuple[Breach, ...]
    costs: Costs
    charges: tuple[Charge, ...]
    stops: tuple[StopCost, ...]
    notes: tuple[str, ...] = ()

    @property
    def accepted(self) -> bool:
        """True where the plan breaks nothing."""
        return not self.breaches

    @property
    def codes(self) -> frozenset[str]:
        """The codes of all breaches."""
        return frozenset(breach.code for breach in self.breaches)

    def to_json(self) -> dict[str, Any]:
        """The verdict as the command and the API carry it."""
        return {
            "accepted": self.accepted,
            "breaches": [breach.to_json() for breach in self.breaches],
            "objective_minor": self.costs.objective_minor,
            "cash_minor": self.costs.cash_minor,
            "worth_minor": self.costs.worth_minor,
            "baggage_minor": self.costs.baggage_minor,
            "hire_minor": self.costs.hire_minor,
            "delivery_minor": self.costs.delivery_minor,
            "freight_minor": self.costs.freight_minor,
            "charges": [_charge_json(charge) for charge in self.charges],
            "stops": [_stop_json(stop) for stop in self.stops],
            "notes": list(self.notes),
        }


def _charge_json(charge: Charge) -> dict[str, Any]:
    return {name: getattr(charge, name) for name in Charge.__dataclass_fields__}


def _stop_json(stop: StopCost) -> dict[str, Any]:
    return {name: getattr(stop, name) for name in StopCost.__dataclass_fields__}
