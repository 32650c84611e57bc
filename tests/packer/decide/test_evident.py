"""What counting alone proves to be in the way: pigeonholes, figures by hand."""

from dataclasses import replace

import pytest
from support.trips import generate

from packer.decide.evident import evident
from packer.decide.loosening import Limit, Named, Relaxed, roles_of
from packer.decide.problem import Problem, build
from packer.decide.relax import conflicts
from packer.decide.shortfalls import causes_together
from packer.decide.watch import Watch
from packer.model.solving import Limits, Wishes


def problem(size: str = "small", flavour: str = "impossible-role") -> Problem:
    """Two of role Drone must fly, in one case only, and one of them must survive its loss."""
    return build(generate(flavour, size, 1), Wishes())


def drones(units: int, cases: int) -> Problem:
    """The same with other counts."""
    given = problem()
    (index,) = (line.index for line in given.lines if line.gear.name == "DRONE")
    boxes = [spec.index for spec in given.cases][:cases]
    lines = tuple(
        replace(line, least=units, most=units, cases=tuple(boxes)) if line.index == index else line
        for line in given.lines
    )
    return replace(given, lines=lines)


@pytest.mark.parametrize(
    ("units", "cases", "amount"), [(2, 1, 1), (3, 1, 2), (2, 2, 0), (3, 2, 1), (5, 2, 2), (1, 1, 0)]
)
def test_units_of_a_role_are_pigeons_and_cases_their_holes(units, cases, amount) -> None:
    """With one unit allowed in a case, the fullest holds the units over the cases, rounded up."""
    given = drones(units, cases)
    role = Named(Limit.ROLE, roles_of(given).index("Drone"))
    expected = (Relaxed(role, amount),) if amount else ()
    assert evident(given) == expected


def test_a_bundle_that_no_case_takes() -> None:
    """One of the bundle only in the first case, the other only in the second."""
    given = replace(problem(flavour="messy"), roles=(), bundles=((0, 1),))
    apart = [replace(line, least=1, most=1, cases=(line.index,)) for line in given.lines[:2]]
    given = replace(given, lines=(*apart, *given.lines[2:]))
    assert evident(given) == (Relaxed(Named(Limit.BUNDLE, 0), 1),)


@pytest.mark.parametrize("flavour", ["messy", "roles", "bulky", "weight-bound"])
def test_of_trips_with_a_plan_counting_shows_nothing(flavour) -> None:
    """Their generator builds them around a plan."""
    assert evident(problem("medium", flavour)) == ()


def test_the_role_of_a_large_trip_is_named_within_moments() -> None:
    """Where the model of all limits together is too large, counting still names the cause."""
    given = problem("large")
    first = conflicts(given, Watch(Limits(seconds=8, workers=1), lambda: False))[0]
    assert [part.named.limit for part in first.parts] == [Limit.ROLE]


def test_what_is_only_counted_says_so() -> None:
    """Without time to pack, the cause stands, and that more may be in the way is said."""
    (cause,) = causes_together(problem(), Watch(Limits(seconds=60), lambda: True))
    assert (cause.code, cause.subject) == ("role-cannot-be-split", "Drone")
    assert "at least 1 too many" in cause.message
    assert "This alone forbids every plan" in cause.message
