"""Every case with its weight against its limits, and the contents of a case in packing order."""

from __future__ import annotations

from dataclasses import dataclass

from packer.judge.charges import band_of, fares
from packer.model.plan import Piece, Place, Plan, Route
from packer.model.trip import Battery, Case, Concept, Gear, Rule, Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.tables.flown import flying_cases, serial_of, unit_label
from packer.papers.units import size_text


@dataclass(frozen=True, slots=True)
class Limit:
    """A weight that a piece may not exceed (`refused`), or above which it costs more."""

    grams: int
    origin: str
    refused: bool = True


@dataclass(frozen=True, slots=True)
class CaseRow:
    """A piece and how it stands to the tightest of its limits; `number` of `count` pieces."""

    number: int
    count: int
    case: str
    description: str
    route: Route
    objects: int
    empty_g: int
    contents_g: int
    margin_g: int
    planning_g: int
    limit: Limit | None
    outside_mm: tuple[int, int, int]

    @property
    def limit_g(self) -> int | None:
        """The tightest limit; None where nothing limits the piece."""
        return self.limit.grams if self.limit else None

    @property
    def limit_origin(self) -> str:
        """Who sets the tightest limit."""
        return self.limit.origin if self.limit else "no limit"

    @property
    def left_g(self) -> int | None:
        """Grams between the planning weight and the tightest limit."""
        return self.limit.grams - self.planning_g if self.limit else None

    @property
    def linear_mm(self) -> int:
        """Length + width + height outside."""
        return sum(self.outside_mm)


@dataclass(frozen=True, slots=True)
class ContentRow:
    """One object of a case at its place in the packing order."""

    number: int
    gear: str
    label: str
    description: str
    serial: str
    weight_g: int
    turn: str
    at: str
    marks: str
    role: str


def limits_of(trip: Trip, piece: Piece) -> tuple[Limit, ...]:
    """Every weight limit and fee threshold of a piece, tightest refusal first, thresholds last."""
    case = trip.case_named(piece.case)
    refusals = _case_limit(case) + _route_limits(trip, piece.route)
    refusals += _band_limits(trip, piece)
    ordered = sorted(refusals, key=lambda limit: (limit.grams, limit.origin))
    return (*ordered, *_thresholds(trip, piece.route))


def case_rows(trip: Trip, plan: Plan) -> tuple[CaseRow, ...]:
    """All pieces in order, each numbered n of N."""
    pieces = flying_cases(trip, plan)
    return tuple(
        _case_row(trip, case, piece, number, len(pieces))
        for number, (case, piece) in enumerate(pieces, start=1)
    )


def content_rows(trip: Trip, piece: Piece) -> tuple[ContentRow, ...]:
    """What is in a piece, in packing order: the first row goes in first."""
    return tuple(
        _content_row(trip.gear_named(packed.gear), packed.unit, packed.place, number)
        for number, packed in enumerate(piece.contents, start=1)
    )


def cases_table(trip: Trip, plan: Plan) -> Table[CaseRow]:
    """All cases, their weights and what is left to the tightest limit."""
    return Table(
        name="Cases",
        title="All cases: weight against limit",
        columns=_CASE_COLUMNS,
        rows=case_rows(trip, plan),
        below=(
            "Planning weight = empty case + contents + scale margin. "
            "Limit = the tightest of the case's own and of every leg's.",
        ),
    )


def contents_table(trip: Trip, piece: Piece) -> Table[ContentRow]:
    """The contents of one piece in packing order."""
    rows = content_rows(trip, piece)
    return Table(
        name=piece.case,
        title=f"Contents of {piece.case} in packing order",
        columns=tuple(column for column in _CONTENT_COLUMNS if _used(column, rows)),
        rows=rows,
        below=("Marks: F fragile, nothing on top. U keep upright. B battery. S soft, fills gaps.",),
    )


def heavy(row: CaseRow, from_g: int) -> bool:
    """True where the piece is above the weight from which it carries a HEAVY mark."""
    return row.planning_g > from_g


def _used(column: Column[ContentRow], rows: tuple[ContentRow, ...]) -> bool:
    """False for a text column that is empty in every row: a rack has no turns."""
    wanted = column.kind in (Kind.COUNT, Kind.GRAMS, Kind.BLANK)
    return wanted or any(column.read(row) for row in rows)


def turn_of(gear: Gear, place: Place | None) -> str:
    """How an object lies: which of its own sides points up, and whether it is turned in plan."""
    if place is None or gear.size is None:
        return ""
    length, width, height = gear.size.sides
    along, _, up = place.size_mm
    if up == height:
        return "as is" if along == length else "as is, turned"
    if up == width:
        return "on its side" if along == length else "on its side, turned"
    return "on end" if along == width else "on end, turned"


def marks_of(gear: Gear) -> str:
    """Letters for what to mind: F fragile, U upright, B battery, S soft."""
    flags = (("F", gear.fragile), ("U", gear.upright), ("B", gear.battery), ("S", gear.soft))
    return " ".join(letter for letter, on in flags if on)


def battery_text(battery: Battery) -> str:
    """A battery in words: 'lithium ion, 48 Wh, spare'."""
    parts = [str(battery.chemistry)]
    if battery.energy_mwh is not None:
        parts.append(f"{battery.energy_mwh / 1000:g} Wh")
    if battery.lithium_mg is not None:
        parts.append(f"{battery.lithium_mg / 1000:g} g lithium")
    parts.append("spare" if battery.spare else "installed")
    return ", ".join(parts)


def _case_row(trip: Trip, case: Case, piece: Piece, number: int, count: int) -> CaseRow:
    limits = limits_of(trip, piece)
    tightest = next((limit for limit in limits if limit.refused), None)
    return CaseRow(
        number=number,
        count=count,
        case=case.name,
        description=case.description,
        route=piece.route,
        objects=len(piece.contents),
        empty_g=piece.empty_g,
        contents_g=piece.contents_g,
        margin_g=piece.planning_g - piece.empty_g - piece.contents_g,
        planning_g=piece.planning_g,
        limit=tightest,
        outside_mm=case.outside.sides,
    )


def _content_row(gear: Gear, unit: int, place: Place | None, number: int) -> ContentRow:
    return ContentRow(
        number=number,
        gear=gear.name,
        label=unit_label(gear, unit),
        description=gear.description,
        serial=serial_of(gear, unit),
        weight_g=gear.weight_g,
        turn=turn_of(gear, place),
        at=_at_text(place),
        marks=marks_of(gear),
        role=gear.role or "",
    )


def _at_text(place: Place | None) -> str:
    return " / ".join(f"{x / 10:g}" for x in place.at_mm) if place else ""


def _case_limit(case: Case) -> list[Limit]:
    if case.most_gross_g is None:
        return []
    return [Limit(case.most_gross_g, "the case's own most gross")]


def _route_limits(trip: Trip, route: Route) -> list[Limit]:
    if route is Route.FREIGHT:
        most = trip.freight.most_weight_g if trip.freight else None
        return [] if most is None else [Limit(most, "freight, most weight")]
    found = []
    for leg in trip.legs:
        rule = trip.rule_of(leg)
        grams = rule.cabin_weight_g if route is Route.CABIN else rule.most_weight_g
        if grams is not None:
            found.append(Limit(grams, f"{leg.name}, {rule.name}"))
    return found


def _band_limits(trip: Trip, piece: Piece) -> list[Limit]:
    """Where the overweight bands of a charging rule end below its most weight: no price, no go."""
    if piece.route is not Route.HOLD:
        return []
    tops = [(fare, banded_most_g(fare.rule, piece.planning_g)) for fare in fares(trip)]
    return [
        Limit(top, f"{fare.name}, {fare.rule.name}, end of the bands")
        for fare, top in tops
        if top < fare.rule.most_weight_g
    ]


def banded_most_g(rule: Rule, planning_g: int) -> int:
    """The most weight up to which a piece of this weight may grow and still has a price, grams."""
    if rule.concept is not Concept.PIECE:
        return rule.most_weight_g
    own = band_of(rule, planning_g) if planning_g > rule.free_weight_g else None
    top = own.upto_g if own else rule.free_weight_g
    for band in sorted(rule.bands, key=lambda band: band.above_g):
        if band.above_g <= top:
            top = max(top, band.upto_g)
    return min(top, rule.most_weight_g)


def _thresholds(trip: Trip, route: Route) -> list[Limit]:
    """Free weights of one piece below the refusal, for hold pieces under the piece concept."""
    if route is not Route.HOLD:
        return []
    return [
        Limit(
            fare.rule.free_weight_g,
            f"{fare.name}, {fare.rule.name}, free up to here",
            refused=False,
        )
        for fare in fares(trip)
        if fare.rule.concept is Concept.PIECE
        and fare.rule.free_weight_g < banded_most_g(fare.rule, fare.rule.free_weight_g)
    ]


_CASE_COLUMNS: tuple[Column[CaseRow], ...] = (
    Column("No.", Kind.COUNT, lambda r: r.number, 5),
    Column("Case", Kind.ID, lambda r: r.case, 14),
    Column("Description", Kind.TEXT, lambda r: r.description, 22),
    Column("Route", Kind.TEXT, lambda r: str(r.route), 8),
    Column("Objects", Kind.COUNT, lambda r: r.objects, 8, summed=True),
    Column("Empty", Kind.GRAMS, lambda r: r.empty_g, 11, summed=True),
    Column("Contents", Kind.GRAMS, lambda r: r.contents_g, 11, summed=True),
    Column("Planning weight", Kind.GRAMS, lambda r: r.planning_g, 12, summed=True),
    Column("Limit", Kind.GRAMS, lambda r: r.limit_g, 11),
    Column("Left", Kind.GRAMS, lambda r: r.left_g, 10),
    Column("Limit set by", Kind.TEXT, lambda r: r.limit_origin, 20),
    Column("Outside", Kind.TEXT, lambda r: size_text(r.outside_mm), 20),
)

_CONTENT_COLUMNS: tuple[Column[ContentRow], ...] = (
    Column("No.", Kind.COUNT, lambda r: r.number, 5),
    Column("Id", Kind.ID, lambda r: r.label, 14),
    Column("Description", Kind.TEXT, lambda r: r.description, 32),
    Column("Serial", Kind.ID, lambda r: r.serial, 14),
    Column("Weight", Kind.GRAMS, lambda r: r.weight_g, 10, summed=True),
    Column("How it lies", Kind.TEXT, lambda r: r.turn, 13),
    Column("From left / front / floor, cm", Kind.TEXT, lambda r: r.at, 16),
    Column("Marks", Kind.TEXT, lambda r: r.marks, 8),
    Column("Role", Kind.TEXT, lambda r: r.role, 12),
    Column("Packed", Kind.BLANK, lambda _: None, 7),
)
