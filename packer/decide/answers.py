"""What a manager asks of a plan: what the other choice costs for each line, and what would turn it.

In: a trip, a plan for it, limits. Out: values with both ends of what is proved: the other choice
costs at least so much more (a bound), and a plan exists at so much more. From the two follows the
hire price, a unit and stop, at which flying and hiring cost the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from packer.decide.causes import causes_of
from packer.decide.cover import Coverer
from packer.decide.estimate import Estimator, Question, Range, serves, sketch_of_plan
from packer.decide.piece_limit import exceeds, limited
from packer.decide.problem import Line, Problem, build
from packer.decide.sketch import Sketch
from packer.model.plan import Plan
from packer.model.solving import Limits, OnProgress, Progress, ShouldStop, Wishes
from packer.model.trip import Choice, Gear, Offer, Price, Trip

BASE_SHARE = 0.2  # of the time for the trip as it stands
NEAR_PERCENT = 10


class Near(StrEnum):
    """Whether a decision turns within 10 % of today's hire price."""

    YES = "yes"
    NO = "no"
    OPEN = "not decided"


@dataclass(frozen=True, slots=True)
class OtherWay:
    """What the opposite of a plan's choice for a line costs; money in minor units.

    The total rises by at least `least_minor` (proved) and at most `most_minor` (a plan was found);
    None where that is not known. `price_minor` is the hire price a unit and stop today, on
    average; between `turns_least_minor` and `turns_most_minor` lies the one at which both ways
    cost the same (below 0: hiring is dearer even for nothing). `reason` says why there is no other
    way; then the turning price is that of an offer which does not exist yet, if any.
    """

    gear: str
    quantity: int
    flown: int
    way: Choice
    least_minor: int | None = None
    most_minor: int | None = None
    price_minor: int | None = None
    turns_least_minor: int | None = None
    turns_most_minor: int | None = None
    reason: str = ""

    @property
    def near(self) -> Near:
        """Whether it turns within 10 % of today's price."""
        if self.price_minor is None or self.turns_most_minor is None:
            return Near.OPEN if self.price_minor is not None else Near.NO
        low = self.price_minor * (100 - NEAR_PERCENT)
        high = self.price_minor * (100 + NEAR_PERCENT)
        least = self.turns_least_minor
        if 100 * self.turns_most_minor < low or (least is not None and 100 * least > high):
            return Near.NO
        sure = least is not None and low <= 100 * least and 100 * self.turns_most_minor <= high
        return Near.YES if sure else Near.OPEN


@dataclass(frozen=True, slots=True)
class _Case:
    """One line and way to be asked about; `missing` True where the offers are supposed, at 0."""

    answer: OtherWay
    source: Choice
    problem: Problem | None
    missing: bool = False


def other_ways_of_all(
    trip: Trip,
    plan: Plan,
    limits: Limits,
    on_progress: OnProgress = lambda _: None,
    should_stop: ShouldStop = lambda: False,
    wishes: Wishes = Wishes(),
) -> tuple[OtherWay, ...]:
    """The other way of every line, in the order of the rows, all within `limits.seconds`.

    `wishes` are those that the plan was made with; the line asked about is let go of, all others
    stay as they are. Raises ValueError where the plan breaks a limit of the trip or a wish, since
    it compares nothing then.
    """
    problem = limited(build(trip, wishes), wishes.most_pieces)
    known = sketch_of_plan(problem, plan)
    coverer = Coverer(trip, problem.hires)
    if not serves(problem, known) or not coverer.cover(known.flown(len(trip.gear))).possible:
        raise ValueError("the plan does not serve the trip")
    estimator = Estimator(problem, limits, should_stop)
    base = estimator.learn(known, BASE_SHARE * limits.seconds)
    base = replace(
        base, least_minor=min(base.most_minor or 0, max(base.least_minor, plan.bound_minor))
    )
    cases = [
        case
        for gear, count in zip(trip.gear, known.flown(len(trip.gear)), strict=True)
        for case in _cases(trip, gear, count, wishes)
    ]
    asked = [case for case in cases if case.problem is not None]
    questions = [_question(case, known, base, wishes) for case in asked]

    def tell(done: int) -> None:
        doing = f"the other way, {done} of {len(questions)}"
        on_progress(Progress(0.0, base.most_minor, base.least_minor, doing, trip.currency))

    found = [_few(each, wishes.most_pieces) for each in estimator.estimate(questions, tell)]
    ranges = dict(zip(map(id, asked), found, strict=True))
    prices = HirePrices(problem, known)
    return tuple(_answered(case, base, ranges.get(id(case)), prices) for case in cases)


def _few(found: Range, most: int | None) -> Range:
    """A plan of more pieces than wished for is none; what is proved of all stays."""
    if found.sketch is None or not exceeds(found.sketch, most):
        return found
    return Range(found.least_minor, None)


def _question(case: _Case, known: Sketch, base: Range, wishes: Wishes) -> Question:
    """The bound of the trip as it stands holds where the forced trip is one of its plans."""
    assert case.problem is not None
    against = wishes.hire if case.answer.way is Choice.FLY else wishes.fly
    free = case.source in (Choice.EITHER, case.answer.way) and case.answer.gear not in against
    narrower = not case.missing and free
    return Question(case.problem, known, base.least_minor if narrower else 0)


def _cases(trip: Trip, gear: Gear, flown: int, wishes: Wishes) -> list[_Case]:
    ways = [way for way, there in ((Choice.FLY, gear.quantity), (Choice.HIRE, 0)) if flown != there]
    return [_case(trip, gear, flown, way, wishes) for way in ways]


def _case(trip: Trip, gear: Gear, flown: int, way: Choice, wishes: Wishes) -> _Case:
    answer = OtherWay(gear.name, gear.quantity, flown, way)
    problem = forced(trip, gear.name, way, wishes)
    causes = causes_of(problem)
    if not causes:
        return _Case(answer, gear.choice, problem)
    told = replace(answer, reason=causes[0].message)
    if way is Choice.FLY or not gear.needed_at:
        return _Case(told, gear.choice, None)
    supposed = forced(_with_free_offers(trip, gear), gear.name, way, wishes)
    others = any(cause.subject != gear.name for cause in causes_of(supposed))
    return _Case(told, gear.choice, None if others else supposed, missing=True)


def forced(trip: Trip, gear: str, way: Choice, wishes: Wishes = Wishes()) -> Problem:
    """The problem with all of a line flying, or hired, whatever its Source cell or a wish says."""
    lines = (replace(g, choice=Choice.EITHER) if g.name == gear else g for g in trip.gear)
    held = wishes.forcing(gear, fly=way is Choice.FLY)
    return limited(build(replace(trip, gear=tuple(lines)), held), held.most_pieces)


def _with_free_offers(trip: Trip, gear: Gear) -> Trip:
    """The trip as if somebody lent the line at every stop for nothing."""
    nothing = Price(0, Decimal(0), trip.currency)
    offers = (
        *(offer for offer in trip.offers if offer.is_kit or offer.target != gear.name),
        *(Offer(stop, gear.name, False, "supposed", nothing) for stop in gear.needed_at),
    )
    return replace(trip, offers=offers)


class HirePrices:
    """What units of a line cost to hire, on average over units and stops, beside a known plan."""

    def __init__(self, problem: Problem, known: Sketch) -> None:
        self._problem = problem
        self._flown = known.flown(len(problem.lines))
        self._coverer = Coverer(problem.trip, problem.hires)

    def _line(self, gear: str) -> Line:
        return next(line for line in self._problem.lines if line.gear.name == gear)

    def stops(self, gear: str) -> int:
        """How many stops need the line."""
        return len(self._line(gear).stops)

    def of(self, gear: str, flown: int) -> tuple[int | None, int]:
        """(average price or None where a kit covers, units covered over all stops)."""
        index = self._line(gear).index
        counts = [flown if i == index else n for i, n in enumerate(self._flown)]
        cover = self._coverer.cover(counts)
        rows = [row for stop in cover.stops for row in stop.covered if row.line == index]
        units = sum(row.units for row in rows)
        kits = any(self._problem.trip.offers[row.offer].is_kit for row in rows)
        if not units or kits or not cover.possible:
            return None, units
        return -(-sum(row.cost_minor for row in rows) // units), units


def _answered(case: _Case, base: Range, found: Range | None, prices: HirePrices) -> OtherWay:
    answer = case.answer
    if found is None or base.most_minor is None:
        return answer
    if found.impossible:
        return replace(
            answer, reason="no plan does so: it is proved that the rest does not go then"
        )
    least = found.least_minor - base.most_minor
    most = None if found.most_minor is None else found.most_minor - base.least_minor
    if case.missing:
        return _supposed(answer, prices, least, most)
    return priced(replace(answer, least_minor=least, most_minor=most), prices)


def priced(answer: OtherWay, prices: HirePrices) -> OtherWay:
    """The answer with today's hire price and the one at which the decision turns, from its ends."""
    least, most = answer.least_minor, answer.most_minor
    price, units = prices.of(answer.gear, answer.flown)
    if answer.way is Choice.HIRE:
        covered = units
        price, units = prices.of(answer.gear, 0)
        units -= covered
    if price is None or units <= 0 or least is None:
        return answer
    if answer.way is Choice.HIRE:
        return replace(
            answer, price_minor=price, turns_most_minor=price - _floor(least, units),
            turns_least_minor=None if most is None else price - _ceil(most, units),
        )  # fmt: skip
    return replace(
        answer, price_minor=price, turns_least_minor=price + _floor(least, units),
        turns_most_minor=None if most is None else price + _ceil(most, units),
    )  # fmt: skip


def beside(trip: Trip, plan: Plan, answer: OtherWay) -> OtherWay:
    """`priced` for a plan at hand: an answer found by solving again gets its turning price."""
    problem = build(trip, Wishes())
    return priced(answer, HirePrices(problem, sketch_of_plan(problem, plan)))


def _supposed(answer: OtherWay, prices: HirePrices, least: int, most: int | None) -> OtherWay:
    """The price at which an offer that does not exist yet would be worth taking."""
    units = answer.quantity * prices.stops(answer.gear)
    return replace(
        answer, turns_most_minor=-_floor(least, units),
        turns_least_minor=None if most is None else -_ceil(most, units),
    )  # fmt: skip


def _floor(amount: int, units: int) -> int:
    return amount // units


def _ceil(amount: int, units: int) -> int:
    return -(-amount // units)


def nearest_first(answers: Sequence[OtherWay]) -> list[OtherWay]:
    """Those nearest to turning first; those without another way last."""
    return sorted(answers, key=_distance)


def _distance(answer: OtherWay) -> tuple[int, float, str]:
    unknown = answer.least_minor is None
    near = {Near.YES: 0, Near.OPEN: 1, Near.NO: 2}[answer.near]
    ends = [end for end in (answer.least_minor, answer.most_minor) if end is not None]
    return (3 if unknown else near, sum(ends) / max(1, len(ends)), answer.gear)
