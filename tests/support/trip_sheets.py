"""A generated trip as the rows of a workbook, tidy or messy; what `read_trip` must read back.

`sheets_of(trip)` gives tidy rows for `support.workbooks.write_workbook`; `write_messy` writes the
same trip the way people keep their sheets: a title above the headings, rows and columns in any
order, units in cells, decimal commas, numbers as text, blank rows, columns of their own.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import openpyxl

from packer.model.trip import Battery, Case, Freight, Gear, Leg, Offer, Rule, Trip
from support.workbooks import Rows, Sheets, table


def sheets_of(trip: Trip) -> Sheets:
    """The trip as tidy rows; weights in kg and lengths in cm, as numbers."""
    sheets: Sheets = {
        "Trip": [{"Field": field, "Value": value} for field, value in _trip_fields(trip)],
        "Stops": [
            {"Stop": s.name, "Country": s.country, "Date": s.date.isoformat(), "Venue": s.venue}
            for s in trip.stops
        ],
        "Legs": [_leg(leg) for leg in trip.legs],
        "Rules": [_rule(rule) for rule in trip.rules],
        "Gear": [_gear(line, trip) for line in trip.gear],
        "Cases": [_case(rows) for rows in _runs(trip)],
        "Offers": [_offer(offer) for offer in trip.offers],
        "Suppliers": [
            {
                "Supplier": each.supplier,
                "Stop": each.stop,
                "Delivery": _number(each.price.amount),
                "Currency": each.price.currency,
            }
            for each in trip.deliveries
        ],
        "Freight": [_freight(trip.freight)] if trip.freight else [],
        "Rates": [
            {"Currency": each.currency, "Rate": str(each.rate), "Date": each.date.isoformat()}
            for each in trip.rates
            if each.date
        ],
    }
    return {name: [_filled(row) for row in rows] for name, rows in sheets.items() if rows}


def _filled(row: dict[str, Any]) -> dict[str, Any]:
    return {heading: value for heading, value in row.items() if value not in (None, "")}


def _number(amount: Decimal | int) -> float | int:
    return int(amount) if amount == int(amount) else float(amount)


def _kg(grams: int | None) -> float | int | None:
    return None if grams is None else _number(Decimal(grams) / 1000)


def _cm(mm: int | None) -> float | int | None:
    return None if mm is None else _number(Decimal(mm) / 10)


def _yes(flag: bool) -> str:
    return "yes" if flag else "no"


def _trip_fields(trip: Trip) -> list[tuple[str, Any]]:
    return [
        ("Trip name", trip.name),
        ("Home country", trip.home_country),
        ("Currency", trip.currency),
        ("Scale margin", _kg(trip.scale_margin_g)),
        ("Packing clearance", trip.clearance_mm),
        ("One case lost", _yes(trip.one_case_lost)),
    ]


def _leg(leg: Leg) -> dict[str, Any]:
    return {
        "Leg": leg.name,
        "From": leg.origin,
        "To": leg.destination,
        "Date": leg.date.isoformat(),
        "Rule": leg.rule,
        "Free pieces": leg.free_pieces,
        "Free cabin pieces": leg.free_cabin_pieces,
        "People": leg.people,
        "Ticket": leg.ticket,
    }


def _rule(rule: Rule) -> dict[str, Any]:
    money = {key.replace("_", " ").capitalize(): text for key, text in rule.published if text}
    sides = dict(zip(("Cabin height", "Cabin width", "Cabin length"), rule.cabin_mm, strict=False))
    return {
        "Rule": rule.name,
        "Concept": str(rule.concept),
        "Free weight": _kg(rule.free_weight_g),
        "Most weight": _kg(rule.most_weight_g),
        "Free linear": _cm(rule.free_linear_mm),
        "Most linear": _cm(rule.most_linear_mm),
        **money,
        "Cabin weight": _kg(rule.cabin_weight_g),
        **{name: _cm(side) for name, side in sides.items()},
        "Currency": rule.currency,
    }


def _gear(line: Gear, trip: Trip) -> dict[str, Any]:
    everywhere = len(line.needed_at) == len(trip.stops)
    size = line.size.sides if line.size else (line.depth_mm, None, None)
    halves = line.rack_half_units
    return {
        "Gear": line.name,
        "Description": line.description,
        "Category": line.category,
        "Quantity": line.quantity,
        "Weight": _kg(line.weight_g),
        **{name: _cm(side) for name, side in zip(("Length", "Width", "Height"), size, strict=True)},
        "Weight basis": str(line.weight_basis or ""),
        "Way up": "upright" if line.upright else "any",
        "Fragile": _yes(line.fragile),
        "Form": "soft" if line.soft else "rigid",
        "Rack units": _number(Decimal(halves) / 2) if halves else None,
        "Slot": line.slot,
        "Kit": line.kit,
        "Pack with": line.pack_with,
        "Only in": "; ".join(line.only_in or ()),
        "Carry": str(line.carry),
        "Role": line.role,
        "Role needs": line.role_needs,
        "Needed at": "all" if everywhere else "; ".join(line.needed_at),
        "Source": str(line.choice),
        "Worth": _number(Decimal(line.worth_minor) / 100),
        "Value": _number(line.value.amount) if line.value else None,
        "Value currency": line.value.currency if line.value else None,
        "Origin": line.origin,
        "HS": line.hs,
        "Serials": "; ".join(line.serials),
        "Consumable": _yes(line.consumable),
        "Mains": line.mains,
        "Plug": line.plug,
        **_battery(line.battery),
    }


def _battery(battery: Battery | None) -> dict[str, Any]:
    if battery is None:
        return {}
    return {
        "Battery": str(battery.chemistry),
        "Battery Wh": _kg(battery.energy_mwh),
        "Battery g lithium": _kg(battery.lithium_mg),
        "Battery spare": _yes(battery.spare),
    }


def _runs(trip: Trip) -> list[list[Case]]:
    runs: dict[str, list[Case]] = {}
    for case in trip.cases:
        runs.setdefault(case.run, []).append(case)
    return list(runs.values())


def _case(run: list[Case]) -> dict[str, Any]:
    case = run[0]
    inside = case.inside.sides if case.inside else (None, None, None)
    names = ("length", "width", "height")
    halves = case.rack_half_units
    return {
        "Case": case.run,
        "Description": case.description,
        "Kind": str(case.kind),
        "Quantity": len(run),
        **{f"Inside {name}": _cm(side) for name, side in zip(names, inside, strict=True)},
        **{f"Outside {n}": _cm(side) for n, side in zip(names, case.outside.sides, strict=True)},
        "Empty weight": _kg(case.empty_g),
        "Most gross": _kg(case.most_gross_g),
        "Rack units": _number(Decimal(halves) / 2) if halves else None,
        "Rack depth": _cm(case.rack_depth_mm),
        "Slot": case.slot,
        "Slots": case.slots,
        "Carry": str(case.carry),
        "Value": _number(case.value.amount) if case.value else None,
        "Value currency": case.value.currency if case.value else None,
        "Origin": case.origin,
        "HS": case.hs,
    }


def _offer(offer: Offer) -> dict[str, Any]:
    return {
        "Stop": offer.stop,
        "For": offer.target,
        "Supplier": offer.supplier,
        "Price": _number(offer.price.amount),
        "Currency": offer.price.currency,
        "Available": offer.available,
    }


def _freight(freight: Freight) -> dict[str, Any]:
    return {
        "Rate per kg": _number(freight.rate_per_kg.amount),
        "Minimum": _number(freight.minimum.amount),
        "Handling": _number(freight.handling.amount),
        "Divisor": freight.divisor,
        "Most weight": _kg(freight.most_weight_g),
        "Currency": freight.rate_per_kg.currency,
        "Cut-off": freight.cut_off.isoformat() if freight.cut_off else None,
    }


LENGTHS = ("Length", "Width", "Height")


def _weight_cell(rng: Random, kilos: Any, commas: bool) -> Any:
    exact = Decimal(str(kilos))
    spellings: tuple[Callable[[], Any], ...] = (
        lambda: kilos,
        lambda: f"{exact * 1000:.0f} g",
        lambda: _spelt(exact, commas) + " kg",
        lambda: f" {_spelt(exact, commas)}kg",
    )
    return rng.choice(spellings)()


def _spelt(number: Decimal, commas: bool) -> str:
    """With a decimal comma where the whole workbook has them; a mixture could not be read."""
    text = f"{number:f}" if number % 1 else f"{number:.1f}"
    return text.replace(".", ",") if commas else text


def _length_cell(rng: Random, centimetres: Any, commas: bool) -> Any:
    exact = Decimal(str(centimetres))
    spellings: tuple[Callable[[], Any], ...] = (
        lambda: centimetres,
        lambda: f"{exact * 10:.0f} mm",
        lambda: _spelt(exact, commas) + " cm",
        lambda: f"{exact / 100:.4f} m".replace(".", "," if commas else "."),
    )
    return rng.choice(spellings)()


def messy_sheets(trip: Trip, seed: int) -> Sheets:
    """The trip's rows in any order, with units in cells, numbers as text and columns of its own."""
    rng = Random(seed)
    sheets = sheets_of(trip)
    commas = rng.random() < 0.5
    for name, rows in sheets.items():
        if name not in ("Trip", "Legs"):
            rng.shuffle(rows)
        for row in rows:
            _mess_up(rng, name, row, commas)
    return {name: _columns_moved(rng, rows) for name, rows in sheets.items()}


def _mess_up(rng: Random, sheet: str, row: dict[str, Any], commas: bool) -> None:
    for heading, value in list(row.items()):
        if heading.lower().endswith("weight") and value is not None:
            row[heading] = _weight_cell(rng, value, commas)
        elif heading.endswith(("length", "width", "height", *LENGTHS)):
            row[heading] = _length_cell(rng, value, commas)
        elif isinstance(value, int) and sheet != "Trip" and rng.random() < 0.2:
            row[heading] = f" {value} "
        elif isinstance(value, str) and rng.random() < 0.1:
            row[heading] = f" {value}"
    if sheet == "Gear" and rng.random() < 0.3:
        row["Shelf in the store"] = f"row {rng.randint(1, 9)}"


def _columns_moved(rng: Random, rows: Rows) -> Rows:
    headings = list(dict.fromkeys(heading for row in rows for heading in row))
    rng.shuffle(headings)
    return [{heading: row.get(heading) for heading in headings} for row in rows]


def _heading(rng: Random, heading: str) -> str:
    spellings = (
        heading,
        heading.upper(),
        heading.lower(),
        heading.replace(" ", "_"),
        f"{heading}:",
    )
    return rng.choice(spellings)


def write_messy(path: Path, trip: Trip, seed: int) -> Path:
    """Write the trip as a workbook that people would send, and return the path."""
    rng = Random(f"book {seed}")
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in messy_sheets(trip, seed).items():
        sheet = book.create_sheet(_heading(rng, name).rstrip(":"))
        headings, *lines = table(rows)
        if name != "Trip":
            headings = [_heading(rng, heading) for heading in headings]
            for _ in range(rng.randint(0, 3)):
                sheet.append([f"{name} of an invented act, as of May"])
        sheet.append(headings)
        for line in lines:
            sheet.append(line)
            if rng.random() < 0.05:
                sheet.append([])
    book.save(path)
    return path
