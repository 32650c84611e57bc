"""Causes that are plain line by line: each names the object, the limit and what it misses by."""

from __future__ import annotations

from dataclasses import replace

import pytest
from support.by_hand import OUT, crate, price, rack, thing, trip_of, vault

from packer.decide.causes import causes_of
from packer.decide.problem import build
from packer.model.finding import Finding, Severity
from packer.model.solving import Wishes
from packer.model.trip import Battery, Box, Carry, Case, Chemistry, Choice, Gear, Offer

FLY = Choice.FLY


def cause(line: Gear, cases: list[Case], offers: tuple[Offer, ...] = (), **wishes) -> Finding:
    """The one cause that there is."""
    trip = trip_of([line], cases, offers=offers)
    [found] = causes_of(build(trip, Wishes(**wishes)))
    assert (found.severity, found.subject) == (Severity.ERROR, line.name)
    assert found.remedy
    return found


@pytest.mark.parametrize(
    ("line", "cases", "code", "words"),
    [
        (
            thing("HORN", weight_g=28_000, choice=FLY), [crate("C")], "too-heavy-for-any-case",
            ["HORN must fly", "28.00 kg", "C, leaves 27.50 kg", "0.50 kg too heavy"],
        ),
        (
            thing("POLE", size=Box(300, 20, 20), choice=FLY), [crate("C")], "no-case-large-enough",
            ["300 x 20 x 20 mm", "C, is 210 x 210 x 210 mm inside"],
        ),
        (
            thing("AMP", rack_half_units=9, depth_mm=300, choice=FLY), [rack("K")],
            "no-case-large-enough", ["4.5 U", "4 U"],
        ),
        (
            thing("AMP", rack_half_units=2, depth_mm=450, choice=FLY), [rack("K")],
            "no-case-large-enough", ["450 mm deep", "400 mm"],
        ),
        (
            thing("BASS", slot="neck", choice=FLY), [crate("C"), vault("V", kind="bell")],
            "no-case-of-kind", ["slot of kind 'neck'"],
        ),
        (
            thing("MIC", only_in=("GONE",), choice=FLY), [crate("C")], "no-case-of-kind",
            ["Only in (GONE)"],
        ),
        (
            thing("LAPTOP", carry=Carry.CABIN, choice=FLY), [crate("C")], "no-way-to-travel",
            ["by cabin"],
        ),
        (
            thing("DRUM", choice=Choice.HIRE), [crate("C")], "hire-without-offer",
            ["may only be hired", "Quay cover 0 of 1"],
        ),
    ],
)  # fmt: skip
def test_what_must_fly_and_cannot_is_a_cause(line, cases, code, words) -> None:
    """The code, and the figures in the sentence."""
    found = cause(line, cases)
    assert found.code == code
    for each in words:
        assert each in found.message


def test_scarce_offers_make_lines_fly() -> None:
    """Two of three are to be had, and no case takes the third."""
    found = cause(thing("A", 3, 28_000), [crate("C")], (price("A", 100, available=2),))
    assert found.code == "too-heavy-for-any-case"
    assert "cover 2 of 3 A" in found.message


def test_what_the_law_forbids_names_its_source() -> None:
    """A pack above 160 Wh that must fly."""
    pack = Battery(Chemistry.LITHIUM_ION, energy_mwh=300_000, spare=True)
    found = cause(thing("PACK", battery=pack, choice=FLY), [crate("C", carry=Carry.EITHER)])
    assert found.code == "forbidden-on-board"
    assert found.source


def test_a_wish_to_hire_what_nobody_offers_is_named() -> None:
    """Taking the wish back is the remedy."""
    found = cause(thing("A"), [crate("C")], hire=("A",))
    assert found.code == "cannot-fly"
    assert "Take the wish back" in found.remedy


def test_a_wish_to_fly_what_cannot_is_named() -> None:
    """It could be hired, but it was asked to fly."""
    found = cause(thing("A", weight_g=40_000), [crate("C")], (price("A", 100),), fly=("A",))
    assert "was asked to fly" in found.message


def test_the_roomiest_limit_of_all_cases_is_told() -> None:
    """The lighter crate leaves more: 32 - 3.5 kg."""
    cases = [crate("C"), crate("D", empty_g=3_000), crate("E", empty_g=9_000)]
    found = cause(thing("A", weight_g=30_000, choice=FLY), cases)
    assert "D, leaves 28.50 kg" in found.message


def test_what_can_be_packed_or_hired_has_no_cause() -> None:
    """One flies, one is hired, one is needed nowhere."""
    lines = [thing("A", choice=FLY), thing("B", weight_g=90_000), thing("I", 1, 90_000,
             needed_at=())]  # fmt: skip
    trip = trip_of(lines, [crate("C")], offers=(price("B", 100),),
                   legs=(replace(OUT, free_pieces=1),))  # fmt: skip
    assert causes_of(build(trip, Wishes())) == ()
