"""Papers for strange trips: any letters in any text, other currencies, no flights, no shows."""

from dataclasses import replace
from decimal import Decimal

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from packer.model.trip import Price, Trip
from packer.papers import KINDS, write_papers
from packer.papers.case_sheets import case_sheet_scenes
from packer.papers.drawing import case_svg
from packer.papers.pdf.typeset import measure

SOME = frozenset(
    {"manifest", "case-sheets", "labels-a6", "customs-list-pdf", "customs-list-csv", "summary"}
)
TEXT = st.text(min_size=1, max_size=60)


@settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(name=TEXT, description=TEXT, serial=TEXT)
def test_any_letters_can_be_printed(trip, plan, tmp_path, name, description, serial):
    """Trip's name, descriptions, serials: whatever they hold, every paper is written."""
    gear = tuple(
        replace(line, description=description, serials=(serial,) * line.quantity)
        for line in trip.gear
    )
    cases = tuple(replace(case, description=description) for case in trip.cases)
    strange = replace(trip, name=name, gear=gear, cases=cases)
    written = write_papers(strange, plan, tmp_path, only=SOME)
    assert not [
        cell
        for sheet in load_workbook(written.path("manifest"))
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    ]
    assert case_svg(strange, plan.pieces[0]).startswith("<svg")


def test_very_long_texts_stay_on_their_page(trip, plan):
    """Descriptions of 600 letters without a space."""
    gear = tuple(replace(line, description="Long" * 150) for line in trip.gear)
    cases = tuple(replace(case, description="Wide" * 150) for case in trip.cases)
    for scene in case_sheet_scenes(replace(trip, gear=gear, cases=cases), plan):
        for text in scene.texts:
            if text.anchor == "start":
                assert text.x + measure(text.text, text.size, text.bold) <= scene.width


def in_currency(trip: Trip, code: str) -> Trip:
    """The trip with all values in another currency of the same minor units."""

    def price(one):
        return Price(one.minor, Decimal(one.minor), code) if one else None

    gear = tuple(replace(line, value=price(line.value)) for line in trip.gear)
    cases = tuple(replace(case, value=price(case.value)) for case in trip.cases)
    return replace(trip, currency=code, gear=gear, cases=cases, rates=())


def test_a_currency_without_decimals_prints_whole_units(trip, plan, tmp_path):
    """JPY has none (ISO 4217): 1,557,483 minor units are as many yen."""
    written = write_papers(
        in_currency(trip, "JPY"),
        replace(plan, currency="JPY"),
        tmp_path,
        only=frozenset({"customs-list", "customs-list-csv"}),
    )
    sheet = load_workbook(written.path("customs-list"))["Customs list"]
    cell = next(row[4] for row in sheet.iter_rows() if str(row[0].value).endswith("items"))
    assert (cell.value, cell.number_format) == (1_557_483, '#,##0 "JPY"')
    assert "1557483" in written.path("customs-list-csv").read_text(encoding="utf-8-sig")


def test_a_trip_without_flights_and_shows_has_papers(trip, plan, tmp_path):
    """Every list says that it is empty."""
    gear = tuple(replace(line, needed_at=()) for line in trip.gear)
    bare = replace(trip, legs=(), stops=(), gear=gear, offers=(), deliveries=())
    decisions = tuple(replace(decision, covers=()) for decision in plan.decisions)
    nothing = replace(plan, decisions=decisions, charges=())
    written = write_papers(bare, nothing, tmp_path, only=frozenset(KINDS))
    assert all(path.stat().st_size for path in written)
