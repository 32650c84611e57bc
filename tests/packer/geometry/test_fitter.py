"""The front door: every YES is a packing, no NO is wrong, answers repeat."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.packing import cut_up, faults

from packer.geometry import Fit, Fitter, Item, Verdict

SIDES = st.tuples(*[st.integers(1, 9)] * 3)
ITEMS = st.builds(Item, SIDES, st.booleans(), st.booleans())


def assert_packed(fit: Fit, items: list[Item], inside: tuple[int, int, int], clear: int) -> None:
    """The answer is YES and its places break nothing."""
    assert fit.verdict is Verdict.YES
    assert fit.places is not None
    assert faults(fit.places, items, inside, clear) == []


@settings(max_examples=150, deadline=None)
@given(st.tuples(*[st.integers(4, 14)] * 3), st.lists(ITEMS, max_size=6), st.integers(0, 3))
def test_every_yes_is_a_packing_and_the_two_searches_never_contradict(
    inside: tuple[int, int, int], items: list[Item], clear: int
) -> None:
    """Whatever one part says YES to, no other part says NO to."""
    quick = Fitter(clear).quick(inside, items)
    bound = Fitter(clear).bound(inside, items)
    exact = Fitter(clear).exact(inside, items)
    decided = Fitter(clear).decide(inside, items)
    swift = Fitter(clear).swift(inside, items)
    for fit in (quick, exact, decided, swift):
        if fit.places is not None:
            assert_packed(fit, items, inside, clear)
    assert exact.verdict is not Verdict.UNKNOWN
    assert {quick.verdict, bound.verdict, swift.verdict} <= {exact.verdict, Verdict.UNKNOWN}
    assert decided.verdict is exact.verdict


@pytest.mark.parametrize("count", [1, 2, 4, 6, 8, 10])
def test_a_case_cut_into_boxes_holds_them(count: int) -> None:
    """Known optimum by construction: boxes cut from the case fill it to the last millimetre."""
    rng = random.Random(count)
    for _ in range(3):
        inside = (rng.randint(400, 900), rng.randint(300, 600), rng.randint(200, 500))
        parts = cut_up(rng, inside, count, 30)
        items = [Item((a - 5, b - 5, c - 5)) for a, b, c in parts]
        rng.shuffle(items)
        assert_packed(Fitter(5).decide(inside, items), items, inside, 5)


@pytest.mark.parametrize("count", [15, 30, 60])
def test_a_full_case_is_never_refused(count: int) -> None:
    """However hard to find, a packing that exists is never denied."""
    rng = random.Random(count)
    inside = (1150, 560, 520)
    items = [Item((a - 5, b - 5, c - 5)) for a, b, c in cut_up(rng, inside, count, 25)]
    fitter = Fitter(5)
    for fit in (fitter.quick(inside, items), fitter.bound(inside, items)):
        assert fit.verdict is not Verdict.NO


def test_the_quick_search_finds_nearly_all_up_to_three_quarters() -> None:
    """Boxes cut from a case and shrunk to 75 % of its volume: at least 38 of 40 are found."""
    found = 0
    for seed in range(40):
        rng = random.Random(seed)
        inside = (rng.randint(500, 1200), rng.randint(400, 700), rng.randint(300, 700))
        items = [
            Item((a * 9 // 10 - 5, b * 9 // 10 - 5, c * 9 // 10 - 5))
            for a, b, c in cut_up(rng, inside, 4 + seed % 16, 40)
        ]
        fit = Fitter(5).quick(inside, items)
        if fit.verdict is Verdict.YES:
            assert_packed(fit, items, inside, 5)
            found += 1
    assert found >= 38


def test_clearance_is_added_once_to_each_length() -> None:
    """Contract 5.7: an own length of 95 mm and 5 mm of clearance fill 100 mm, 96 do not."""
    fitter = Fitter(5)
    assert fitter.decide((100, 100, 100), [Item((95, 95, 95))]).verdict is Verdict.YES
    assert fitter.decide((100, 100, 100), [Item((96, 95, 95))]).verdict is Verdict.NO
    assert fitter.decide((200, 100, 100), [Item((95, 95, 95))] * 2).verdict is Verdict.YES
    assert fitter.decide((199, 100, 100), [Item((95, 95, 95))] * 2).verdict is Verdict.NO


def test_upright_keeps_the_height_vertical() -> None:
    """A thing 300 mm high may lie down in a case 200 mm deep, unless it must stand."""
    inside = (400, 150, 200)
    assert Fitter(0).decide(inside, [Item((100, 100, 300))]).verdict is Verdict.YES
    assert Fitter(0).decide(inside, [Item((100, 100, 300), upright=True)]).verdict is Verdict.NO
    assert Fitter(0).decide(inside, [Item((100, 300, 200), upright=True)]).verdict is Verdict.YES


def test_nothing_lies_above_a_fragile_thing() -> None:
    """Two flat things fit one on the other, not when both are fragile."""
    inside = (100, 100, 100)
    flat = Item((100, 100, 50), upright=True)
    glass = Item((100, 100, 50), upright=True, fragile=True)
    assert Fitter(0).decide(inside, [flat, glass]).verdict is Verdict.YES
    assert Fitter(0).decide(inside, [glass, glass]).verdict is Verdict.NO


def test_fragile_looks_at_own_sizes_without_clearance() -> None:
    """Own plan views that only touch do not overlap, though the grown ones do (contract 5.7).

    Two things 50 mm wide in 100 mm would need 110 mm side by side with 10 mm of clearance
    grown, so one stands higher; as their own plan views are apart, neither lies above the other.
    """
    glass = Item((50, 90, 40), upright=True, fragile=True)
    assert Fitter(10).exact((110, 100, 100), [glass, glass]).verdict is Verdict.YES
    assert Fitter(10).exact((109, 100, 100), [glass, glass]).verdict is Verdict.NO


def test_an_answer_is_the_same_in_any_order_and_on_any_day() -> None:
    """Equal questions have equal answers, places moved along with their items."""
    items = [Item((100, 80, 60)), Item((200, 90, 70)), Item((60, 80, 100)), Item((50, 50, 50))]
    inside = (300, 200, 100)
    first = Fitter(5, seed=3).quick(inside, items)
    again = Fitter(5, seed=3).quick(inside, items[::-1])
    assert first.places is not None
    assert again.places is not None
    assert set(first.places) == set(again.places)


def test_what_was_asked_before_changes_no_answer() -> None:
    """Places do not depend on the order in which a `Fitter` met the items."""
    items = [Item((100, 80, 60)), Item((200, 90, 70)), Item((60, 81, 100)), Item((50, 50, 50))]
    experienced = Fitter(5)
    for item in reversed(items):
        experienced.quick((300, 300, 300), [item, item])
    inside = (300, 200, 100)
    assert experienced.quick(inside, items) == Fitter(5).quick(inside, items)


def test_no_items_fit_anywhere() -> None:
    """An empty set of items is packed by doing nothing."""
    for fit in (Fitter(5).quick((10, 10, 10), []), Fitter(5).exact((10, 10, 10), [])):
        assert fit == Fit(Verdict.YES, ())
