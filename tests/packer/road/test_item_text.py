"""Item numbers as people write them."""

import pytest

from packer.road.crossings import Count
from packer.road.item_text import ItemsError, items_text, parse_items


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("1-3", ((1, 1), (2, 1), (3, 1))),
        (" 7 ; 2 ", ((2, 1), (7, 1))),
        ("11", ((11, 4),)),
        ("11x2", ((11, 2),)),
        ("1 - 2 x 3", ((1, 3), (2, 3))),
    ],
)
def test_items_as_people_write_them(text, counts):
    """Runs, lists and pieces; without pieces, all of the number."""
    assert tuple((c.number, c.pieces) for c in parse_items(text, {11: 4})) == counts


@pytest.mark.parametrize("text", ["", "a", "3-1", "0", "1x0", "1..2", "-4", "1-999999"])
def test_what_is_no_item_is_refused(text):
    """Text that names no items is refused, not guessed."""
    with pytest.raises(ItemsError):
        parse_items(text)


def test_counts_and_text_are_one():
    """Text written from counts reads back as the same counts."""
    counts = (Count(1, 1), Count(2, 1), Count(3, 2), Count(4, 2), Count(9, 1))
    assert items_text(counts) == "1-2, 3-4x2, 9"
    assert parse_items(items_text(counts)) == counts
