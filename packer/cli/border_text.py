"""A ledger of borders as text and as JSON: what is where, what is owed, the stamps so far."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from packer.cli.talk import table

if TYPE_CHECKING:
    from packer.road.ledger import Ledger


def border_lines(state: Ledger, as_of: date) -> list[str]:
    """The ledger as people read it, as of a day."""
    from packer.road.item_text import items_text
    from packer.road.ledger import CAUTION, closed, counted, days_left, owed

    if state.issued is None:
        return ["No list has been issued in this ledger yet."]
    places = [("Where", "Pieces", "Items")] + [
        (place, str(sum(held.values())), items_text(counted(held)))
        for place, held in state.places().items()
    ]
    due = [("Owed by", "Pieces", "By", "Days left", "Items")] + [
        (o.place, str(o.pieces), o.by.isoformat(), str(o.days), items_text(o.items))
        for o in owed(state, as_of)
    ]
    issued = state.issued
    head = f"List {issued.reference}: {len(issued.lines)} items, issued {issued.issued}"
    head += f", valid to {issued.last_day}, {days_left(state, as_of)} days left on {as_of}."
    still = ["Everything is home again."] if closed(state) else []
    return [
        head,
        "",
        *table(places, right=(1,)),
        "",
        *_stamp_lines(state),
        *(table(due, right=(1, 3)) if len(due) > 1 else still),
        "",
        CAUTION,
    ]


def _stamp_lines(state: Ledger) -> list[str]:
    from packer.road.item_text import items_text

    if not state.stamps:
        return []
    rows = [("Entry", "On", "What", "Where", "Items", "Corrected by")] + [
        (
            str(stamp.number),
            stamp.crossing.on.isoformat(),
            str(stamp.crossing.step),
            stamp.crossing.country,
            items_text(stamp.crossing.items),
            str(stamp.by) if stamp.by != stamp.number else "",
        )
        for stamp in state.in_order()
    ]
    return [*table(rows, right=(0,)), ""]


def border_data(state: Ledger, as_of: date) -> dict[str, Any]:
    """The same as JSON."""
    from packer.road.ledger import closed, days_left, owed

    return {
        "issued": state.issued.issued.isoformat() if state.issued else None,
        "last_day": state.issued.last_day.isoformat() if state.issued else None,
        "days_left": days_left(state, as_of),
        "closed": closed(state),
        "places": {
            place: {str(n): p for n, p in held.items()} for place, held in state.places().items()
        },
        "owed": [
            {
                "place": o.place,
                "by": o.by.isoformat(),
                "days": o.days,
                "items": {str(c.number): c.pieces for c in o.items},
            }
            for o in owed(state, as_of)
        ],
    }
