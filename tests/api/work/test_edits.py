"""Locks, worths, prices and tares put on a trip, exactly."""

from __future__ import annotations

import pytest
from support.worked import worked_trip

from api.work.edits import BadFigureError, Edits, grams_of, minor_of, offer_key, with_edits


@pytest.mark.parametrize(
    ("text", "currency", "minor"),
    [
        ("120.50", "EUR", 12_050),
        ("120,5", "EUR", 12_050),
        ("0.005", "EUR", 1),  # half up, as the contract rounds prices (section 1)
        ("0.0049", "EUR", 0),
        ("1500", "JPY", 1_500),  # no decimals (ISO 4217)
        ("1.2345", "BHD", 1_235),  # three decimals (ISO 4217)
    ],
)
def test_money_follows_its_currency(text: str, currency: str, minor: int) -> None:
    """Minor units by the currency's own decimals, half up."""
    assert minor_of(text, currency) == minor


@pytest.mark.parametrize("text", ["", "many", "-1", "NaN", "Infinity", "1e99", "1.2.3"])
def test_what_is_no_amount_is_refused(text: str) -> None:
    """No sign, no word, nothing without end."""
    with pytest.raises(BadFigureError):
        minor_of(text, "EUR")


@pytest.mark.parametrize(
    ("text", "grams"), [("23.4", 23_400), ("23,4 kg", 23_400), ("0.0001", 1), ("31.6001", 31_601)]
)
def test_weights_round_up(text: str, grams: int) -> None:
    """A weight carried rounds up to the gram (contract, section 1)."""
    assert grams_of(text) == grams


@pytest.mark.parametrize("text", ["0", "-3", "x", "3000", "nan"])
def test_what_is_no_weight_is_refused(text: str) -> None:
    """Nothing below a gram or above two tonnes stands on that scale."""
    with pytest.raises(BadFigureError):
        grams_of(text)


def test_edits_change_what_they_name_and_nothing_else() -> None:
    """One worth, one price and one tare; everything else is the same object."""
    trip = worked_trip()
    line, offer, case = trip.gear[0], trip.offers[0], trip.cases[0]
    edits = Edits(
        worths=((line.name, 777),),
        prices=((offer_key(offer), 4_321),),
        tares=((case.name, 250),),
    )
    edited = with_edits(trip, edits)
    assert edited.gear_named(line.name).worth_minor == 777
    assert edited.offers[0].price.minor == 4_321
    assert edited.case_named(case.name).empty_g == case.empty_g + 250
    assert edited.gear[1:] == trip.gear[1:]
    assert edited.offers[1:] == trip.offers[1:]


def test_edits_for_what_is_gone_change_nothing() -> None:
    """A lock on a line that a new workbook no longer has does no harm."""
    trip = worked_trip()
    edits = Edits((("GONE", "fly"),), (("GONE", 1),), ((("X", "Y", "Z"), 1),), (("GONE", 1),))
    assert with_edits(trip, edits) == trip
