"""Rows about places: every content that really packs meets all of them."""

from __future__ import annotations

from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st
from support.by_hand import crate, rack, thing, trip_of

from packer.decide.problem import Problem, build
from packer.decide.rows import RowMaker, inside_of
from packer.decide.space import Space
from packer.geometry import Verdict
from packer.model.solving import Wishes
from packer.model.trip import Box

INSIDE = (400, 300, 250)


def random_problem(seed: int) -> Problem:
    """Five lines of boxes of 40 to 280 mm, some upright, some fragile, for one crate."""
    rng = Random(seed)
    lines = [
        thing(f"L{n}", 9, 100, size=Box(*(rng.randint(8, 56) * 5 for _ in range(3))),
              upright=rng.random() < 0.3, fragile=rng.random() < 0.3)
        for n in range(5)
    ]  # fmt: skip
    clearance = rng.choice((0, 5))
    return build(trip_of(lines, [crate("C", Box(*INSIDE))], clearance_mm=clearance), Wishes())


def packed_content(problem: Problem, seed: int) -> dict[int, int]:
    """Units added at random for as long as the geometry finds places."""
    rng, space = Random(seed), Space(problem)
    content: dict[int, int] = {}
    for _ in range(25):
        more = dict(content)
        line = rng.randrange(5)
        more[line] = more.get(line, 0) + 1
        if space.quick(0, sorted(more.items())).verdict is Verdict.YES:
            content = more
    return content


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(st.integers(0, 10**6))
def test_no_packed_content_breaks_a_row(seed: int) -> None:
    """Whatever has places in one case is below every row for one case."""
    problem = random_problem(seed)
    content = packed_content(problem, seed)
    assert RowMaker(problem).violated(INSIDE, content, 1) == []


@settings(max_examples=20, deadline=None, derandomize=True, database=None)
@given(st.integers(0, 10**6))
def test_rows_that_one_content_breaks_hold_for_all_that_pack(seed: int) -> None:
    """Rows found from an overfull content, summed by hand over contents that pack."""
    problem = random_problem(seed)
    rows = RowMaker(problem).violated(INSIDE, dict.fromkeys(range(5), 9), 1)
    assert rows
    for part in range(3):
        content = packed_content(problem, seed + part)
        for row in rows:
            assert sum(value * content.get(i, 0) for i, value in row.values) <= row.whole


def one_line(side: int, **more: object) -> RowMaker:
    """Cubes of one size for a crate of 100 mm, without clearance."""
    line = thing("A", 9, size=Box(side, side, side), **more)
    return RowMaker(build(trip_of([line], [crate("C", Box(100, 100, 100))], clearance_mm=0),
                          Wishes()))  # fmt: skip


def test_two_cubes_above_half_a_side_need_two_cases() -> None:
    """2 x 51^3 is 27 % of 100^3, and still they stand in each other's way."""
    rows = one_line(51)
    assert rows.violated((100, 100, 100), {0: 2}, 1)
    assert rows.violated((100, 100, 100), {0: 2}, 2) == []
    assert one_line(50).violated((100, 100, 100), {0: 8}, 1) == []


def test_fragile_things_share_one_floor() -> None:
    """Five of 50 x 50 mm have more area than 100 x 100 mm, though eight would fit by volume."""
    rows = one_line(50, fragile=True)
    assert rows.violated((100, 100, 100), {0: 4}, 1) == []
    assert rows.violated((100, 100, 100), {0: 5}, 1)


def test_without_cases_or_boxes_there_are_no_rows() -> None:
    """No case, nothing to say; a rack has no inside size."""
    assert one_line(51).violated((100, 100, 100), {0: 2}, 0) == []
    problem = build(trip_of([thing("R", rack_half_units=2, depth_mm=1)], [rack("K"), crate("C")]),
                    Wishes())  # fmt: skip
    assert RowMaker(problem).violated((210, 210, 210), {0: 9}, 1) == []
    assert (inside_of(problem, 0), inside_of(problem, 1)) == (None, (210, 210, 210))
