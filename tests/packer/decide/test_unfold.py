"""Spreading units over like cases: a yes is a packing, a proved no agrees with trying all."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest
from support.by_hand import crate, rack, thing, trip_of, vault
from support.tiny_boxes import LINES, fits, tiny_problem

from packer.decide.problem import Problem, build
from packer.decide.space import Space
from packer.decide.unfold import Dock, Unfolder
from packer.geometry import Verdict
from packer.model.plan import Route
from packer.model.solving import Wishes
from packer.model.trip import Case, Gear

Counts = dict[int, int]


def unfolder(problem: Problem) -> Unfolder:
    """One that has learned nothing yet."""
    return Unfolder(problem, Space(problem), [], [])


def hand_problem(lines: list[Gear], cases: list[Case], **more: object) -> Problem:
    """The problem of a trip by hand."""
    return build(trip_of(lines, cases, **more), Wishes())


def random_counts(problem: Problem, seed: int) -> Counts:
    """Five to seven units of three lines."""
    rng = Random(seed)
    chosen = rng.sample(range(LINES), 3)
    units = [rng.choice(chosen) for _ in range(rng.randint(4, 7))]
    return {i: min(units.count(i), problem.lines[i].gear.quantity) for i in sorted(set(units))}


def as_units(counts: Counts) -> tuple[int, ...]:
    return tuple(i for i, n in counts.items() for _ in range(n))


def room_takes(problem: Problem, counts: Counts, room_g: int) -> bool:
    """Weight and places of one case."""
    weight = sum(n * problem.lines[i].gear.weight_g for i, n in counts.items())
    return weight <= room_g and fits(problem, as_units(counts))


def spreads_by_trial(problem: Problem, counts: Counts, rooms_g: tuple[int, int]) -> bool:
    """Every way to part the units between two cases."""
    for split in product(*(range(n + 1) for n in counts.values())):
        first = dict(zip(counts, split, strict=True))
        second = {i: n - first[i] for i, n in counts.items()}
        if room_takes(problem, first, rooms_g[0]) and room_takes(problem, second, rooms_g[1]):
            return True
    return False


@pytest.mark.parametrize("seed", range(24))
def test_two_tiny_cases_agree_with_trying_everything(seed: int) -> None:
    """Weights and places bind; a yes parts all units into two packings, a no is no."""
    problem = tiny_problem(seed, cases=2)
    counts = random_counts(problem, seed)
    rooms = (Random(seed).choice((600, 900, 1500)), 600)
    spread = unfolder(problem).spread(Dock((0, 0), Route.HOLD, rooms), counts, None)
    assert spread.verdict is not Verdict.UNKNOWN
    assert (spread.verdict is Verdict.YES) is spreads_by_trial(problem, counts, rooms)
    if spread.verdict is Verdict.YES:
        for content, room_g in zip(spread.contents, rooms, strict=True):
            assert room_takes(problem, content, room_g)
        total = [sum(c.get(i, 0) for c in spread.contents) for i in counts]
        assert total == list(counts.values())


@pytest.mark.parametrize("seed", range(12))
def test_whatever_meets_a_dock_cut_cannot_be_spread(seed: int) -> None:
    """The small part that is to blame, widened: the whole set and the set of its largest fail."""
    problem = tiny_problem(seed, cases=2)
    counts = {0: 4, 1: 4, 2: 4, 3: 4}
    rooms = (900, 900)
    dock, solver = Dock((0, 0), Route.HOLD, rooms), unfolder(problem)
    if solver.spread(dock, counts, None).verdict is not Verdict.NO:
        pytest.fail(f"16 boxes of seed {seed} were meant to overfill two tiny cases")
    cut = solver.smallest(dock, counts, [4] * LINES)
    assert cut.proved
    for pick in product(range(5), repeat=LINES):
        content = dict(enumerate(pick))
        smallest = all(sum(content[i] for i in f) == n for f, n in cut.demands)
        if smallest and sum(pick) == max(n for _, n in cut.demands):
            assert not spreads_by_trial(problem, {i: n for i, n in content.items() if n}, rooms)


@pytest.mark.parametrize(("room_g", "verdict"), [(10_000, Verdict.YES), (9_999, Verdict.NO)])
def test_a_single_case_is_a_matter_of_weight_and_places(room_g: int, verdict: Verdict) -> None:
    """Two of 5 kg in one case."""
    problem = hand_problem([thing("A", 2)], [crate("C")])
    dock = Dock((0,), Route.HOLD, (room_g,))
    assert unfolder(problem).spread(dock, {0: 2}, None).verdict is verdict


def test_a_single_rack_counts_units_and_a_vault_slots() -> None:
    """Eight halves take four units of two; one slot takes one instrument."""
    lines = [thing("R", 5, rack_half_units=2, depth_mm=300), thing("N", 2, slot="neck")]
    solver = unfolder(hand_problem(lines, [rack("K"), vault("V")]))
    answers = [
        solver.spread(Dock((group,), Route.HOLD, (30_000,)), {line: n}, None).verdict
        for group, line, n in ((0, 0, 4), (0, 0, 5), (1, 1, 1), (1, 1, 2))
    ]
    assert answers == [Verdict.YES, Verdict.NO, Verdict.YES, Verdict.NO]


def test_soft_goods_take_85_percent_of_each_case() -> None:
    """Inside 9,261,000 mm3: seven folded cubes of 10^6 to a case, fourteen to two, not fifteen."""
    problem = hand_problem([thing("S", 15, 100, soft=True)], [crate("C"), crate("D")])
    dock, solver = Dock((0, 0), Route.HOLD, (30_000, 30_000)), unfolder(problem)
    assert solver.spread(dock, {0: 14}, None).verdict is Verdict.YES
    assert solver.spread(dock, {0: 15}, None).verdict is Verdict.NO


def test_roles_part_their_units_where_the_flown_units_are_given() -> None:
    """Three for two needed: one to a case, so two cases take two and not three."""
    problem = hand_problem([thing("A", 3, role="Voice", role_needs=2)], [crate("C"), crate("D")])
    dock, solver = Dock((0, 0), Route.HOLD, (30_000, 30_000)), unfolder(problem)
    assert solver.spread(dock, {0: 3}, None).verdict is Verdict.YES
    assert solver.spread(dock, {0: 3}, [3]).verdict is Verdict.NO
    assert solver.spread(dock, {0: 2}, [2]).verdict is Verdict.YES


def test_bundles_stay_together_and_no_case_is_empty() -> None:
    """Two of 5 kg that belong together need a room of 10 kg, and then the other is empty."""
    lines = [thing("A", pack_with="Brass"), thing("B", pack_with="Brass"), thing("D")]
    problem = hand_problem(lines, [crate("C"), crate("D")])
    dock, solver = Dock((0, 0), Route.HOLD, (10_000, 5_000)), unfolder(problem)
    assert solver.spread(dock, {0: 1, 1: 1}, [1, 1, 0]).verdict is Verdict.NO
    found = solver.spread(dock, {0: 1, 1: 1, 2: 1}, [1, 1, 1])
    assert found.contents == ({0: 1, 1: 1}, {2: 1})
    tight = Dock((0, 0), Route.HOLD, (9_999, 9_999))
    assert solver.spread(tight, {0: 1, 1: 1, 2: 1}, [1, 1, 1]).verdict is Verdict.NO
