"""A small invented tour as a workbook: two stops, two flights, a rack, a spare, house and hire.

Solved within a second, so that tests of the server can ask for plans freely.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from support.workbooks import Sheets, minimal_trip, write_workbook


def tour_sheets() -> Sheets:
    """The tour as rows, a fresh copy each time."""
    sheets = minimal_trip()
    sheets["Trip"][0]["Value"] = "Invented pier tour"
    sheets["Trip"] += [
        {"Field": "Carnet holder", "Value": "Invented Brass Collective"},
        {"Field": "Carnet number", "Value": "INV-0042"},
    ]
    sheets["Stops"].append({"Stop": "Pierhead", "Country": "NO", "Date": "2026-07-06"})
    sheets["Legs"][1]["Date"] = "2026-07-08"
    for line in sheets["Gear"]:
        line.update(Value=line.get("Value", 80), Origin="DE", Category="horns")
    sheets["Gear"] += _more_gear()
    sheets["Cases"].append(_rack())
    for case in sheets["Cases"]:
        case.update({"Description": "Hard case, wheels", "Value": 150, "Origin": "DE"})
    sheets["Offers"] += [
        _offer("Pierhead", "HORN", "Pierhead Backline", 55),
        _offer("Pierhead", "STAND", "house", 0),
        _offer("Lakeside", "AMP", "Seebach Hire", 180),
        _offer("Pierhead", "AMP", "Pierhead Backline", 160),
        _offer("Lakeside", "BASSDRUM", "Seebach Hire", 45),
        _offer("Pierhead", "BASSDRUM", "Pierhead Backline", 40),
    ]
    sheets["Suppliers"].append(
        {"Supplier": "Pierhead Backline", "Stop": "Pierhead", "Delivery": 30, "Currency": "EUR"}
    )
    return sheets


def tour_bytes(folder: Path, sheets: Sheets | None = None) -> bytes:
    """The tour, or other sheets, as the bytes of a workbook; written into a folder on the way."""
    return write_workbook(folder / "tour.xlsx", sheets or tour_sheets()).read_bytes()


def broken_sheets() -> Sheets:
    """The tour with a weight that is none and an offer for gear that does not exist."""
    sheets = tour_sheets()
    sheets["Gear"][0]["Weight"] = "heavy"
    sheets["Offers"][0]["For"] = "STANDD"
    return sheets


def _more_gear() -> list[dict[str, Any]]:
    amp = _line("AMP", "Rack amplifier, two channels", 1, 8.4, (40, 48, 9), "amplifiers")
    amp.update({"Rack units": 2, "Worth": 60, "Value": 1400, "Serials": "A-1001"})
    drum = _line("BASSDRUM", "Bass drum, 20 inch", 1, 9.0, (55, 55, 45), "drums")
    pedal = _line("PEDAL", "Effect pedal in pouch", 2, 0.9, (20, 15, 8), "effects")
    pedal.update({"Fragile": "yes", "Worth": 30, "Source": "fly"})
    cloth = _line("CLOTH", "Backdrop, folded", 1, 3.1, (45, 35, 10), "drapes")
    cloth.update({"Form": "soft", "Source": "fly"})
    return [amp, drum, pedal, cloth]


def _line(
    name: str, text: str, quantity: int, kg: float, size: tuple[int, int, int], category: str
) -> dict[str, Any]:
    length, width, height = size
    return {
        "Gear": name,
        "Description": text,
        "Category": category,
        "Quantity": quantity,
        "Weight": kg,
        "Length": length,
        "Width": width,
        "Height": height,
        "Value": 200,
        "Origin": "DE",
    }


def _rack() -> dict[str, Any]:
    return {
        "Case": "RACK",
        "Kind": "rack",
        "Quantity": 1,
        "Outside length": 60,
        "Outside width": 56,
        "Outside height": 30,
        "Empty weight": 7.2,
        "Most gross": 32,
        "Rack units": 4,
        "Rack depth": 45,
    }


def _offer(stop: str, target: str, supplier: str, price: int) -> dict[str, Any]:
    return {"Stop": stop, "For": target, "Supplier": supplier, "Price": price, "Currency": "EUR"}
