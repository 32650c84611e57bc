"""Lifted cuts: what is said not to fit because something smaller does not, really does not."""

from random import Random

from packer.geometry import Fitter, Verdict
from packer.model.trip import Box, Gear
from packer.road.dominance import lifted, no_smaller
from packer.road.repacking import item_of

INSIDE = (40, 30, 25)


def random_lines(random, count):
    return [
        Gear(
            f"G{n}",
            "",
            3,
            100,
            size=Box(*(random.randrange(8, 30) for _ in range(3))),
            upright=random.random() < 0.3,
            fragile=random.random() < 0.3,
            soft=random.random() < 0.1,
        )
        for n in range(count)
    ]


def test_every_lifted_set_is_proved_not_to_fit():
    """Sets of up to three that do not fit, on random lines: the exact model agrees on each."""
    random, checked = Random(1), 0
    for _ in range(60):
        lines = random_lines(random, 6)
        rigid = [i for i, line in enumerate(lines) if not line.soft]
        counts = tuple((i, 1) for i in sorted(random.sample(rigid, min(3, len(rigid)))))
        fitter = Fitter(1)
        if fits(fitter, lines, counts) is not Verdict.NO:
            continue
        for harder in lifted(counts, no_smaller(lines)):
            checked += 1
            assert fits(fitter, lines, harder) is Verdict.NO
    assert checked > 100


def fits(fitter, lines, counts):
    items = [item_of(lines[i]) for i, count in counts for _ in range(count)]
    return fitter.decide(INSIDE, items, deterministic_limit=5).verdict


def test_the_set_itself_comes_first():
    """And a line is at least as hard as itself."""
    lines = random_lines(Random(2), 4)
    assert next(lifted(((0, 2), (1, 1)), no_smaller(lines))) == ((0, 2), (1, 1))
