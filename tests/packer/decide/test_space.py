"""Does a load have places, and which few objects are to blame where it has none."""

from support.by_hand import crate, rack, thing, trip_of
from support.packing import faults

from packer.decide.problem import Problem, build
from packer.decide.sketch import Load, sketch_of
from packer.decide.space import Space
from packer.geometry import Verdict
from packer.model.plan import Route
from packer.model.solving import Wishes
from packer.model.trip import Box


def problem_of() -> Problem:
    """Cubes of 100 mm, plates, soft goods and a rack unit; crates that take eight cubes."""
    lines = [
        thing("CUBE", 20, 100), thing("PLATE", 9, 100, size=Box(200, 200, 40)),
        thing("SOFT", 9, 100, soft=True), thing("UNIT", 2, 100, rack_half_units=2, depth_mm=300),
        thing("BIT", 9, 100, size=Box(10, 10, 10)),
    ]  # fmt: skip
    cases = [crate("C1"), crate("C2"), rack("R"), crate("LOW", Box(210, 210, 110)),
             crate("WIDE", Box(400, 210, 210)), crate("LONG", Box(200, 210, 210))]  # fmt: skip
    return build(trip_of(lines, cases), Wishes())


def test_eight_cubes_fit_with_clearance_and_nine_do_not() -> None:
    """2 x (100 + 5) mm are the 210 mm of the crate; the places are good ones."""
    problem = problem_of()
    space = Space(problem)
    fit = space.check(0, ((0, 8),))
    assert fit.verdict is Verdict.YES
    assert fit.places is not None
    assert faults(fit.places, space.units(((0, 8),)), (210, 210, 210), 5) == []
    assert space.check(0, ((0, 9),)).verdict is Verdict.NO
    assert space.quick(3, ((0, 4),)).verdict is Verdict.YES


def test_only_rigid_gear_in_boxes_needs_places() -> None:
    """Soft goods and rack gear are counted elsewhere."""
    space = Space(problem_of())
    assert space.rigid(((0, 2), (2, 5), (3, 1))) == ((0, 2),)
    assert len(space.units(((0, 2), (2, 5), (4, 1)))) == 3
    assert space.check(0, ((2, 9),)).verdict is Verdict.YES
    assert space.quick(2, ((3, 2),)).verdict is Verdict.YES


def test_a_misfit_is_shrunk_to_what_is_to_blame() -> None:
    """Five plates of 40 + 5 mm are 225 mm high in 210 mm; the bits beside them are not to blame."""
    problem = problem_of()
    cut = Space(problem).misfit_cut(Load(0, Route.HOLD, ((1, 5), (4, 3))))
    assert cut is not None
    assert cut.proved
    assert cut.demands == ((frozenset({1}), 5),)


def test_a_cut_speaks_of_every_box_that_is_no_roomier() -> None:
    """The like crate, the lower one and the narrower one; not the wide one, not the rack."""
    cut = Space(problem_of()).misfit_cut(Load(0, Route.HOLD, ((0, 9),)))
    assert cut is not None
    assert cut.cases == (0, 1, 3, 5)


def test_a_sketch_has_a_cut_for_each_load_that_does_not_fit() -> None:
    """Two loads, one too many."""
    space = Space(problem_of())
    good = sketch_of({0: (Route.HOLD, {0: 8}), 2: (Route.HOLD, {3: 2})})
    bad = sketch_of({0: (Route.HOLD, {0: 8}), 1: (Route.HOLD, {0: 9})})
    assert space.misfits(good) == []
    assert not space.misfit(good)
    assert len(space.misfits(bad)) == 1
    assert space.misfit(bad)
