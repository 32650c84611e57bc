"""What a case holds that the show cannot do without, and who lifts it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from packer.model.plan import Piece, Plan
from packer.model.trip import Trip
from packer.papers.tables.flown import flown_units, stops_in_order
from shared import baggage_figures, team_figures

_GUIDE = "A guide, not a limit: assess the lift, the stairs and the people."


@dataclass(frozen=True, slots=True)
class EssentialRow:
    """A role with units in a case: how many here, how many fly elsewhere, how many it needs.

    `stops` are those where the role is short without this case, even with what is hired there.
    """

    role: str
    here: int
    elsewhere: int
    needs: int
    stops: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """What the loss of the case would mean for the role."""
        spare = f"{self.elsewhere} more in other cases" if self.elsewhere else "no other flies"
        head = f"{self.role}: {self.here} here, {spare}, needs {self.needs}"
        return f"{head}. SHORT without this case at {', '.join(self.stops)}" if self.stops else head


def essential_rows(trip: Trip, plan: Plan, piece: Piece) -> tuple[EssentialRow, ...]:
    """The roles that have units in this case, those that would be short first."""
    here = {trip.gear_named(packed.gear).role for packed in piece.contents}
    rows = [_row(trip, plan, piece, role) for role in here if role]
    return tuple(sorted(rows, key=lambda row: (not row.stops, row.role.casefold())))


def heavy_from_g() -> int:
    """The weight above which a case carries a HEAVY mark, grams."""
    return baggage_figures().heavy_from_g


def lift_text(planning_g: int) -> str:
    """How many people lift a case of this weight, and on what figure that rests."""
    team = team_figures()
    if planning_g <= heavy_from_g():
        return f"One person, held close. {_GUIDE}"
    for people, share in ((2, team.two_people), (3, team.three_people)):
        most_g = int(Fraction(share) * people * team.filter_g)
        if planning_g <= most_g:
            return f"{people} people (guide figure for {people}: {most_g // 1000} kg). {_GUIDE}"
    return f"Too heavy for three people by the guide figures: use a lift or wheels. {_GUIDE}"


def _row(trip: Trip, plan: Plan, piece: Piece, role: str) -> EssentialRow:
    units = [unit for unit in flown_units(trip, plan) if unit.gear.role == role]
    here = sum(1 for unit in units if unit.piece.case == piece.case)
    needs = max(line.role_needs or 0 for line in trip.gear if line.role == role)
    elsewhere = len(units) - here
    short = tuple(
        stop.name
        for stop in stops_in_order(trip)
        if _needed(trip, role, stop.name)
        and elsewhere + _covered(trip, plan, role, stop.name) < needs
    )
    return EssentialRow(role, here, elsewhere, needs, short)


def _needed(trip: Trip, role: str, stop: str) -> bool:
    return any(line.role == role and stop in line.needed_at for line in trip.gear)


def _covered(trip: Trip, plan: Plan, role: str, stop: str) -> int:
    lines = {line.name for line in trip.gear if line.role == role}
    return sum(
        cover.units
        for decision in plan.decisions
        if decision.gear in lines
        for cover in decision.covers
        if cover.stop == stop
    )
