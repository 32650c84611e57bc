"""Rows of fillings: broken by answers that no cases hold, never by contents that do go in."""

from __future__ import annotations

from random import Random

import pytest
from support.by_hand import crate, thing, trip_of
from support.searches import POSSIBLE, solved
from support.trips import generate

from packer.decide.classes import build_classes
from packer.decide.filling import BULK_UNITS, BayFiller, Filler, Stuff, Terms, fillers_of
from packer.decide.joint import build_joint
from packer.decide.problem import build
from packer.decide.relaxed import Relaxation, Relaxed
from packer.model.solving import Wishes
from packer.model.trip import Choice


def test_two_of_what_only_one_goes_in_are_too_many() -> None:
    """6 kg twice in rooms of 10 kg: by weight 1.2 cases, by fillings 2."""
    filler = Filler([Stuff(6000, 0, 5)], BULK_UNITS, [10_000])
    found = filler.violated([2.0], [1.2])
    assert found is not None
    [price], [worth] = found
    assert price == worth
    assert filler.violated([2.0], [2.0]) is None


def test_no_number_of_elevens_and_nines_makes_thirty() -> None:
    """Three of each weigh 60 kg, and two rooms of 30 kg do not hold them."""
    filler = Filler([Stuff(11_000, 0, 3), Stuff(9000, 0, 3)], BULK_UNITS, [30_000])
    assert filler.violated([3.0, 3.0], [2.0]) is not None


@pytest.mark.parametrize("seed", range(30))
def test_contents_that_go_in_break_no_row(seed: int) -> None:
    """Rows found from overfull answers, against random contents of single cases, to the gram."""
    rng = Random(seed)
    stuff = [Stuff(rng.randint(300, 9999), rng.randint(0, 9), rng.randint(1, 4)) for _ in range(6)]
    rooms = [rng.randint(8000, 30_000) for _ in range(2)]
    filler = Filler(stuff, BULK_UNITS, rooms)
    found = filler.violated([rng.random() * 6 for _ in stuff], [rng.random() * 2, rng.random()])
    if found is None:
        return
    prices, worths = found
    for k, room in enumerate(rooms):
        for _ in range(50):
            units = _content(rng, stuff, room)
            assert sum(n * p for n, p in zip(units, prices, strict=True)) <= worths[k]


def _content(rng: Random, stuff: list[Stuff], room_g: int) -> list[int]:
    units = [0] * len(stuff)
    left, bulk = room_g, BULK_UNITS
    for _ in range(20):
        i = rng.randrange(len(stuff))
        if units[i] < stuff[i].most and stuff[i].weight_g <= left and stuff[i].bulk <= bulk:
            units[i] += 1
            left -= stuff[i].weight_g
            bulk -= stuff[i].bulk
    return units


def broken(fillers: list[BayFiller], found: Relaxed) -> list[Terms]:
    """The rows that an answer of the relaxation breaks."""
    rows = (filler.violated(lambda var: found.values[var.index]) for filler in fillers)
    return [row for row in rows if row is not None]


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_rows_keep_the_class_model_below_the_joint_model(flavour: str) -> None:
    """Whatever rows the relaxation's answers break, whole plans meet them."""
    problem = build(generate(flavour, "compact", 5), Wishes())
    classes = build_classes(problem)
    relaxation, fillers = Relaxation(classes.model), fillers_of(classes)
    for _ in range(4):
        found = relaxation.solve()
        assert found is not None
        for row in broken(fillers, found):
            classes.limit(row)
    by_class, by_case = solved(classes.model), solved(build_joint(problem).model)
    assert by_class is not None
    assert by_case is not None
    assert by_class.objective_value <= by_case.objective_value


def test_rows_raise_the_relaxation_of_a_trip() -> None:
    """Two of 12 kg and crates of 18.5 kg of room without a fee: 1.3 cases by weight, 2 in truth."""
    lines = [thing("A", 2, 12_000, choice=Choice.FLY)]
    cases = [crate(f"C{n}", most_gross_g=23_000) for n in range(3)]
    classes = build_classes(build(trip_of(lines, cases), Wishes()))
    relaxation = Relaxation(classes.model)
    answer = relaxation.solve()
    assert answer is not None
    for row in broken(fillers_of(classes), answer):
        relaxation.limit(row)
    more = relaxation.solve()
    assert more is not None
    assert more.bound >= answer.bound - 1e-6
    assert round(more.bound) == 11_000
