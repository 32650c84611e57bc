"""The customs territories that a trip crosses, in order, and what that asks of the papers.

What comes in: home country, stops and legs. What goes out: the path of territories, the
vouchers it needs, and findings about the carnet as a whole. What each good needs stands in
`packer.rules.customs_goods`. Customs decide, at every border.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

import shared
from packer.model.finding import Severity
from packer.model.trip import Trip
from packer.rules.carnet import (
    VoucherNeeds,
    border_steps,
    last_valid_day,
    voucher_needs,
    without_repeats,
)
from packer.rules.catalogue import Found, rule
from packer.rules.routes_by_air import country_of_place
from packer.rules.scope import Scope, listed, own_column, plural


@dataclass(frozen=True, slots=True)
class _Call:
    """Territories met one after another on a day; flights sort before stops of the same day."""

    day: date
    is_stop: bool
    territories: tuple[str, ...]


def territory_path(trip: Trip) -> tuple[str, ...]:
    """The customs territories in order of crossing, from home to home where home is known.

    Flights count where the ends are known (airport code, stop, country); a stop in a territory
    that no flight of its day touches is taken to be reached overland.
    """
    home = (shared.territory(trip.home_country),) if trip.home_country else ()
    path = list(home)
    for call in _calls(trip):
        if call.is_stop and _was_there(call, path, trip):
            continue
        path.extend(call.territories)
    return without_repeats([*path, *home])


def _calls(trip: Trip) -> list[_Call]:
    flights = [
        _Call(leg.date, False, _ends(trip, leg.origin, leg.destination)) for leg in trip.legs
    ]
    stops = [_Call(stop.date, True, (shared.territory(stop.country),)) for stop in trip.stops]
    return sorted([*flights, *stops], key=lambda call: (call.day, call.is_stop))


def _ends(trip: Trip, *places: str) -> tuple[str, ...]:
    countries = (country_of_place(trip, place) for place in places)
    return tuple(shared.territory(country) for country in countries if country)


def _was_there(call: _Call, path: list[str], trip: Trip) -> bool:
    """A show on a day of flights lies at any end of them, whichever came first."""
    today = [_ends(trip, leg.origin, leg.destination) for leg in trip.legs if leg.date == call.day]
    return any(call.territories[0] in ends for ends in today) or path[-1:] == [call.territories[0]]


def visited(trip: Trip) -> tuple[str, ...]:
    """Territories with a show, home included."""
    return tuple(dict.fromkeys(shared.territory(stop.country) for stop in trip.stops))


def crosses_customs(trip: Trip) -> bool:
    """True where goods leave the customs territory that they start in."""
    return len(set(territory_path(trip))) > 1


def route_needs(trip: Trip) -> VoucherNeeds:
    """The vouchers that the trip's path needs; of no use where the home country is not known."""
    home = shared.territory(trip.home_country)
    return voucher_needs(territory_path(trip), home, visited(trip))


def last_day(trip: Trip) -> date | None:
    """The last day of any flight or show; None for a trip without either."""
    days = [leg.date for leg in trip.legs] + [stop.date for stop in trip.stops]
    return max(days, default=None)


def first_day(trip: Trip) -> date | None:
    """The first day of any flight or show; None for a trip without either."""
    days = [leg.date for leg in trip.legs] + [stop.date for stop in trip.stops]
    return min(days, default=None)


@rule("home-country-missing", "customs", Severity.WARNING)
def home_missing(scope: Scope) -> Iterator[Found]:
    """The trip names no home country, or one that is no country.

    What: Home country of the Trip sheet is empty or not in ISO 3166-1.
    Why: Which borders the goods cross, and which papers that needs, starts from home.
    Source: ISO 3166-1 alpha-2 (the codes of 2026); `UK` is not assigned, the United Kingdom is
        `GB`.
    Fails: Home country empty, or `UK`.
    Passes: Home country `GB`.
    Limits: Takes the goods to start and end at home.
    Decides: the customs office that issues or stamps the papers.
    """
    home = scope.trip.home_country
    if shared.country(home) is None:
        found = f"found {home!r}, which is no ISO 3166-1 code" if home else "found none"
        yield Found(
            f"Home country: {found}, so the customs papers cannot be worked out.",
            scope.trip.source.cell("home_country"),
            "Home country",
            "Fill in two letters, such as PT; the United Kingdom is GB.",
        )


@rule("vouchers-for-route", "customs", Severity.NOTE)
def vouchers(scope: Scope) -> Iterator[Found]:
    """What the route asks of a carnet: which borders, which vouchers, how many.

    What: The customs territories in order and the least sheets: yellow for leaving and coming
        home, white for each stay abroad, blue for each transit. The EU is one territory.
    Why: A carnet with too few sheets stops at a border.
    Source: gov.uk structure of the ATA carnet; HMRC ATACPD04360, 05300, 06300 (as seen 2026);
        EU as one: ATACPD05000.
    Fails: A band at home in GB that plays in France and Germany: 1 yellow pair, 1 white pair.
    Passes: A band at home in Portugal that plays in Spain only: no border, no finding.
    Limits: Transit by air needs blue vouchers only where goods leave customs control there.
        Places of legs are known by airport code, stop or country name. Which countries accept a
        carnet changes: ask the issuing chamber and note the date, see `carnet-acceptance-open`.
    Decides: the customs offices on the way, and the association that issues the carnet.
    """
    if shared.country(scope.trip.home_country) is None or not crosses_customs(scope.trip):
        return
    needs = route_needs(scope.trip)
    transit = _transit_words(needs)
    yield Found(
        f"The goods go {' - '.join(territory_path(scope.trip))}: a carnet needs at least "
        f"{needs.yellow} yellow vouchers (out and home) and {needs.white} white ones (in and out "
        f"of {listed(needs.visits) or 'nowhere'}){transit}. "
        f"By border: {_border_words(scope.trip)}.",
        scope.trip.source.cell("home_country"),
        "customs route",
        "Check with the issuing association that each territory accepts a carnet, and keep what "
        "it said with its day in a column of your own called `Carnet accepted` on Stops.",
    )


@rule("carnet-acceptance-open", "customs", Severity.WARNING)
def acceptance(scope: Scope) -> Iterator[Found]:
    """A stop's country is not known to accept a carnet, or not since when that is known.

    What: A column of your own on the Stops sheet called `Carnet accepted`, at stops outside the
        home territory: empty, `no`, or without a day such as 2026-05-02 in it.
    Why: Which countries accept a carnet, and for which goods, changes. It is your own knowledge,
        with its day and source, and none of it is kept here.
    Source: HMRC ATACPD04100 and 04355 (as seen 2026): what a country accepts depends on the
        conventions it joined, and the cover lists the countries of that carnet; 19 CFR 114.21.
    Fails: `no` at a stop, or `yes` without a day.
    Passes: `yes, chamber's list, 2026-05-02` at every stop abroad; or no such column.
    Limits: Works only where the user keeps that column; knows no list of countries, and asks for
        stops only, not for territories crossed in transit.
    Decides: the association that issues the carnet, and customs there.
    """
    home = shared.territory(scope.trip.home_country)
    abroad = [stop for stop in scope.trip.stops if shared.territory(stop.country) != home]
    if not any(own_column(stop, "Carnet accepted") for stop in scope.trip.stops):
        return
    for stop in abroad:
        said = own_column(stop, "Carnet accepted")
        lacking = _acceptance_lacks(said)
        if lacking:
            yield Found(
                f"{stop.name}: found {lacking} for {stop.country} in Carnet accepted.",
                stop.source.cell("country"),
                stop.name,
                "Ask the issuing association, and write what it said and on which day.",
            )


def _acceptance_lacks(said: str) -> str:
    """What is wrong with a note on acceptance; '' for nothing."""
    if not said:
        return "nothing"
    if re.match(r"no\b", said, re.IGNORECASE):
        return f"{said!r}"
    return "" if re.search(r"\b\d{4}-\d{2}-\d{2}\b", said) else f"{said!r}, without its day,"


def _border_words(trip: Trip) -> str:
    home = shared.territory(trip.home_country)
    steps = border_steps(territory_path(trip), home, visited(trip))
    return "; ".join(f"{here}-{there} {' and '.join(used)}" for here, there, used in steps)


def _transit_words(needs: VoucherNeeds) -> str:
    if not needs.transits:
        return ""
    counterfoils = plural(needs.transit_counterfoils, "counterfoil")
    return (
        f", {needs.blue} blue vouchers with {counterfoils} for transit of "
        f"{listed(needs.transits)} if the goods leave customs control there"
    )


@rule("no-customs-paper-named", "customs", Severity.NOTE)
def no_paper(scope: Scope) -> Iterator[Found]:
    """The route crosses customs borders and no carnet is named.

    What: More than one customs territory, and Carnet holder, number and issue date all empty.
    Why: Goods that cross need a carnet or another paper for temporary import; without one they
        may be held or charged duty.
    Source: Istanbul Convention (1990), Annexes A and B.2; gov.uk guidance on the ATA carnet (as
        seen 2026).
    Fails: A trip from GB to France with nothing about a carnet.
    Passes: The same with Carnet holder filled in.
    Limits: Another paper, or an easing for portable instruments, may do instead.
    Decides: the customs office at each border.
    """
    carnet = scope.trip.carnet
    if crosses_customs(scope.trip) and not (carnet.holder or carnet.number or carnet.issued):
        yield Found(
            f"Found a route over customs borders ({' - '.join(territory_path(scope.trip))}) and no "
            "carnet on the Trip sheet.",
            scope.trip.source.cell("carnet_number"),
            "Carnet number",
            "Agree with a forwarder or chamber which paper the goods travel on.",
        )


@rule("carnet-expires-on-trip", "customs", Severity.WARNING)
def expires(scope: Scope) -> Iterator[Found]:
    """A carnet is older than a year before the trip is over.

    What: The last flight or show is after one year from Carnet issued.
    Why: Everything must be back before a carnet expires; after that duty is claimed.
    Source: 19 CFR 114.23 (secondary: https://lawinsider.com/dictionary/ata-carnet, as seen 2026),
        one year from issue at most; some goods get less (HMRC ATACPD07100).
    Fails: Issued 2026-03-01, last show 2027-03-02.
    Passes: Issued 2026-03-01, home on 2027-02-20.
    Limits: The date printed on the cover may be earlier.
    Decides: the date on the cover, and customs.
    """
    issued, last = scope.trip.carnet.issued, last_day(scope.trip)
    if issued is not None and last is not None and last > last_valid_day(issued):
        yield Found(
            f"Found a carnet issued on {issued}, which is valid until {last_valid_day(issued)} at "
            f"most, and a trip until {last}.",
            scope.trip.source.cell("carnet_issued"),
            "Carnet issued",
            "Apply for a new carnet.",
        )


@rule("carnet-issued-after-start", "customs", Severity.WARNING)
def issued_late(scope: Scope) -> Iterator[Found]:
    """A carnet is issued only after the trip has begun.

    What: Carnet issued is later than the first flight or show.
    Why: The goods leave home before there is a paper for them.
    Source: HMRC ATACPD05000 (as seen 2026): the list is complete and issued before exportation.
    Fails: Issued 2026-07-03, first flight 2026-07-01.
    Passes: Issued 2026-06-20, first flight 2026-07-01.
    Limits: The first days may lie within one customs territory.
    Decides: the customs office at each border.
    """
    issued, first = scope.trip.carnet.issued, first_day(scope.trip)
    if issued is not None and first is not None and issued > first:
        yield Found(
            f"Found a carnet issued on {issued}, after the trip begins on {first}.",
            scope.trip.source.cell("carnet_issued"),
            "Carnet issued",
            "Have it issued before the goods leave.",
        )


@rule("carnet-without-issue-date", "customs", Severity.NOTE)
def no_issue_date(scope: Scope) -> Iterator[Found]:
    """A carnet is named by its number, but not when it was issued.

    What: Carnet number is given and Carnet issued is empty.
    Why: Its last day cannot be checked against the trip.
    Source: 19 CFR 114.23 (secondary: https://lawinsider.com/dictionary/ata-carnet, as seen 2026).
    Fails: A Carnet number and no Carnet issued.
    Passes: Both, or neither.
    Limits: None that matters.
    Decides: the date on the cover.
    """
    carnet = scope.trip.carnet
    if carnet.number and carnet.issued is None:
        yield Found(
            f"Found carnet {carnet.number} without the date of issue, so its last day is not "
            "checked.",
            scope.trip.source.cell("carnet_issued"),
            "Carnet issued",
            "Fill in the date on its cover.",
        )
