"""The demo trip: clean, as large as it says, invented on every sheet, and worth planning."""

import csv
import importlib.util
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from packer.model.finding import Severity
from packer.model.outcome import Outcome
from packer.model.plan import Route
from packer.model.solving import Limits
from packer.model.trip import CaseKind, Concept
from packer.pipeline import solve
from packer.reading import read_trip
from packer.rules import check_trip

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "demo" / "trip"
READING = read_trip(FOLDER)
TRIP = READING.trip


@pytest.fixture(scope="module")
def workbook(tmp_path_factory):
    """The workbook as the demo writes it."""
    spec = importlib.util.spec_from_file_location("workbook", ROOT / "demo" / "workbook.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    target = tmp_path_factory.mktemp("demo") / "trip.xlsx"
    module.write_workbook(FOLDER, target)
    return target


@pytest.fixture(scope="module")
def planned():
    """A plan by a little counted work, the same on every machine."""
    limits = Limits(seconds=300, workers=1, deterministic=1.0)
    return solve(TRIP, READING.findings, limits)


def test_it_raises_no_alarm():
    """Nothing to mend: notes at most."""
    found = [*READING.findings, *check_trip(TRIP)]
    assert [f.line() for f in found if f.severity is not Severity.NOTE] == []


def test_it_is_as_large_as_it_says():
    """About 90 lines and 170 units, 26 cases of all kinds, three shows, four flights."""
    assert 85 <= len(TRIP.gear) <= 95
    assert 160 <= sum(line.quantity for line in TRIP.gear) <= 185
    assert len(TRIP.cases) == 26
    assert {case.kind for case in TRIP.cases} == set(CaseKind)
    assert (len(TRIP.stops), len(TRIP.legs)) == (3, 4)


def test_its_shows_differ_in_country_and_currency():
    """And none is at home."""
    assert len({stop.country for stop in TRIP.stops} | {TRIP.home_country}) == 4
    assert len({offer.price.currency for offer in TRIP.offers}) == 3


def test_its_carriers_count_differently():
    """One by pieces, one by weight, two flights each."""
    concepts = [TRIP.rule_of(leg).concept for leg in TRIP.legs]
    assert concepts == [Concept.PIECE, Concept.PIECE, Concept.WEIGHT, Concept.WEIGHT]


@pytest.mark.parametrize("stop", TRIP.stops, ids=lambda stop: stop.name)
def test_every_stop_has_two_hire_suppliers_and_house_gear(stop):
    """Beside the festival's own."""
    suppliers = {offer.supplier for offer in TRIP.offers if offer.stop == stop.name}
    assert "house" in suppliers
    assert len(suppliers) == 3


def test_it_has_kits_backups_spare_lithium_and_soft_goods():
    """Everything that makes a trip hard."""
    roles = [line.role for line in TRIP.gear if line.role]
    assert {offer.target for offer in TRIP.offers if offer.is_kit} == {"DRUMS", "STANDS"}
    assert len(set(roles)) >= 10
    assert any(line.battery and line.battery.spare for line in TRIP.gear)
    assert any(line.soft for line in TRIP.gear)
    assert all(line.weight_g % 10 == 0 for line in TRIP.gear)


def test_every_sheet_says_that_it_is_invented(workbook):
    """In its first cell, and at the foot of every page."""
    for path in FOLDER.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            assert "Invented" in next(csv.reader(file))[0]
    for sheet in openpyxl.load_workbook(workbook):
        assert "Invented" in sheet["A1"].value
        assert "invented" in sheet.oddFooter.left.text


def test_the_workbook_reads_as_the_folder_does(workbook):
    """The same trip, but for the file's name and hash, and 6.50 written as the number 6.5."""
    read = read_trip(workbook).trip
    parts = ("name", "stops", "legs", "gear", "cases", "offers", "deliveries", "freight")
    assert [replace(r, published=()) for r in read.rules] == [
        replace(r, published=()) for r in TRIP.rules
    ]
    assert [part for part in parts if getattr(read, part) != getattr(TRIP, part)] == []


def test_its_plan_is_judged_and_has_something_to_decide(planned):
    """Most flies, some is hired, and pieces go by hold and cabin."""
    assert planned.outcome is Outcome.DONE
    assert planned.verdict.accepted
    flown = sum(decision.flown for decision in planned.plan.decisions)
    assert 0.7 < flown / sum(line.quantity for line in TRIP.gear) < 0.95
    assert {Route.HOLD, Route.CABIN} <= {piece.route for piece in planned.plan.pieces}


def test_the_heavy_loudspeaker_is_hired_and_the_cheap_synthesiser_flies(planned):
    """22.9 kg for 55 EUR a show against 6.35 kg of the act's own sounds for 25 EUR."""
    flown = {decision.gear: decision.flown for decision in planned.plan.decisions}
    named = {line.description.split(",")[0]: line.name for line in TRIP.gear}
    assert flown[named["Loudspeaker for tuba and bass synthesiser"]] == 0
    assert flown[named["Monophonic synthesiser"]] == 1
