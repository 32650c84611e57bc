"""The class model: a bound below the joint model's, whose answers unfold into single cases."""

from __future__ import annotations

from collections import Counter

import pytest
from support.by_hand import crate, price, rack, thing, trip_of
from support.oracle import best_objective
from support.searches import POSSIBLE, solved
from support.trips import generate

from packer.decide.classes import ClassModel, build_classes
from packer.decide.joint import JointModel, build_joint
from packer.decide.problem import build
from packer.decide.rows import SpaceRow
from packer.decide.space import Space
from packer.decide.unfold import Dock, DockCut, Unfolder
from packer.geometry import Verdict
from packer.model.plan import Route
from packer.model.solving import Wishes
from packer.model.trip import Choice


def classes_of(lines, cases, rows=(), **more) -> ClassModel:
    """The class model of a trip by hand."""
    return build_classes(build(trip_of(lines, cases, **more), Wishes()), rows)


def least(classes: ClassModel | JointModel) -> int:
    """Its optimum in minor units."""
    solver = solved(classes.model)
    assert solver is not None
    return round(solver.objective_value)


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_class_model_below_joint_model_below_exact_optimum(flavour: str) -> None:
    """Each of the three knows more than the one before."""
    for seed in (3, 4):
        trip = generate(flavour, "tiny", seed)
        problem = build(trip, Wishes())
        by_class = least(build_classes(problem))
        by_case = least(build_joint(problem))
        best = best_objective(trip)
        assert best is not None
        assert by_class <= by_case <= best


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_docks_hold_all_that_flies_in_cases_that_there_are(flavour: str) -> None:
    """No unit is lost between classes and docks, and no group lends more cases than it has."""
    problem = build(generate(flavour, "compact", 1), Wishes())
    classes = build_classes(problem)
    solver = solved(classes.model)
    assert solver is not None
    docks = classes.docks(solver.value)
    units, cases = Counter(), Counter()
    for dock, counts in docks:
        units.update(counts)
        cases.update(dock.groups)
        assert list(dock.rooms_g) == sorted(dock.rooms_g, reverse=True)
    assert [units[i] for i in range(len(problem.lines))] == [solver.value(v) for v in classes.flown]
    assert all(n <= len(problem.groups[group]) for group, n in cases.items())


def test_docks_of_like_crates_unfold() -> None:
    """Six of 5 kg over two crates of 18.5 kg of room each: three and three."""
    classes = classes_of([thing("A", 6, choice=Choice.FLY)], [crate("C"), crate("D")])
    solver = solved(classes.model)
    assert solver is not None
    [(dock, counts)] = classes.docks(solver.value)
    assert (dock, counts) == (Dock((0, 0), Route.HOLD, (18_500, 18_500)), {0: 6})
    spread = Unfolder(classes.problem, Space(classes.problem), [], []).spread(dock, counts, [6])
    assert spread.verdict is Verdict.YES
    assert spread.contents == ({0: 3}, {0: 3})


def test_rows_of_weight_round_units_down_in_each_case() -> None:
    """9.3 kg twice is above 18.5 kg: three units need more than one crate and a half's weight."""
    lines = [thing("A", 3, 9_300, choice=Choice.FLY)]
    # dearer bands are cut off by Most gross: one unit to a crate, three crates, 180.00
    cases = [crate(f"C{n}", most_gross_g=23_000) for n in range(3)]
    assert least(classes_of(lines, cases)) == 18_000


def test_a_space_row_counts_cases() -> None:
    """Two units to a crate: five need three, 50.00 + 60.00 + 70.00."""
    lines, cases = [thing("A", 5, 100)], [crate(f"C{n}") for n in range(4)]
    assert least(classes_of(lines, cases)) == 5000
    row = SpaceRow((210, 210, 210), ((0, 1),), 2)
    assert least(classes_of(lines, cases, (row,))) == 18_000


def test_a_dock_cut_asks_for_more_cases_or_fewer_units() -> None:
    """Five in one crate are forbidden: a second one, or hiring one at 20.00."""
    lines, cases = [thing("A", 5, 100)], [crate("C"), crate("D")]
    cut = DockCut(Dock((0,), Route.HOLD, (27_500,)), ((frozenset({0}), 5),), proved=True)
    alone = classes_of(lines, cases)
    alone.forbid(cut)
    assert least(alone) == 11_000
    with_offer = classes_of(lines, cases, offers=(price("A", 2000, available=1),))
    with_offer.forbid(cut)
    assert least(with_offer) == 7000


def test_rack_units_and_roles_count_in_every_case() -> None:
    """Three units of 3 halves in racks of 8: two to a rack; a role parts two over two crates."""
    racked = [thing("R", 3, 100, rack_half_units=3, depth_mm=300)]
    assert least(classes_of(racked, [rack("K"), rack("L")])) == 11_000
    role = [thing("A", 2, 100, role="Voice", role_needs=1)]
    assert least(classes_of(role, [crate("C"), crate("D")])) == 11_000
    assert least(classes_of(role, [crate("C"), crate("D")], one_case_lost=False)) == 5000
