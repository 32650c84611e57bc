"""Lifting: what two or more people should lift together.

What comes in: the weights of gear and of the plan's pieces. What goes out: notes. The figures
are guidance for a first look, no limits: an assessment on the spot decides. The lifting
equation for one lift that the user describes stands in `packer.rules.niosh`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

import shared
from packer.model.finding import Severity
from packer.model.plan import Piece
from packer.model.trip import Gear
from packer.rules.catalogue import Found, rule
from packer.rules.scope import Scope, kg, listed

CAUTION = (
    "These figures are a first look, not a limit and no medical advice: posture, grip, steps, "
    "space and the people themselves decide. An assessment on the spot by someone trained for "
    "it goes before any figure."
)


def team_capacity_g(each_g: Sequence[int]) -> int:
    """What people can lift together, in grams, rounded down: two 2/3 of their sum, three half.

    Source: HSE L23 (shared/figures.toml, team). ValueError for none or more than three people:
    no figure is published for them.
    """
    team = shared.team_figures()
    shares = {1: Fraction(1), 2: team.two_people, 3: team.three_people}
    if len(each_g) not in shares:
        raise ValueError(f"no figure is published for {len(each_g)} people")
    return int(sum(each_g) * shares[len(each_g)])


def filter_figure_g(figure_g: int, twist_degrees: int = 0, lifts_per_min: int = 0) -> Fraction:
    """A filter figure in grams less what twisting and pace take off it (HSE INDG143).

    The source gives paces of 1 to 2, 5 to 8 and above 12 a minute; between them the stricter of
    the two neighbours is taken.
    """
    team = shared.team_figures()
    twist = team.twist_90_percent_off if twist_degrees > 90 else team.twist_45_percent_off
    off = [twist if twist_degrees > 45 else 0, _pace_percent_off(lifts_per_min)]
    kept = Fraction(figure_g)
    for percent in off:
        kept *= 1 - Fraction(percent, 100)
    return kept


def _pace_percent_off(lifts_per_min: int) -> int:
    team = shared.team_figures()
    if lifts_per_min < 1:
        return 0
    if lifts_per_min <= 2:
        return team.pace_1_percent_off
    return team.pace_5_percent_off if lifts_per_min <= 8 else team.pace_12_percent_off


def people_for(mass_g: int) -> int | None:
    """How many people by the team rule, each with the filter figure; None above three."""
    figure = shared.team_figures().filter_g
    fitting = (count for count in (1, 2, 3) if mass_g <= team_capacity_g([figure] * count))
    return next(fitting, None)


def _advice(people: int | None) -> str:
    by = f"by {people} people together" if people else "with a lifting aid"
    return f"Lift {by}, close to the body, after a look at the way. {CAUTION}"


@rule("piece-needs-two-people", "lifting", Severity.NOTE, looks_at="plan")
def heavy_to_lift(scope: Scope) -> Iterator[Found]:
    """Pieces are above the filter figure for one person.

    What: Pieces above 25 kg, those for two, for three people, and beyond, one finding each.
    Why: 25 kg close to the body at waist height is where one person's lift needs a closer look;
        two people together lift two thirds of what they lift alone, three people half.
    Source: HSE L23, figure 20 and team handling, as quoted at https://www.cscsmastery.co.uk and
        https://reachback.builtintelligence.com (secondary, 2016).
    Fails: A piece of 28 kg.
    Passes: A piece of 25 kg.
    Limits: A filter, no limit; many people lift less (the same figure for women is lower), and
        any lift from the floor or far from the body much less.
    Decides: the people who lift, after an assessment on the spot.
    """
    by_people: dict[int | None, list[Piece]] = {}
    for piece in scope.pieces():
        by_people.setdefault(people_for(piece.planning_g), []).append(piece)
    for people, pieces in by_people.items():
        if people != 1:
            named = listed(f"{piece.case} ({kg(piece.planning_g)})" for piece in pieces)
            yield Found(
                f"Found above the {kg(shared.team_figures().filter_g)} filter figure for one "
                f"person: {named}.",
                scope.case(pieces[0]).source.cell("case"),
                pieces[0].case,
                _advice(people),
            )


@rule("object-needs-two-people", "lifting", Severity.NOTE)
def heavy_object(scope: Scope) -> Iterator[Found]:
    """A single object is above the filter figure for one person.

    What: Gear of more than 25 kg each, lifted out of its case at every stop.
    Why: As for pieces: two people together lift two thirds of what they lift alone.
    Source: HSE L23, figure 20 and team handling, as quoted at https://www.cscsmastery.co.uk and
        https://reachback.builtintelligence.com (secondary, 2016).
    Fails: A loudspeaker of 30 kg.
    Passes: A loudspeaker of 25 kg.
    Limits: A filter, no limit; lifting out of a deep case is harder than the weight says.
    Decides: the people who lift, after an assessment on the spot.
    """
    heavy: list[Gear] = [line for line in scope.lines if people_for(line.weight_g) != 1]
    for line in heavy:
        yield Found(
            f"{line.name}: found {kg(line.weight_g)} in one object, above the "
            f"{kg(shared.team_figures().filter_g)} filter figure for one person.",
            line.source.cell("weight"),
            line.name,
            _advice(people_for(line.weight_g)),
        )
