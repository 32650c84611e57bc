"""Limits in the unit that a carrier publishes, and the rules of one country, held by the judge.

All trips are invented; published figures stand with their sources beside them.
"""

from __future__ import annotations

import pytest
from support.rule_judging import alone, in_trunk, judged, of_weight, planned, refusals
from support.rule_trips import (
    Change,
    PieceOf,
    add,
    cell,
    changed,
    plan_findings,
    read,
    trip_findings,
)
from support.workbooks import Sheets

from packer.model.plan import Route
from packer.model.trip import Box

HOLD = in_trunk(Route.HOLD)
SIDES = ("Outside length", "Outside width", "Outside height")


def rule_cell(heading: str, text: str) -> Change:
    """A limit as the carrier publishes it."""
    return cell("Rules", 0, heading, text)


def fees(sheets: Sheets) -> tuple[int, int]:
    """What one leg charges for overweight and oversize, in minor units."""
    charge = judged(sheets, HOLD).charges[0]
    return charge.overweight_minor, charge.oversize_minor


@pytest.mark.parametrize(
    ("text", "limit_g"),
    [
        ("50 lb", 22_679),  # 50 x 0.45359237 = 22.6796 kg, not 23 kg
        ("70 lb", 31_751),  # 31.7514659 kg, not 32 kg
        ("23 kg", 23_000),  # IATA, checking in a bag: 23 kg, equal is within
    ],
)
def test_a_weight_limit_is_kept_in_its_own_unit(text: str, limit_g: int) -> None:
    """As read: rounded down to the gram, never to the nearest round figure."""
    assert read(changed(rule_cell("Free weight", text))).rules[0].free_weight_g == limit_g


@pytest.mark.parametrize(
    ("limit", "weight", "over"),
    [
        ("50 lb", "22.9", True),  # 50 lb is 22.6796 kg
        ("50 lb", "22.679", False),
        ("50 lb", "22.68", True),
        ("23 kg", "22.9", False),
        ("23 kg", "23", False),  # IATA, checking in a bag: 23 kg; the limit is inclusive
        ("23 kg", "23.001", True),
    ],
)
def test_a_case_at_and_above_a_free_weight(limit: str, weight: str, over: bool) -> None:
    """The judge charges overweight from the first gram above."""
    bands = rule_cell("Overweight bands", f"{limit.split()[0]}-70 {limit.split()[1]}: 90")
    sheets = alone(of_weight(weight), rule_cell("Free weight", limit), bands)
    assert refusals(sheets, HOLD) == set()
    assert fees(sheets) == (9_000 if over else 0, 0)


@pytest.mark.parametrize(("weight", "refused"), [("32", False), ("32.001", True), ("32.5", True)])
def test_a_piece_above_32_kg_is_refused(weight: str, refused: bool) -> None:
    """IATA text quoted at paperzz.com (secondary): above 32 kg no piece can be accepted.

    The judge refuses it, and no plan is made with it; at exactly 32 kg both take it.
    """
    sheets = alone(of_weight(weight), cell("Cases", 0, "Most gross", None))
    assert ("over-hold-weight" in refusals(sheets, HOLD)) is refused
    assert (planned(sheets).plan is None) is refused


def test_a_limit_of_32_kg_is_data() -> None:
    """A carrier's own 45 kg takes the piece of 32.5 kg (common practice, no published source)."""
    own = (rule_cell("Most weight", "45"), rule_cell("Overweight bands", "23-45: 90"))
    sheets = alone(of_weight("32.5"), cell("Cases", 0, "Most gross", None), *own)
    assert refusals(sheets, HOLD) == set()
    assert fees(sheets) == (9_000, 0)


def test_a_linear_limit_is_kept_in_its_own_unit() -> None:
    """62 in is 157.48 cm (25.4 mm an inch): 158 cm is over it; 80 x 50 x 28 cm is 158 cm."""
    case = Box(800, 500, 280)
    assert case.linear_mm == 1_580
    assert round(case.linear_mm / 25.4 - 62, 1) == 0.2
    for text, read_mm in (("62 in", 1_574), ("158 cm", 1_580)):
        assert read(changed(rule_cell("Free linear", text))).rules[0].free_linear_mm == read_mm


@pytest.mark.parametrize(
    ("limit", "height", "over"),
    # IATA, checking in a bag: 158 cm; 62 in by 25.4 mm is 157.48 cm
    [("62 in", 28, True), ("158 cm", 28, False), ("158 cm", 28.1, True), ("62 in", 27.4, False)],
)
def test_a_case_at_and_above_a_linear_limit(limit: str, height: float, over: bool) -> None:
    """80 x 50 x 28 cm is 158 cm: within that, and over 62 in; the judge charges and refuses so."""
    inside = (cell("Cases", 0, "Inside height", 25),)
    sides = [cell("Cases", 0, name, cm) for name, cm in zip(SIDES, (80, 50, height), strict=True)]
    sheets = alone(of_weight("20"), rule_cell("Free linear", limit), *inside, *sides)
    assert fees(sheets) == (0, 10_000 if over else 0)
    most = (rule_cell("Most linear", limit), rule_cell("Free linear", ""))
    strict = alone(of_weight("20"), *most, *inside, *sides)
    assert refusals(strict, HOLD) == ({"over-linear-size"} if over else set())


def us_instrument(height_in: int, weight: str) -> Sheets:
    """A case of 60 x 50 x HEIGHT in, so heavy, on a carrier that takes what 14 CFR 251.5 names."""
    sides = zip(SIDES, (60, 50, height_in), strict=True)
    return alone(
        of_weight(weight),
        *(cell("Cases", 0, name, f"{inches} in") for name, inches in sides),
        cell("Cases", 0, "Most gross", None),
        cell("Legs", 0, "To", "JFK"),
        cell("Legs", 1, "From", "JFK"),
        rule_cell("Most weight", "165 lb"),
        rule_cell("Most linear", "150 in"),
        rule_cell("Free weight", "50 lb"),
        rule_cell("Overweight bands", "50-165 lb: 90"),
    )


@pytest.mark.parametrize(
    ("height_in", "weight", "refused"),
    # 14 CFR 251.5: up to 150 in and 165 lb (74.84274105 kg), case included
    [
        (40, "74.842", set()),
        (41, "74.842", {"over-linear-size"}),
        (40, "74.843", {"over-hold-weight", "weight-in-no-band"}),
    ],
)
def test_the_us_rule_for_checked_instruments(
    height_in: int, weight: str, refused: set[str]
) -> None:
    """150 in and 165 lb are accepted; the sum of 151 in, and more than 165 lb, may be refused."""
    sheets = us_instrument(height_in, weight)
    assert refusals(sheets, HOLD) == refused
    grams = round(1000 * float(weight))
    flown = plan_findings(sheets, PieceOf("TRUNK-1", Route.HOLD, grams, (("NEW", 1),)))
    found = [f for f in (*trip_findings(sheets), *flown) if f.code == "us-instrument-rule"]
    assert "150 in and 165 lb" in found[0].message
    named = [f.message for f in found if "TRUNK-1" in f.message]
    assert [("may refuse" in message) for message in named] == [True] * bool(refused)


def test_a_ticket_to_the_united_states_has_one_allowance() -> None:
    """14 CFR 399.87: the rule at the beginning of the itinerary, and the marketing carrier's.

    Sold under the code of X, the second flight operated by Y: X's allowance for the whole ticket.
    """
    sheets = alone(
        of_weight("23"),
        cell("Rules", 0, "Rule", "X Air"),
        add("Rules", Rule="Y Air", Concept="piece", Free_weight=20, Extra_piece_1=60,
            Most_weight=32, Overweight_bands="20-32: 111", Currency="EUR"),
        cell("Legs", 0, "From", "CDG"),
        cell("Legs", 0, "To", "JFK"),
        *(cell("Legs", row, "Ticket", "T1") for row in (0, 1)),
        *(cell("Legs", row, "Rule", rule) for row, rule in enumerate(("X Air", "Y Air"))),
    )  # fmt: skip
    (found,) = [f for f in trip_findings(sheets) if f.code == "ticket-rules-differ"]
    assert "charges by X Air, as 14 CFR 399.87" in found.message
    assert "of a code-share the marketing carrier's rule" in found.message
    assert "14 CFR 399.87" in found.source
    assert [charge.total_minor for charge in judged(sheets, HOLD).charges] == [0]


@pytest.mark.parametrize(
    ("over", "day", "law"),
    [
        ("JFK", "2026-07-03", None),  # connects in the United States only
        ("JFK", "2026-07-05", "14 CFR 399.87"),  # stays there
        ("YYZ", "2026-07-03", None),
        ("YYZ", "2026-07-05", "Canada's decision 144-A-2014"),
        ("AMS", "2026-07-05", None),
    ],
)
def test_a_mere_connection_does_not_bring_the_rule(over: str, day: str, law: str | None) -> None:
    """redlib wiki on baggage (secondary): ultimate origin and destination count, in Canada too."""
    sheets = changed(
        add("Rules", Rule="Y Air", Concept="piece", Extra_piece_1=60, Currency="EUR"),
        cell("Legs", 1, "Rule", "Y Air"),
        *(cell("Legs", row, "Ticket", "T1") for row in (0, 1)),
        *(cell("Legs", row, end, over) for row, end in enumerate(("To", "From"))),
        cell("Legs", 1, "To", "MEX"),
        cell("Legs", 1, "Date", day),
    )
    (found,) = [f for f in trip_findings(sheets) if f.code == "ticket-rules-differ"]
    assert (", as " in found.message) is (law is not None)
    assert (law or "") in found.message
