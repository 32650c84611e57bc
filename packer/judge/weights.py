"""Weight and size of every piece against its case and every leg it flies (constraints 1 and 2).

In: the plan laid beside its trip. Out: breaches. Equal to a limit is within it (section 5.3).
"""

from __future__ import annotations

from collections.abc import Iterator

from packer.judge.charges import band_of, fares
from packer.judge.matched import Loaded, Matched
from packer.judge.verdict import Breach
from packer.judge.words import by, kg
from packer.model.plan import Route
from packer.model.trip import Concept, Leg, Rule


def weight_breaches(matched: Matched) -> Iterator[Breach]:
    """Planning weights against Most gross and the limits of each piece's route."""
    for piece in matched.pieces:
        yield from _most_gross(piece)
        if piece.route is Route.FREIGHT:
            yield from _freight_weight(matched, piece)
        else:
            yield from _leg_weights(matched, piece)
    yield from _weights_in_no_band(matched)


def size_breaches(matched: Matched) -> Iterator[Breach]:
    """Outside sizes against Most linear of every leg (hold) and the cabin lengths (cabin)."""
    for leg in matched.trip.legs:
        rule = matched.trip.rule_of(leg)
        for piece in matched.by_route(Route.HOLD):
            yield from _linear(piece, leg, rule)
        for piece in matched.by_route(Route.CABIN):
            yield from _cabin_size(piece, leg, rule)


def fits_cabin(sides: tuple[int, int, int], cabin_mm: tuple[int, ...]) -> bool:
    """True where the sorted sides are within the sorted cabin lengths, longest against longest.

    A rule that gives fewer than three lengths is taken to give the longest ones.
    """
    longest_first = sorted(sides, reverse=True)
    limits = sorted(cabin_mm, reverse=True)
    return all(side <= limit for side, limit in zip(longest_first, limits, strict=False))


def _over(code: str, piece: Loaded, limit_g: int, what: str) -> Breach:
    message = (
        f"Case {piece.name} plans at {kg(piece.planning_g)} (empty {kg(piece.case.empty_g)}, "
        f"contents {kg(piece.contents_g)}, margin {kg(piece.margin_g)}); {what} {kg(limit_g)}."
    )
    return Breach(code, piece.name, message, piece.planning_g, limit_g)


def _most_gross(piece: Loaded) -> Iterator[Breach]:
    limit = piece.case.most_gross_g
    if limit is not None and piece.planning_g > limit:
        yield _over("over-most-gross", piece, limit, "the case may weigh at most")


def _freight_weight(matched: Matched, piece: Loaded) -> Iterator[Breach]:
    freight = matched.trip.freight
    limit = freight.most_weight_g if freight else None
    if limit is not None and piece.planning_g > limit:
        yield _over("over-freight-weight", piece, limit, "the freight offer takes at most")


def _leg_weights(matched: Matched, piece: Loaded) -> Iterator[Breach]:
    in_hold = piece.route is Route.HOLD
    code = "over-hold-weight" if in_hold else "over-cabin-weight"
    place = "hold" if in_hold else "cabin"
    for leg in matched.trip.legs:
        rule = matched.trip.rule_of(leg)
        limit = rule.most_weight_g if in_hold else rule.cabin_weight_g
        if limit is not None and piece.planning_g > limit:
            what = f"leg {leg.name} (rule {rule.name}) takes in the {place} at most"
            yield _over(code, piece, limit, what)


def _weights_in_no_band(matched: Matched) -> Iterator[Breach]:
    for fare in fares(matched.trip):
        rule = fare.rule
        if rule.concept is not Concept.PIECE:
            continue
        for piece in matched.by_route(Route.HOLD):
            if piece.planning_g > rule.free_weight_g and band_of(rule, piece.planning_g) is None:
                what = f"{fare.name} has no overweight band for that, and the free weight is"
                yield _over("weight-in-no-band", piece, rule.free_weight_g, what)


def _linear(piece: Loaded, leg: Leg, rule: Rule) -> Iterator[Breach]:
    limit, linear = rule.most_linear_mm, piece.case.outside.linear_mm
    if limit is not None and linear > limit:
        message = (
            f"Case {piece.name} is {linear} mm long, wide and high in sum; "
            f"leg {leg.name} (rule {rule.name}) takes at most {limit} mm."
        )
        yield Breach("over-linear-size", piece.name, message, linear, limit)


def _cabin_size(piece: Loaded, leg: Leg, rule: Rule) -> Iterator[Breach]:
    if not fits_cabin(piece.case.outside.sides, rule.cabin_mm):
        message = (
            f"Case {piece.name} is {by(piece.case.outside.sides)} outside; "
            f"leg {leg.name} (rule {rule.name}) takes in the cabin at most {by(rule.cabin_mm)}."
        )
        yield Breach("over-cabin-size", piece.name, message)
