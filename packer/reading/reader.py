"""Reads a trip: workbook or CSV folder in, a validated frozen `Trip` with findings out.

`read_trip` names every stage. It never raises for bad data: what is wrong is a finding, and
everything wrong is found in one go.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from packer.model.finding import Finding, in_order
from packer.model.source import NOWHERE, Cell, Source
from packer.model.trip import (
    DEFAULT_CLEARANCE_MM,
    DEFAULT_SCALE_MARGIN_G,
    Carnet,
    Trip,
)
from packer.reading.cases import build_cases
from packer.reading.codes import finding
from packer.reading.columns import Sheet
from packer.reading.csv_folder import read_folder
from packer.reading.gear import build_gear
from packer.reading.grid import find_grid
from packer.reading.log import Log
from packer.reading.money import read_exchange
from packer.reading.offers import (
    build_deliveries,
    build_freight,
    build_offers,
    build_rates,
    targets_of,
)
from packer.reading.routes import build_legs, build_rules, build_stops
from packer.reading.schema import SHEETS, sheet_named
from packer.reading.sheets import find_sheets
from packer.reading.tables import Row, Table, read_table
from packer.reading.trip_sheet import read_trip_sheet
from packer.reading.values import Book, RawSheet, Unreadable
from packer.reading.xlsx import read_workbook


@dataclass(frozen=True, slots=True)
class Reading:
    """What came of reading: `trip` is None exactly where a finding is an error."""

    trip: Trip | None
    findings: tuple[Finding, ...]


def read_trip(path: Path) -> Reading:
    """Read and check the trip in an `.xlsx` workbook or a folder of `.csv` files.

    Contract, sections 1 and 5. Raises nothing for what is wrong with file or data.
    """
    log = Log()
    try:
        book = open_book(Path(path), log)
    except Unreadable as error:
        name = Path(path).name
        return Reading(None, (finding(error.code, error.message, error.remedy, subject=name),))
    trip = trip_of(book, log)
    return Reading(None if log.has_errors else trip, in_order(log.findings))


def open_book(path: Path, log: Log) -> Book:
    """The raw cells of a workbook or folder; raises `Unreadable`."""
    try:
        if path.is_dir():
            book, findings = read_folder(path)
            log.findings += findings
            return book
        if not path.is_file():
            raise Unreadable("file-missing", f"There is no file {path}.", "Check the path.")
        return read_workbook(path)
    except OSError as error:
        message = f"{path.name} cannot be read: {error.strerror or error}."
        raise Unreadable("file-missing", message, "Check the path and its permissions.") from None


def trip_of(book: Book, log: Log) -> Trip | None:
    """The trip in raw cells; None exactly where the log then has an error."""
    raws = find_sheets(book, log)
    about = _about(book, raws, log)
    tables = {
        name: _table(book, raw, sheet_named(name), log)
        for name, raw in raws.items()
        if name != "Trip"
    }

    def rows(name: str) -> list[Row]:
        return tables[name].rows if name in tables else []

    unread = _unread(raws, tables)
    exchange = read_exchange(about.get("currency", ""), rows("Rates"), log)
    exchange.is_blind = "Rates" in unread
    stops, stop_names = build_stops(rows("Stops"), log)
    stop_names.is_blind = "Stops" in unread
    rules, rule_names = build_rules(rows("Rules"), exchange, log)
    rule_names.is_blind = "Rules" in unread
    legs = build_legs(rows("Legs"), rule_names, {rule.name: rule.concept for rule in rules}, log)
    cases = build_cases(rows("Cases"), exchange, log)
    cases.names.is_blind = "Cases" in unread
    gear, gear_names = build_gear(rows("Gear"), stop_names, cases, exchange, log)
    targets = targets_of(rows("Gear"), gear_names)
    targets.gear.is_blind = "Gear" in unread
    offers = build_offers(rows("Offers"), targets, gear_names, stop_names, exchange, log)
    deliveries = build_deliveries(rows("Suppliers"), rows("Offers"), stop_names, exchange, log)
    freight = build_freight(rows("Freight"), exchange, log)
    rates = build_rates(rows("Rates"), log)
    if log.has_errors:
        return None
    return Trip(
        name=_name(about, book, log),
        home_country=about.get("home_country", ""),
        currency=exchange.currency,
        stops=tuple(stops),
        legs=tuple(legs),
        rules=tuple(rules),
        gear=tuple(gear),
        cases=tuple(cases.built),
        offers=tuple(offers),
        deliveries=tuple(deliveries),
        freight=freight,
        rates=tuple(rates),
        carnet=_carnet(about),
        scale_margin_g=about.get("scale_margin", DEFAULT_SCALE_MARGIN_G),
        clearance_mm=about.get("packing_clearance", DEFAULT_CLEARANCE_MM),
        one_case_lost=about.get("one_case_lost", True),
        file=book.file,
        input_sha256=book.sha256,
        source=about.source,
    )


def _unread(raws: dict[str, RawSheet], tables: dict[str, Table]) -> set[str]:
    """The sheets that could not be read, which was said: what refers to them is not looked up."""
    missing = {sheet.name for sheet in SHEETS if sheet.required and sheet.name not in raws}
    empty = {
        name
        for name, table in tables.items()
        if not table.is_read or (table.sheet.needs_rows and not table.rows)
    }
    return missing | empty


def _about(book: Book, raws: dict[str, RawSheet], log: Log) -> Row:
    if "Trip" not in raws:
        return Row(NOWHERE, bad=True)
    return read_trip_sheet(book.file, raws["Trip"], book.is_text, log)


def _table(book: Book, raw: RawSheet, sheet: Sheet, log: Log) -> Table:
    if not raw.rows and not sheet.required:
        return Table(sheet)
    grid = find_grid(book.file, raw, sheet, log)
    if grid is None:
        return Table(sheet, is_read=False)
    table = read_table(grid, book.is_text, log)
    if not table.rows and (sheet.required or sheet.needs_rows):
        _log_empty(book, raw, sheet.needs_rows, sheet.row, log)
    return table


def _log_empty(book: Book, raw: RawSheet, is_error: bool, row: str, log: Log) -> None:
    code = "sheet-empty" if is_error else "rows-none"
    expected = "expected at least one" if is_error else "nothing can be packed"
    message = f"Sheet {raw.name} has no row; each would be {row}; {expected}."
    log.add(code, message, "Fill the sheet in.", Cell(book.file, raw.name, 1, "A"))


def _name(about: Row, book: Book, log: Log) -> str:
    if name := about.get("trip_name"):
        return str(name)
    stem = Path(book.file).stem
    source: Source = about.source
    log.add("trip-name-missing", f"The trip has no name; {stem} is taken.", "", source.cell("name"))
    return stem


def _carnet(about: Row) -> Carnet:
    return Carnet(
        about.get("carnet_holder", ""), about.get("carnet_number", ""), about.get("carnet_issued")
    )
