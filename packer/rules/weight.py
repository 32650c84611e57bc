"""Weight and size: limits in the carrier's own unit, what governs a ticket, cases too large.

What comes in: rules, legs and cases of the trip, pieces of the plan. What goes out: findings.
The figures of a carrier are the user's; published figures stand in `shared`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import pairwise

import shared
from packer.law import travel_law
from packer.model.finding import Severity
from packer.model.plan import Piece, Route
from packer.model.trip import Carry, Case, Leg, Rule, Trip, WeightBasis
from packer.rules.catalogue import Found, rule
from packer.rules.routes_by_air import country_of_place, touches
from packer.rules.scope import Scope, cm, kg, listed, plural

_POUNDS = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:lbs?|pounds?)\b", re.IGNORECASE)
_INCHES = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:in|inch|inches|\"|″)(?![a-z])", re.IGNORECASE)
_INCH_MM, _POUND_G = shared.LENGTH_UNITS["in"], shared.MASS_UNITS["lb"]
_LIMITS = {
    "free_weight": "free_weight_g",
    "most_weight": "most_weight_g",
    "cabin_weight": "cabin_weight_g",
    "free_linear": "free_linear_mm",
    "most_linear": "most_linear_mm",
}


@rule("limit-in-pounds-or-inches", "weight", Severity.NOTE)
def foreign_units(scope: Scope) -> Iterator[Found]:
    """A carrier publishes a limit in pounds or inches, which is not the round metric figure.

    What: Limits of a baggage rule whose cell is in pounds or inches; one finding for each rule.
    Why: 50 lb is 22.68 kg, not 23 kg, and 62 in is 157.48 cm, not 158 cm: a case of 22.9 kg is
        over a strict limit of 50 lb.
    Source: 1 lb = 0.45359237 kg and 1 in = 25.4 mm exactly (pint 0.25.3; from memory, the yard and
        pound agreement of 1959).
    Fails: Free weight `50 lb`.
    Passes: Free weight `23 kg`.
    Limits: Sees units in cells and headings as the user wrote them.
    Decides: the carrier, whose page may give both figures.
    """
    for held in scope.trip.rules:
        found = [text for name, text in held.published if _is_foreign(held, name, text)]
        names = [name for name, text in held.published if _is_foreign(held, name, text)]
        if found:
            metric = listed(_metric(held, name) for name in names)
            yield Found(
                f"{held.name}: found {listed(found)}, which is {metric} and is planned as that.",
                held.source.cell(names[0]),
                held.name,
                "Do not read it as the nearest round metric figure.",
            )


def _is_foreign(held: Rule, name: str, text: str) -> bool:
    if name not in _LIMITS:
        return False
    full = f"{text} {_unit_in_heading(held.source.cell(name).heading)}"
    return bool(_POUNDS.search(full) or _INCHES.search(full))


def _unit_in_heading(heading: str) -> str:
    found = re.search(r"\(([^)]*)\)", heading)
    return found[1] if found else ""


def _metric(held: Rule, name: str) -> str:
    amount = getattr(held, _LIMITS[name])
    return kg(amount) if name.endswith("weight") else cm(amount)


@rule("limit-above-usual-handling", "weight", Severity.NOTE)
def above_usual(scope: Scope) -> Iterator[Found]:
    """A rule takes pieces heavier than handlers usually lift.

    What: Most weight of a baggage rule above 32 kg.
    Why: Above 32 kg (70 lb) a piece usually cannot be accepted, since handlers lift it by hand;
        some carriers take more by arrangement.
    Source: IATA text quoted by https://paperzz.com/doc/8457998/bag-weights-background
        (secondary, undated).
    Fails: Most weight 45 kg.
    Passes: Most weight 32 kg.
    Limits: Airports may have stricter limits of their own.
    Decides: the carrier.
    """
    usual = shared.baggage_figures().usual_most_g
    for held in scope.trip.rules:
        if held.most_weight_g > usual:
            yield Found(
                f"{held.name}: found a Most weight of {kg(held.most_weight_g)}, above the usual "
                f"{kg(usual)} a piece.",
                held.source.cell("most_weight"),
                held.name,
                "Have the carrier confirm it for every airport of the trip.",
            )


@rule("ticket-rules-differ", "weight", Severity.NOTE)
def ticket_rules(scope: Scope) -> Iterator[Found]:
    """Legs on one ticket name different baggage rules.

    What: A through-checked ticket whose legs do not all name the rule of its first leg.
    Why: One allowance and one charge hold for the whole ticket; the plan takes the first leg's.
        To or from the United States the allowance at the beginning of the itinerary applies
        throughout, and of a code-share the marketing carrier's; to or from Canada likewise.
        Elsewhere the carriers' own resolution picks the most significant carrier's.
    Source: 14 CFR 399.87 (as of 2026-04-05); Canada's decision 144-A-2014 and IATA Resolution 302
        (since 2011), both secondary (https://redlib.astrial.org/r/travel/wiki/mfaq-flying/baggage).
    Fails: A ticket whose first leg has rule A and whose second has rule B.
    Passes: The same rule on both.
    Limits: The most significant carrier is not worked out; cabin baggage follows each leg. A
        stay overnight is taken for a destination, a mere connection there is not.
    Decides: the carrier that sells the ticket.
    """
    tickets: dict[str, Leg] = {}
    for leg in scope.trip.legs:
        if leg.ticket is None:
            continue
        first = tickets.setdefault(leg.ticket, leg)
        if leg.rule != first.rule:
            yield Found(
                f"{leg.name}: found rule {leg.rule} on ticket {leg.ticket}, which begins on "
                f"{first.name} with rule {first.rule}; the plan charges by {first.rule}"
                f"{_law_words(scope.trip, leg.ticket)}.",
                leg.source.cell("rule"),
                leg.name,
                "Ask the seller which allowance stands on the ticket.",
            )


_TICKET_LAW = {
    "US": "14 CFR 399.87 has it for the United States",
    "CA": "Canada's decision 144-A-2014 has it",
}
_CODE_SHARE = "of a code-share the marketing carrier's rule"


def _law_words(trip: Trip, ticket: str) -> str:
    """Whose law names the first leg's rule, by where the ticket begins, ends or stays overnight."""
    legs = sorted((leg for leg in trip.legs if leg.ticket == ticket), key=lambda leg: leg.date)
    stays = [leg.destination for leg, after in pairwise(legs) if after.date > leg.date]
    places = (legs[0].origin, *stays, legs[-1].destination)
    countries = [country_of_place(trip, place) for place in places]
    laws = (law for land, law in _TICKET_LAW.items() if land in countries)
    return next((f", as {law} ({_CODE_SHARE})" for law in laws), "")


@rule("us-instrument-rule", "weight", Severity.NOTE, looks_at="both")
def us_instruments(scope: Scope) -> Iterator[Found]:
    """A flight touches the United States, where carriers owe instruments some room.

    What: Legs with an end in the United States, in one finding, with the cases above 150 in; and
        each hold piece of a plan above 165 lb.
    Why: US carriers take small instruments in the cabin if there is room when the passenger
        boards, large ones of up to 165 lb on a seat that is bought for them, and as checked
        baggage up to 150 in and 165 lb with the case, or the aircraft's limit. Their fees for
        large and heavy pieces may still be due.
    Source: 14 CFR 251.3, 251.4 and 251.5 (as of 2026-04-05).
    Fails: A leg from an invented city to JFK; a piece of 75 kg on it.
    Passes: A trip that touches no US airport.
    Limits: Binds US carriers, not foreign ones; knows the place by airport code, stop or country
        name. It is information and loosens no limit of the plan.
    Decides: the carrier.
    """
    legs = [leg for leg in scope.trip.legs if touches(scope.trip, leg, "US")]
    if not legs:
        return
    limits = shared.us_instrument_limits()
    inches = limits.checked_most_linear_in
    large = [case.name for case in scope.trip.cases if above_us_length(case.outside.linear_mm)]
    more = f" Above {inches} in: {listed(large)}, which a carrier may refuse." if large else ""
    yield from _above_us_weight(scope)
    yield Found(
        f"Found flights that touch the United States ({listed(leg.name for leg in legs)}): US "
        f"carriers accept instruments of up to {inches} in and {limits.checked_most_lb} lb, case "
        f"included, where the aircraft allows.{more}",
        legs[0].source.cell("from"),
        legs[0].name,
        "Quote 14 CFR Part 251 when you book; foreign carriers are not bound by it.",
    )


def above_us_length(linear_mm: int) -> bool:
    """True for a length + width + height above what 14 CFR 251.5 names: 150 in, case included."""
    return linear_mm > shared.us_instrument_limits().checked_most_linear_in * _INCH_MM


def above_us_weight(mass_g: int) -> bool:
    """True for a weight above what 14 CFR 251.5 names: 165 lb, case included."""
    return mass_g > shared.us_instrument_limits().checked_most_lb * _POUND_G


def _above_us_weight(scope: Scope) -> Iterator[Found]:
    for piece in scope.pieces(Route.HOLD):
        if above_us_weight(piece.planning_g):
            yield Found(
                f"{piece.case}: found {kg(piece.planning_g)} on flights that touch the United "
                f"States, above {shared.us_instrument_limits().checked_most_lb} lb, which a "
                "carrier may refuse.",
                scope.case(piece).source.cell("case"),
                piece.case,
                "Ask the carrier before you book, or take weight out.",
            )


@rule("case-over-size-limit", "weight", Severity.WARNING)
def case_size(scope: Scope) -> Iterator[Found]:
    """A case is larger than a leg lets into the hold.

    What: Outside length + width + height above Most linear of a leg's rule, once for each row.
    Why: The case cannot go by hold on this trip; the plan leaves it at home or sends it by
        freight.
    Source: The carrier's own rule in the workbook.
    Fails: A case of 160 cm where Most linear is 158 cm.
    Passes: A case of exactly 158 cm.
    Limits: Looks at cases that may go by hold; for the cabin see `cabin-case-over-limit`.
    Decides: the carrier.
    """
    for case in _rows(scope.trip.cases):
        legs = [leg for leg in scope.trip.legs if _is_over(case, scope.trip.rule_of(leg))]
        if legs and case.carry is not Carry.CABIN:
            most = min(scope.trip.rule_of(leg).most_linear_mm or 0 for leg in legs)
            yield Found(
                f"{case.run}: found {cm(case.outside.linear_mm)} of length, width and height, "
                f"above the {cm(most)} of {listed(leg.name for leg in legs)}; it cannot go by "
                "hold.",
                case.source.cell("outside_length"),
                case.run,
                "Take a smaller case, or ask the carrier.",
            )


def _is_over(case: Case, held: Rule) -> bool:
    return held.most_linear_mm is not None and case.outside.linear_mm > held.most_linear_mm


@rule("cabin-case-over-limit", "weight", Severity.WARNING)
def cabin_case(scope: Scope) -> Iterator[Found]:
    """A cabin case is larger or heavier than a leg lets into the cabin.

    What: Cases with Carry `cabin` whose outside lengths, longest against longest, are above the
        cabin lengths of a leg's rule, or that are above its Cabin weight when empty.
    Why: Each operating carrier has its own cabin limits, so the strictest leg binds; at the gate
        the case goes into the hold, where spare batteries may not be.
    Source: The carrier's own rule in the workbook; that each leg's carrier decides on cabin
        baggage: https://redlib.astrial.org/r/travel/wiki/mfaq-flying/baggage (secondary, 2026).
    Fails: A cabin case of 56 x 45 x 26 cm where the cabin takes 56 x 45 x 25 cm.
    Passes: A case of exactly 56 x 45 x 25 cm.
    Limits: Looks at the rule of each leg, not at the aircraft; says nothing of what is in it.
    Decides: the carrier, at the gate.
    """
    for case in _rows(scope.trip.cases):
        bad = [leg for leg in scope.trip.legs if _above_cabin(case, scope.trip.rule_of(leg))]
        if bad and case.carry is Carry.CABIN:
            yield Found(
                f"{case.run}: found {_sides(case.outside.sides)} and {kg(case.empty_g)} empty, "
                f"above the cabin limits of {listed(leg.name for leg in bad)} "
                f"({_cabin_limits(scope.trip.rule_of(bad[0]))}).",
                case.source.cell("outside_length"),
                case.run,
                "Take a smaller case for the cabin, or ask the carrier.",
            )


def _above_cabin(case: Case, held: Rule) -> bool:
    sides, most = (sorted(lengths, reverse=True) for lengths in (case.outside.sides, held.cabin_mm))
    is_large = any(side > limit for side, limit in zip(sides, most, strict=False))
    return is_large or (held.cabin_weight_g is not None and case.empty_g > held.cabin_weight_g)


def _sides(lengths: Iterable[int]) -> str:
    return f"{' x '.join(cm(each).removesuffix(' cm') for each in lengths)} cm"


def _cabin_limits(held: Rule) -> str:
    size = [_sides(sorted(held.cabin_mm, reverse=True))] if held.cabin_mm else []
    weight = [kg(held.cabin_weight_g)] if held.cabin_weight_g is not None else []
    return " and ".join([*size, *weight])


def _rows(cases: tuple[Case, ...]) -> tuple[Case, ...]:
    """The first case of each row."""
    return tuple({case.run: case for case in reversed(cases)}.values())[::-1]


@rule("no-cabin-piece-for-cabin-gear", "weight", Severity.WARNING)
def no_cabin(scope: Scope) -> Iterator[Found]:
    """Gear must go in the cabin, but a leg has no cabin piece for it.

    What: A leg with no Free cabin pieces while some line is cabin only by its row or by law.
    Why: The plan cannot fly such lines at all, since flown gear flies on every leg.
    Source: The workbook's own Legs sheet; the law of batteries as in `spare-battery-in-hold`.
    Fails: Free cabin pieces 0 and a spare lithium battery on the list.
    Passes: Free cabin pieces 1.
    Limits: Does not count whether the pieces suffice; the solver does.
    Decides: the carrier.
    """
    lines = [
        line.name
        for line in scope.lines
        if not travel_law(line).forbidden
        and (line.carry is Carry.CABIN or travel_law(line).cabin_only)
    ]
    legs = [leg for leg in scope.trip.legs if leg.free_cabin_pieces == 0]
    if lines and legs:
        yield Found(
            f"Found no cabin piece on {listed(leg.name for leg in legs)}, but "
            f"{listed(lines)} may fly in the cabin only.",
            legs[0].source.cell("free_cabin_pieces"),
            legs[0].name,
            "Fill in Free cabin pieces for the whole party.",
        )


@rule("heavy-piece", "weight", Severity.NOTE, looks_at="plan")
def heavy_pieces(scope: Scope) -> Iterator[Found]:
    """Pieces are heavy enough for a HEAVY label.

    What: Pieces in the hold above 23 kg, in one finding.
    Why: Handlers are warned by the label, and two people lift.
    Source: common practice, no published source (shared/figures.toml, baggage.heavy_from_g).
    Fails: A hold piece of 24 kg.
    Passes: A hold piece of 23 kg.
    Limits: The threshold is practice; carriers have their own.
    Decides: the carrier.
    """
    heavy = shared.baggage_figures().heavy_from_g
    pieces = [piece for piece in scope.pieces(Route.HOLD) if piece.planning_g > heavy]
    if pieces:
        named = listed(f"{piece.case} ({kg(piece.planning_g)})" for piece in pieces)
        yield Found(
            f"Found {plural(len(pieces), 'piece')} above {kg(heavy)}: {named}.",
            subject=pieces[0].case,
            where=scope.case(pieces[0]).source.cell("case"),
            remedy="Put a HEAVY label on each.",
        )


@rule("estimated-weights-near-limit", "weight", Severity.WARNING, looks_at="plan")
def near_limit(scope: Scope) -> Iterator[Found]:
    """A piece is close to its limit, and part of its weight is only an estimate.

    What: Hold pieces where a tenth of the estimated weight would use up the room to
        the tightest limit.
    Why: An estimate is easily a tenth out, and then the case is repacked at the desk.
    Source: common practice, no published source: weigh what is estimated.
    Fails: A piece of 22.6 kg against 23 kg with 8 kg of estimated gear in it.
    Passes: The same with 8 kg of weighed gear.
    Limits: A tenth is judgement.
    Decides: the scale.
    """
    for piece in scope.pieces(Route.HOLD):
        lines = [
            line for line in scope.lines_in(piece) if line.weight_basis is WeightBasis.ESTIMATE
        ]
        room = _room_g(scope, piece)
        if room is not None and _estimated_g(scope, piece) > 10 * room:
            yield Found(
                f"{piece.case}: found {kg(piece.planning_g)}, {kg(room)} below its next limit, "
                f"with estimated weights in it ({listed(line.name for line in lines)}).",
                lines[0].source.cell("weight_basis"),
                piece.case,
                "Weigh these before you travel.",
            )


def _estimated_g(scope: Scope, piece: Piece) -> int:
    held = scope.units_in(piece)
    return sum(line.weight_g for line in held if line.weight_basis is WeightBasis.ESTIMATE)


def _room_g(scope: Scope, piece: Piece) -> int | None:
    rules = [scope.trip.rule_of(leg) for leg in scope.trip.legs]
    limits = [held.most_weight_g for held in rules]
    limits += [held.free_weight_g for held in rules if held.extra_minor]
    most = scope.case(piece).most_gross_g
    above = [
        limit - piece.planning_g for limit in [*limits, most or 0] if limit >= piece.planning_g
    ]
    return min(above) if above else None
