"""The claim list for lost goods: every object with its value, then what to do by which day.

In: a claim as `packer.road.claim` makes it (any value of that shape) and the item numbers of the
customs list. Out: tables. The carrier's conditions and the law that applies decide.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from packer.papers.table import Column, Fact, Kind, Table


class Gone(Protocol):
    """A lost object; `unit` 0 is the case itself. `value_minor` None where none was given."""

    @property
    def name(self) -> str: ...
    @property
    def unit(self) -> int: ...
    @property
    def description(self) -> str: ...
    @property
    def serial(self) -> str: ...
    @property
    def case(self) -> str: ...
    @property
    def value_minor(self) -> int | None: ...


class Due(Protocol):
    """A day by which something must be done."""

    @property
    def what(self) -> str: ...
    @property
    def by(self) -> date: ...
    @property
    def source(self) -> str: ...
    @property
    def label(self) -> str: ...


class Claimed(Protocol):
    """A claim; limits in special drawing rights, and in the trip currency where a rate is known."""

    @property
    def things(self) -> Sequence[Gone]: ...
    @property
    def people(self) -> int: ...
    @property
    def baggage_sdr(self) -> int: ...
    @property
    def freight_sdr(self) -> int: ...
    @property
    def limit_minor(self) -> int | None: ...
    @property
    def beyond_minor(self) -> int | None: ...
    @property
    def value_minor(self) -> int: ...
    @property
    def limit_source(self) -> str: ...
    @property
    def without_value(self) -> Sequence[str]: ...
    @property
    def deadlines(self) -> Sequence[Due]: ...
    @property
    def caution(self) -> str: ...


@dataclass(frozen=True, slots=True)
class ClaimRow:
    """A lost object as the claim lists it; `item` 0 where the customs list does not have it."""

    item: int
    label: str
    description: str
    serial: str
    case: str
    value_minor: int | None


def claim_rows(claim: Claimed, numbers: Mapping[tuple[str, int], int]) -> tuple[ClaimRow, ...]:
    """The lost objects in the claim's order."""
    return tuple(
        ClaimRow(
            numbers.get((thing.name, thing.unit), 0),
            f"{thing.name} {thing.unit}" if thing.unit else thing.name,
            thing.description,
            thing.serial,
            thing.case,
            thing.value_minor,
        )
        for thing in claim.things
    )


def claim_tables(
    claim: Claimed, numbers: Mapping[tuple[str, int], int], currency: str
) -> tuple[Table[ClaimRow], Table[Due]]:
    """What is gone, and by when to write."""
    missing = ", ".join(claim.without_value)
    return (
        Table(
            "Gone",
            "What is gone",
            _GONE,
            claim_rows(claim, numbers),
            currency,
            above=(f"NOT COMPLETE: no value stated for {missing}.",) if missing else (),
        ),
        Table(
            "Deadlines",
            "Days to keep",
            _DUE,
            tuple(claim.deadlines),
            below=(claim.caution,),
        ),
    )


def claim_facts(claim: Claimed) -> tuple[Fact, ...]:
    """The convention's limit beside the value."""
    limit = [f"{claim.baggage_sdr:,} for {claim.people} passengers"] if claim.baggage_sdr else []
    limit += [f"{claim.freight_sdr:,} for freight by weight"] if claim.freight_sdr else []
    facts = [
        Fact("Value of what is gone", claim.value_minor, Kind.MONEY),
        Fact("Limit, special drawing rights", " + ".join(limit) or "not known"),
    ]
    if claim.limit_minor is not None:
        facts.append(Fact("Limit in trip currency", claim.limit_minor, Kind.MONEY))
        facts.append(Fact("Above it, for the insurance", claim.beyond_minor, Kind.MONEY))
    return (
        *facts,
        Fact("Source of the limit", claim.limit_source or "not known"),
        Fact("Unless", "a higher value was declared when it was handed over"),
        Fact("Carrier's file number", "______________________________ (fill in)"),
    )


_GONE: tuple[Column[ClaimRow], ...] = (
    Column("Item", Kind.COUNT, lambda r: r.item or None, 7),
    Column("Object", Kind.ID, lambda r: r.label, 18),
    Column("Description", Kind.TEXT, lambda r: r.description, 36),
    Column("Serial", Kind.ID, lambda r: r.serial, 16),
    Column("In case", Kind.ID, lambda r: r.case, 14),
    Column("Value", Kind.MONEY, lambda r: r.value_minor, 16, summed=True),
)

_DUE: tuple[Column[Due], ...] = (
    Column("By", Kind.DATE, lambda d: d.by, 14),
    Column("What", Kind.TEXT, lambda d: d.what, 44),
    Column("Source", Kind.TEXT, lambda d: f"{d.source} ({d.label.lower()})", 50),
)
