"""What an officer would refuse: the rules of the ledger of borders, in words.

In: the state of a ledger and an entry someone wants to make. Out: refusals (errors) and remarks
(warnings) as findings; none where the entry can stand. The figures stand in `shared`.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

import shared
from packer.model.finding import Finding, Severity
from packer.road.crossings import (
    HOME,
    UNDERWAY,
    Correction,
    Count,
    Crossing,
    Issued,
    LedgerEvent,
    Line,
    Step,
)
from packer.road.item_text import items_text
from packer.road.ledger import Ledger, Stamp, by_date, entered, moved, movement, owed, starting

_WRITE_ITEMS = "Write item numbers as 1-5, 8, 12x2."
_PARTIAL_SOURCE = "https://www.gov.uk/hmrc-internal-manuals/ata-cpd-carnets/atacpd05500"


def refusals(state: Ledger, event: LedgerEvent) -> tuple[Finding, ...]:
    """Why an entry cannot be made; empty if it can."""
    if isinstance(event, Issued):
        return _against_issue(state, event)
    if state.issued is None:
        return (_no("list-not-issued", "No list has been issued yet, so nothing can cross on it."),)
    if isinstance(event, Correction):
        return _against_correction(state, event)
    found = _against_crossing(state.issued, event)
    return found or _against_order(entered(state, _next(state), event))


def remarks(state: Ledger, event: LedgerEvent) -> tuple[Finding, ...]:
    """Warnings on an entry that can stand all the same: goods that leave a territory late."""
    crossing = event.instead if isinstance(event, Correction) else event
    if not isinstance(crossing, Crossing) or crossing.step is not Step.REEXPORTATION:
        return ()
    place, _ = movement(crossing)
    late = [o for o in owed(state, crossing.on) if o.place == place and o.days < 0]
    return tuple(_late(crossing, o.by) for o in late)


def _late(crossing: Crossing, by: date) -> Finding:
    message = (
        f"The {crossing.step} of {crossing.on} is after {by}, the final date that the officer "
        "of importation wrote."
    )
    remedy = "Expect duty to be claimed; tell the association that issued the list."
    return Finding("re-exported-late", Severity.WARNING, message, remedy=remedy)


def last_valid_day(issued: date) -> date:
    """The latest last day that a list issued on this day may have: `shared`, one year at most.

    The date printed on the document governs where it is earlier.
    """
    year = issued.year + shared.carnet_figures().most_years
    try:
        return issued.replace(year=year)
    except ValueError:  # 29 February
        return issued.replace(year=year, day=28)


def _against_issue(state: Ledger, event: Issued) -> tuple[Finding, ...]:
    if state.issued is not None:
        return (goods_added_after_issue(state.issued),)
    if not event.lines:
        return (_no("list-empty", "A list with no items cannot be issued."),)
    numbers = [line.number for line in event.lines]
    doubled = sorted({number for number in numbers if numbers.count(number) > 1})
    if doubled:
        message = f"Item numbers {', '.join(map(str, doubled))} stand on the list twice."
        return (_no("item-number-twice", message, "Give each item its own number."),)
    latest = last_valid_day(event.issued)
    if event.issued <= event.last_day <= latest:
        return ()
    message = (
        f"A list issued on {event.issued} is valid until {latest} at most, not until "
        f"{event.last_day}."
    )
    return (_no("validity-too-long", message, source=_validity_source()),)


def goods_added_after_issue(issued: Issued, what: str = "") -> Finding:
    """The refusal of goods that are not on a list already issued, with the way out."""
    goods = what or "Goods"
    return _no(
        "goods-added-after-issue",
        f"{goods} cannot be added: the list {issued.reference or 'of goods'} was issued on "
        f"{issued.issued} and nothing may be added to it since.",
        "Let them travel on a proforma of their own, stay at home, or apply for a second list.",
        source="https://www.gov.uk/guidance/ata-carnet/structure-of-the-ata-carnet",
    )


def _against_crossing(issued: Issued, event: Crossing) -> tuple[Finding, ...]:
    return (
        *_against_items(issued, event),
        *_against_day(issued, event),
        *_against_place(issued, event),
    )


def _against_items(issued: Issued, event: Crossing) -> tuple[Finding, ...]:
    if not event.items or any(item.pieces < 1 for item in event.items):
        return (_no("nothing-crosses", f"The {event.step} names no pieces.", _WRITE_ITEMS),)
    named = [item.number for item in event.items]
    if len(set(named)) < len(named):
        return (_no("item-number-twice", f"The {event.step} names an item twice.", _WRITE_ITEMS),)
    listed = {line.number for line in issued.lines}
    strange = [item for item in event.items if item.number not in listed]
    if not strange:
        return ()
    message = (
        f"Item {items_text(strange)} is not on the list {issued.reference}".rstrip()
        + f", which ends at item {max(listed)}; a voucher may name fewer items than the list, "
        "never others."
    )
    remedy = "Goods that are not on the list need a proforma of their own."
    return (_no("number-not-on-list", message, remedy, source=_PARTIAL_SOURCE),)


def _against_day(issued: Issued, event: Crossing) -> tuple[Finding, ...]:
    if event.on > issued.last_day:
        message = (
            f"The {event.step} of {event.on} is after the last valid day of the list, "
            f"{issued.last_day}."
        )
        remedy = "Ask the association that issued the list before anything moves."
        return (_no("crossing-after-expiry", message, remedy, source=_validity_source()),)
    if event.on < issued.issued:
        message = f"The {event.step} of {event.on} is before the list was issued, {issued.issued}."
        return (_no("crossing-before-issue", message),)
    if event.back_by and not event.on <= event.back_by <= issued.last_day:
        message = (
            f"The final date for re-exportation, {event.back_by}, is not between the importation "
            f"({event.on}) and the last valid day of the list ({issued.last_day})."
        )
        return (_no("back-by-out-of-range", message),)
    return ()


def _against_place(issued: Issued, event: Crossing) -> tuple[Finding, ...]:
    if shared.country(event.country) is None:
        message = f"{event.country!r} is no country code of ISO 3166-1."
        return (_no("country-unknown", message, "Use two letters, like FR."),)
    home, here = shared.territory(issued.home), shared.territory(event.country)
    if event.step.abroad and here == home:
        message = (
            f"{event.country} belongs to the home territory {home}: there is no {event.step} there."
        )
        return (_no("territory-is-home", message),)
    if not event.step.abroad and here != home:
        message = f"The {event.step} is stamped in the home territory {home}, not in {here}."
        return (_no("territory-not-home", message),)
    return ()


def _against_correction(state: Ledger, event: Correction) -> tuple[Finding, ...]:
    assert state.issued is not None
    if not event.reason.strip():
        return (_no("correction-without-reason", "A correction says why it is made."),)
    crossed = {stamp.number for stamp in state.stamps} | set(state.struck)
    if event.entry not in crossed:
        message = f"Entry {event.entry} is no crossing in this ledger, so it cannot be corrected."
        return (_no("correction-of-nothing", message),)
    if event.instead is None and event.entry in state.struck:
        return (_no("correction-of-nothing", f"Entry {event.entry} is struck already."),)
    found = _against_crossing(state.issued, event.instead) if event.instead else ()
    return found or _against_order(entered(state, _next(state), event))


def _against_order(state: Ledger) -> tuple[Finding, ...]:
    """Whether all stamps, by date, take only what is there; names the first that does not."""
    assert state.issued is not None
    places = starting(state.issued)
    described = {line.number: line for line in state.issued.lines}
    for stamp in by_date(state.stamps):
        source, target = movement(stamp.crossing)
        there = places.get(source, {})
        short = [item for item in stamp.crossing.items if there.get(item.number, 0) < item.pieces]
        if short:
            return tuple(_more_than_there(stamp, item, there, described) for item in short)
        places = moved(places, source, target, stamp.crossing.items)
    return ()


def _more_than_there(
    stamp: Stamp, item: Count, there: Mapping[int, int], lines: Mapping[int, Line]
) -> Finding:
    event = stamp.crossing
    source, _ = movement(event)
    what = lines[item.number].description
    name = f"Item {item.number}" + (f" ({what})" if what else "")
    message = (
        f"{name}: {item.pieces} presented for {event.step} in {event.country} on {event.on}, "
        f"but only {there.get(item.number, 0)} {_standing(source)}."
    )
    remedy = "Count again, or enter first the crossing that is missing."
    return _no("more-than-went", message, remedy, subject=str(item.number), source=_PARTIAL_SOURCE)


def _standing(place: str) -> str:
    if place == HOME:
        return "at home by this ledger"
    if place == UNDERWAY:
        return "went out and not yet into another territory or home by this ledger"
    return f"in {place} by this ledger"


def _next(state: Ledger) -> int:
    return max(state.known, default=0) + 1


def _validity_source() -> str:
    return shared.origin_of("carnet.most_years").source


def _no(code: str, message: str, remedy: str = "", subject: str = "", source: str = "") -> Finding:
    return Finding(code, Severity.ERROR, message, subject=subject, remedy=remedy, source=source)
