"""Generated trips are repeatable, of the size asked for, and read back from workbooks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from support.oracle import best_objective
from support.trip_sheets import sheets_of, write_messy
from support.trips import FLAVOURS, SIZES, generate
from support.workbooks import write_csv_folder, write_workbook

from packer.model.finding import Severity
from packer.model.trip import Choice, Trip
from packer.reading import Reading, read_trip

POSSIBLE = [name for name in FLAVOURS if not name.startswith("impossible")]

ROWS = ("stops", "rules", "gear", "cases", "offers", "deliveries", "rates")


def bare(trip: Trip) -> Trip:
    """The trip without what tells its file: name, digest, published texts, unknown columns."""
    rules = tuple(replace(rule, published=()) for rule in trip.rules)
    gear = tuple(replace(line, extras=()) for line in trip.gear)
    return replace(trip, rules=rules, gear=gear, file="", input_sha256="")


def by_name(trip: Trip) -> Trip:
    """The trip with all rows sorted, for comparing where their order was lost."""
    lines = tuple(replace(each, needed_at=tuple(sorted(each.needed_at))) for each in trip.gear)
    rows = {name: getattr(trip, name) for name in ROWS} | {"gear": lines}
    return replace(trip, **{name: tuple(sorted(each, key=repr)) for name, each in rows.items()})


def errors(reading: Reading) -> list[str]:
    """What a reading found wrong, as lines."""
    return [each.line() for each in reading.findings if each.severity is Severity.ERROR]


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_same_seed_same_trip(flavour: str) -> None:
    """Two calls agree, two seeds differ."""
    assert generate(flavour, "small", 1) == generate(flavour, "small", 1)
    assert generate(flavour, "small", 1).gear != generate(flavour, "small", 2).gear


@pytest.mark.parametrize("size", SIZES)
def test_sizes_are_as_asked_for(size: str) -> None:
    """Lines, units, cases and legs of the size."""
    trip = generate("messy", size, 3)
    asked = SIZES[size]
    units = sum(line.quantity for line in trip.gear)
    assert (len(trip.gear), units) == (asked.lines, asked.units)
    assert (len(trip.cases), len(trip.legs)) == (asked.cases, asked.legs)


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_whatever_may_stay_can_be_hired(flavour: str) -> None:
    """Lines that need not fly have an offer without end at every stop that needs them."""
    trip = generate(flavour, "medium", 5)
    endless = {(each.stop, each.target) for each in trip.offers if each.available is None}
    for line in trip.gear:
        if line.choice is not Choice.FLY:
            assert {(stop, line.name) for stop in line.needed_at} <= endless


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_plan_exists_unless_the_flavour_says_otherwise(flavour: str) -> None:
    """The exact solver finds a plan of every possible tiny trip and none of an impossible one."""
    found = [best_objective(generate(flavour, "tiny", seed)) is not None for seed in range(15)]
    assert set(found) == {flavour in POSSIBLE}


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_tidy_workbook_reads_back_the_same_trip(flavour: str, tmp_path: Path) -> None:
    """The reader makes the very values that the generator made: weights, prices, runs and all."""
    trip = generate(flavour, "small", 4)
    reading = read_trip(write_workbook(tmp_path / "trip.xlsx", sheets_of(trip)))
    assert errors(reading) == []
    assert reading.trip is not None
    assert bare(reading.trip) == bare(trip)


@pytest.mark.parametrize("seed", range(8))
def test_messy_workbook_reads_back_the_same_trip(seed: int, tmp_path: Path) -> None:
    """Titles, units in cells, commas, text and moved columns change nothing but the order."""
    trip = generate("messy", "small", seed)
    reading = read_trip(write_messy(tmp_path / "trip.xlsx", trip, seed))
    assert errors(reading) == []
    assert reading.trip is not None
    assert by_name(bare(reading.trip)) == by_name(bare(trip))


@pytest.mark.parametrize("flavour", ["tangled-fees", "batteries"])
def test_csv_folder_reads_back_the_same_trip(flavour: str, tmp_path: Path) -> None:
    """Text only, and still the same values."""
    trip = generate(flavour, "small", 6)
    reading = read_trip(write_csv_folder(tmp_path / "trip", sheets_of(trip)))
    assert errors(reading) == []
    assert reading.trip is not None
    assert bare(reading.trip) == bare(trip)
