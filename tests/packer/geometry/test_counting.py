"""How many identical things a case holds: the two figures enclose the truth."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from packer.geometry import Count, Fitter, Item, Verdict, max_count

SIDES = st.tuples(*[st.integers(1, 6)] * 3)


@settings(max_examples=80, deadline=None)
@given(
    st.tuples(*[st.integers(3, 9)] * 3),
    st.builds(Item, SIDES, st.booleans(), st.booleans()),
    st.integers(0, 2),
)
def test_found_fits_and_more_than_most_never_does(
    inside: tuple[int, int, int], item: Item, clear: int
) -> None:
    """Both figures against the exact model, where that is quick."""
    count = max_count(inside, item, clear)
    assert count.found <= count.most
    if count.most < 8:
        fitter = Fitter(clear)
        assert fitter.exact(inside, [item] * count.found).verdict is Verdict.YES
        assert fitter.exact(inside, [item] * (count.most + 1)).verdict is Verdict.NO


def test_simple_counts() -> None:
    """Cubes of 100 mm with 5 mm of clearance: 1050 mm hold ten, 1049 mm nine."""
    cube = Item((100, 100, 100))
    assert max_count((1050, 105, 105), cube, 5) == Count(10, 10)
    assert max_count((1049, 105, 105), cube, 5) == Count(9, 9)
    assert max_count((104, 200, 200), cube, 5) == Count(0, 0)


def test_fragile_things_are_not_stacked() -> None:
    """Four side by side, no second layer."""
    glass = Item((100, 100, 100), fragile=True)
    assert max_count((200, 200, 400), glass, 0) == Count(4, 4)
