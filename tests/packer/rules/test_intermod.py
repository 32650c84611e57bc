"""Third-order products by exact arithmetic, and a set that is said to work."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from packer.rules.intermod import hits, nearest_khz, third_order

WORKING = [863_100, 863_700, 864_100, 864_900]  # dorsetpahire.co.uk, restating Ofcom


def test_two_tones_make_two_products() -> None:
    """2 x 614.0 - 614.4 = 613.6 and 2 x 614.4 - 614.0 = 614.8 MHz."""
    assert [product.khz for product in third_order([614_000, 614_400])] == [613_600, 614_800]


def test_the_published_set_keeps_200_khz() -> None:
    """No two- or three-tone product falls on a member; the nearest is 0.200 MHz away (computed)."""
    two = [p for p in third_order(WORKING) if len(p.made_of) == 2]
    three = [p for p in third_order(WORKING) if len(p.made_of) == 3]
    assert (len(two), len(three)) == (12, 12)
    for products in (two, three):
        assert min(abs(p.khz - member) for p in products for member in WORKING) == 200
    assert nearest_khz(WORKING) == 200
    assert hits(WORKING, 200) == ()


def test_a_product_on_a_member_is_a_hit() -> None:
    """Equal steps always hit: 614.0, 614.4, 614.8."""
    found = hits([614_000, 614_400, 614_800], 200)
    assert {(hit.product.khz, hit.member_khz) for hit in found} == {
        (614_800, 614_800),
        (614_000, 614_000),
    }
    assert all(hit.distance_khz == 0 for hit in found)


def test_fewer_than_two_frequencies_have_no_product() -> None:
    """Nothing to mix."""
    assert third_order([614_000]) == ()
    assert nearest_khz([]) is None
    assert hits([614_000, 614_000], 200) == ()


@given(st.lists(st.integers(400_000, 900_000), min_size=2, max_size=6, unique=True))
def test_products_match_their_formula(frequencies: list[int]) -> None:
    """Each product says what made it, in any order of the set."""
    products = third_order(frequencies)
    for product in products:
        a, b, *more = product.made_of
        assert product.khz == (a + b - more[0] if more else 2 * a - b)
    assert products == third_order(frequencies[::-1])
    count = len(frequencies)
    if min(2 * min(frequencies) - max(frequencies), 1) > 0:
        pairs = count * (count - 1)
        assert len(products) == pairs + pairs * (count - 2) // 2
