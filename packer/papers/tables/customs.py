"""The list of goods for customs: what leaves and must come back, numbered without gaps.

Columns as the conventions on temporary admission have them (Customs Convention on the A.T.A.
Carnet, 1961; Istanbul Convention, 1990, Annex A): item number, trade description with marks
and numbers, number of pieces, weight, value, country of origin, and one for customs. Identical
goods share a line and each keeps its own number; cases are goods too; what is used up and what
is hired is not on it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from packer.model.plan import Plan
from packer.model.serials import is_electrical, says_no_serial
from packer.model.trip import Case, Gear, Price, Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.tables.flown import FlownUnit, flown_units, flying_cases
from packer.papers.units import money_text, natural, ranges_text
from packer.papers.words import money_in_words, number_in_words

OWN_DRAWING = (
    "An own drawing of the published columns, not a facsimile of any form: "
    "the guaranteeing association's own form and instructions govern."
)


@dataclass(frozen=True, slots=True)
class CustomsRow:
    """A line of identical goods, items `first` to `last`; weight and value are the line's.

    `members` holds (gear id or case id, unit or 0, case it travels in) for every item in order.
    `value_minor` is None where the user gave no value, `origin` '' where none.
    """

    first: int
    last: int
    description: str
    marks: str
    weight_g: int
    value_minor: int | None
    origin: str
    members: tuple[tuple[str, int, str], ...]

    @property
    def pieces(self) -> int:
        """How many goods the line holds."""
        return self.last - self.first + 1

    @property
    def items(self) -> str:
        """'3' or '3-6'."""
        return ranges_text(range(self.first, self.last + 1))

    @property
    def full_description(self) -> str:
        """The trade description with marks and numbers."""
        return f"{self.description} ({self.marks})" if self.marks else self.description


@dataclass(frozen=True, slots=True)
class CaseItems:
    """Which item numbers travel in a case, the case itself included."""

    case: str
    items: str
    pieces: int
    weight_g: int
    value_minor: int


@dataclass(frozen=True, slots=True)
class CustomsList:
    """The whole list with its totals and what is missing in it."""

    rows: tuple[CustomsRow, ...]
    currency: str
    rates: tuple[str, ...]
    problems: tuple[str, ...]

    @property
    def last_item(self) -> int:
        """The highest item number; 0 for an empty list."""
        return self.rows[-1].last if self.rows else 0

    @property
    def pieces(self) -> int:
        """All pieces."""
        return sum(row.pieces for row in self.rows)

    @property
    def weight_g(self) -> int:
        """Net weight of all goods, cases included, without scale margins."""
        return sum(row.weight_g for row in self.rows)

    @property
    def value_minor(self) -> int:
        """Value of all goods that have one."""
        return sum(row.value_minor or 0 for row in self.rows)

    @property
    def in_words(self) -> tuple[str, str]:
        """Pieces and value in words."""
        return (number_in_words(self.pieces), money_in_words(self.value_minor, self.currency))

    def numbers(self) -> dict[tuple[str, int], int]:
        """The item number of each (gear id, unit) and (case id, 0)."""
        return {
            (name, unit): row.first + index
            for row in self.rows
            for index, (name, unit, _) in enumerate(row.members)
        }


_Member = tuple[str, int, str]


@dataclass(frozen=True, slots=True)
class _Good:
    """One object before numbering: what makes it identical to another, and how it is named."""

    key: tuple[str, int, int | None, str]
    order: tuple[str, tuple[tuple[int, int, str], ...], int]
    serial: str
    serial_expected: bool
    member: _Member


def customs_list(trip: Trip, plan: Plan) -> CustomsList:
    """The list of everything that flies and comes back, cases after goods."""
    units = [unit for unit in flown_units(trip, plan) if not unit.gear.consumable]
    goods = [_unit_good(unit) for unit in units]
    cases = [_case_good(case) for case, _ in flying_cases(trip, plan)]
    rows = _number(_lines(goods) + _lines(cases))
    prices = [u.gear.value for u in units] + [c.value for c, _ in flying_cases(trip, plan)]
    return CustomsList(rows, trip.currency, rates_used(trip, prices), _problems(rows))


def customs_table(goods: CustomsList) -> Table[CustomsRow]:
    """The list as the conventions' seven columns, totals in numbers and in words."""
    pieces, value = goods.in_words
    return Table(
        name="Customs list",
        title="General list of goods",
        columns=_COLUMNS,
        rows=goods.rows,
        currency=goods.currency,
        above=(*goods.rates, *goods.problems),
        below=(
            f"Items 1 to {goods.last_item}." if goods.rows else "No items.",
            f"Total number of pieces in words: {pieces}",
            f"Total value in words: {value}",
            "Signature of the holder: ______________________________  Date: ______________",
            OWN_DRAWING,
        ),
        total_label=f"{goods.last_item} items",
    )


def case_items(trip: Trip, plan: Plan, goods: CustomsList) -> tuple[CaseItems, ...]:
    """Case by case, which item numbers are in it."""
    numbers = goods.numbers()
    return tuple(
        _items_of(case, [u for u in flown_units(trip, plan) if u.piece is piece], numbers)
        for case, piece in flying_cases(trip, plan)
    )


def case_items_table(trip: Trip, plan: Plan, goods: CustomsList) -> Table[CaseItems]:
    """The cross reference from cases to item numbers."""
    return Table(
        name="Items by case",
        title="Which item numbers are in which case",
        columns=_CASE_COLUMNS,
        rows=case_items(trip, plan, goods),
        currency=goods.currency,
        below=("Each case counts as an item itself. Consumables in it are not counted.",),
    )


def item_numbers_in(trip: Trip, plan: Plan, goods: CustomsList, case_name: str) -> tuple[int, ...]:
    """The item numbers in one case, the case's own among them, ascending."""
    numbers = goods.numbers()
    keys = [(case_name, 0)]
    keys += [(u.gear.name, u.unit) for u in flown_units(trip, plan) if u.piece.case == case_name]
    return tuple(sorted(numbers[key] for key in keys if key in numbers))


def rates_used(trip: Trip, prices: Iterable[Price | None]) -> tuple[str, ...]:
    """One line for each foreign currency among the prices: the rate used and its date."""
    used = {price.currency for price in prices if price} - {trip.currency}
    lines = []
    for rate in sorted(trip.rates, key=lambda r: r.currency):
        if rate.currency in used:
            day = f" of {rate.date.isoformat()}" if rate.date else ", date not stated"
            lines.append(f"1 {rate.currency} = {rate.rate.normalize():f} {trip.currency}{day}")
    return tuple(lines)


def value_text(row: CustomsRow, currency: str) -> str:
    """The value of a line as printed; 'not stated' where the user gave none."""
    return "not stated" if row.value_minor is None else money_text(row.value_minor, currency)


def _unit_good(unit: FlownUnit) -> _Good:
    gear = unit.gear
    value = gear.value.minor if gear.value else None
    return _Good(
        key=(gear.description or gear.name, gear.weight_g, value, gear.origin),
        order=(gear.category.casefold(), natural(gear.name), unit.unit),
        serial=unit.serial,
        serial_expected=is_electrical(gear) or any(map(says_no_serial, gear.serials)),
        member=(gear.name, unit.unit, unit.piece.case),
    )


def _case_good(case: Case) -> _Good:
    value = case.value.minor if case.value else None
    description = case.description or f"Transport case {case.run}"
    return _Good(
        key=(f"{description}, empty", case.empty_g, value, case.origin),
        order=("", natural(case.name), 0),
        serial="" if says_no_serial(case.serial) else case.serial,
        serial_expected=says_no_serial(case.serial),
        member=(case.name, 0, case.name),
    )


def _lines(goods: list[_Good]) -> list[list[_Good]]:
    groups: dict[tuple[str, int, int | None, str], list[_Good]] = {}
    for good in sorted(goods, key=lambda g: g.order):
        groups.setdefault(good.key, []).append(good)
    return list(groups.values())


def _number(lines: list[list[_Good]]) -> tuple[CustomsRow, ...]:
    rows, first = [], 1
    for line in lines:
        rows.append(_row(line, first))
        first += len(line)
    return tuple(rows)


def _row(line: list[_Good], first: int) -> CustomsRow:
    description, weight_g, value, origin = line[0].key
    return CustomsRow(
        first=first,
        last=first + len(line) - 1,
        description=description,
        marks=_marks(line),
        weight_g=weight_g * len(line),
        value_minor=None if value is None else value * len(line),
        origin=origin,
        members=tuple(good.member for good in line),
    )


def _marks(line: list[_Good]) -> str:
    """'marked TRB; S/N A1, A2', or NSN (no serial number) where one is expected and unknown."""
    names = list(dict.fromkeys(good.member[0] for good in line))
    serials = list(dict.fromkeys(good.serial for good in line if good.serial))
    without = sum(1 for good in line if not good.serial)
    text = f"marked {', '.join(names)}"
    if serials:
        text += f"; S/N {', '.join(serials)}"
        return text + (f"; {without} NSN" if without else "")
    return text + ("; NSN" if any(good.serial_expected for good in line) else "")


def _problems(rows: tuple[CustomsRow, ...]) -> tuple[str, ...]:
    no_value = [row.items for row in rows if row.value_minor is None]
    no_origin = [row.items for row in rows if not row.origin]
    lines = []
    if no_value:
        lines.append(f"NOT COMPLETE: no value stated for items {', '.join(no_value)}.")
    if no_origin:
        lines.append(f"NOT COMPLETE: no country of origin for items {', '.join(no_origin)}.")
    return tuple(lines)


def _items_of(case: Case, units: list[FlownUnit], numbers: dict[tuple[str, int], int]) -> CaseItems:
    listed = [unit for unit in units if not unit.gear.consumable]
    own = [numbers[(case.name, 0)]]
    value = sum(_minor(unit.gear) for unit in listed) + (case.value.minor if case.value else 0)
    return CaseItems(
        case=case.name,
        items=ranges_text(own + [numbers[(u.gear.name, u.unit)] for u in listed]),
        pieces=len(listed) + 1,
        weight_g=sum(unit.gear.weight_g for unit in listed) + case.empty_g,
        value_minor=value,
    )


def _minor(gear: Gear) -> int:
    return gear.value.minor if gear.value else 0


_COLUMNS: tuple[Column[CustomsRow], ...] = (
    Column("1 Item No.", Kind.ID, lambda r: r.items, 10),
    Column(
        "2 Trade description of goods and marks and numbers, if any",
        Kind.TEXT,
        lambda r: r.full_description,
        44,
    ),
    Column("3 Number of pieces", Kind.COUNT, lambda r: r.pieces, 10, summed=True),
    Column("4 Weight", Kind.GRAMS, lambda r: r.weight_g, 13, summed=True),
    Column("5 Value", Kind.MONEY, lambda r: r.value_minor, 15, summed=True),
    Column("6 Country of origin", Kind.ID, lambda r: r.origin, 9),
    Column("7 For customs use", Kind.BLANK, lambda _: None, 12),
)

_CASE_COLUMNS: tuple[Column[CaseItems], ...] = (
    Column("Case", Kind.ID, lambda r: r.case, 16),
    Column("Item numbers", Kind.TEXT, lambda r: r.items, 60),
    Column("Pieces", Kind.COUNT, lambda r: r.pieces, 10, summed=True),
    Column("Weight", Kind.GRAMS, lambda r: r.weight_g, 13, summed=True),
    Column("Value", Kind.MONEY, lambda r: r.value_minor, 16, summed=True),
)
