"""What stands on the sheets depends on the plan alone, never on the order of anybody's rows."""

from dataclasses import replace

import pytest

from packer.papers import sheets

PAPERS = (
    sheets.manifest_sheets,
    sheets.customs_sheets,
    sheets.proforma_sheets,
    sheets.hire_sheets,
    sheets.house_sheets,
    sheets.piece_sheets,
    sheets.battery_sheets,
    sheets.insurance_sheets,
    sheets.power_sheets,
)


def contents(pages):
    """Everything that is printed: names, facts and cells."""
    return [
        (page.name, page.title, page.facts, [(t.title, t.cells(), t.totals()) for t in page.tables])
        for page in pages
    ]


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.__name__)
def test_the_order_of_rows_never_matters(trip, plan, paper):
    """Workbook rows and the lists of plan.json turned round: the same sheets."""
    turned = replace(
        trip,
        gear=trip.gear[::-1],
        cases=trip.cases[::-1],
        stops=trip.stops[::-1],
        offers=trip.offers[::-1],
        deliveries=trip.deliveries[::-1],
        rates=trip.rates[::-1],
    )
    other = replace(plan, pieces=plan.pieces[::-1], decisions=plan.decisions[::-1])
    assert contents(paper(turned, other)) == contents(paper(trip, plan))


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.__name__)
def test_every_sheet_has_a_title_and_a_short_name(trip, plan, paper):
    """Nothing prints without saying what it is."""
    for page in paper(trip, plan):
        assert page.title
        assert page.name
