"""Dual feasible rows: whatever goes in one case meets every one of them."""

from hypothesis import example, given, settings
from hypothesis import strategies as st

from packer.decide.dual import functions, halved, images
from packer.geometry.scaling import counted, stepped

ROOM = st.integers(1, 60)


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(ROOM, st.lists(st.integers(0, 60), min_size=1, max_size=8), st.randoms())
@example(10, [5, 5, 0], None)
def test_every_content_within_the_room_meets_every_row(room, sizes, random) -> None:
    """Random numbers of each size as long as they fit: no row is broken, the first is the room."""
    sizes = [min(size, room) for size in sizes]
    rooms = [room, *(random.sample(range(room + 1), min(2, room)) if random else [])]
    rows = images(sizes, rooms)
    assert rows[0] == (sizes, rooms)
    for k, each in enumerate(rooms):
        units = _filled(sizes, each, random)
        for values, limits in rows:
            assert sum(v * n for v, n in zip(values, units, strict=True)) <= limits[k]


@settings(max_examples=100, deadline=None, derandomize=True, database=None)
@given(ROOM, st.lists(st.integers(0, 60), min_size=1, max_size=6), st.integers(1, 60))
def test_every_function_is_superadditive(room, sizes, smaller) -> None:
    """f(a) + f(b) <= f(a + b) for all a and b within the room, which small rooms rest on."""
    for function in functions(sizes, [room, smaller], room):
        values = [function(x) for x in range(room + 1)]
        assert all(
            values[a] + values[b] <= values[a + b]
            for a in range(room + 1)
            for b in range(room + 1 - a)
        )


def _filled(sizes: list[int], room: int, random) -> list[int]:
    units = [0] * len(sizes)
    order = [k for k in range(len(sizes)) for _ in range(12)]
    if random is not None:
        random.shuffle(order)
    for k in order:
        if sum(s * n for s, n in zip(sizes, units, strict=True)) + sizes[k] <= room:
            units[k] += 1
    return units


def test_three_pieces_just_above_a_third_are_one_too_many() -> None:
    """Sizes of 34 in 100: some row allows two only, where three overfill."""
    rows = images([34], [100])
    assert max(3 * values[0] / limit for values, [limit] in rows) > 1
    assert min(limit // values[0] for values, [limit] in rows if values[0]) == 2


def test_a_smaller_room_takes_one_of_what_is_above_its_half() -> None:
    """Of 60 two go in 150 and one in 100: some row has limits that are twice and once its size."""
    rows = images([60], [150, 100])
    assert any(limits[0] < 3 * v and limits[1] < 2 * v for [v], limits in rows)


def test_counting_keeps_exact_multiples() -> None:
    """Half a room counts half; a little more counts the whole of one part."""
    assert (counted(50, 100, 1), counted(51, 100, 1), counted(49, 100, 1)) == (50, 100, 0)
    assert counted(100, 100, 3) == 300


def test_steps_take_large_as_whole_and_small_as_nothing() -> None:
    """Threshold 20 of 100: 81 is all, 80 itself, 20 itself, 19 nothing."""
    assert [stepped(s, 100, 20) for s in (81, 80, 20, 19)] == [100, 80, 20, 0]


def test_large_sizes_count_what_fits_no_longer_beside_them() -> None:
    """Threshold 30 of 100: beside 60 fits one 30 of three; 50 counts half of six."""
    assert [halved(s, 100, 30) for s in (60, 50, 40, 29, 100)] == [4, 3, 2, 0, 6]


def test_no_room_has_the_plain_row_only() -> None:
    """A limit of nothing says all there is to say."""
    assert images([1, 2], [0]) == [([1, 2], [0])]
