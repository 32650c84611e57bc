"""A general list as a whole: like goods, numbers on a carnet, what stays at home, the totals.

What comes in: the gear lines, a column of the user's own called `Carnet item` where there is
one, and the plan. What goes out: findings. The list that goes with a plan is drawn up, numbered
and totalled among the papers. Customs decide what a list must show.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from packer.model.finding import Severity
from packer.model.serials import says_no_serial
from packer.model.trip import Case, Gear
from packer.rules.carnet import number_faults
from packer.rules.catalogue import Found, rule
from packer.rules.customs_route import crosses_customs
from packer.rules.scope import Scope, kg, listed, money, own_column, plural

_ITEMS = re.compile(r"(\d+)(?:\s*[-–]\s*(\d+))?")
_MOST_ITEMS = 10_000  # a longer range is a slip of the pen


def _coming_back(scope: Scope) -> tuple[Gear, ...]:
    """Lines that may fly over a customs border and are not used up."""
    if not crosses_customs(scope.trip):
        return ()
    return tuple(line for line in scope.lines if not line.consumable)


@rule("identical-goods-on-two-lines", "customs", Severity.NOTE)
def identical_goods(scope: Scope) -> Iterator[Found]:
    """Identical goods stand on more than one line.

    What: Gear lines that may fly and come back with the same description, weight, value and
        origin and without a serial, on a trip over a customs border; one finding for each kind.
    Why: Identical goods belong on one line of the list. On two an officer looks for the
        difference; often one row was copied and not corrected, or is the same object again.
    Source: businesswest.co.uk guidance on the general list (as seen 2026): only identical items
        share a line, and its value is the total of its pieces.
    Fails: `Music stand, folding`, 1.2 kg, 40.00, origin DE, on two rows.
    Passes: The same on one row with Quantity 2; two rows that differ in weight or value; two
        rows with serials.
    Limits: Goes by what the rows say, small and capital letters alike; serials set goods apart.
    Decides: the customs office at each border.
    """
    kinds: dict[tuple[object, ...], list[Gear]] = {}
    for line in _coming_back(scope):
        if line.description.strip() and all(says_no_serial(serial) for serial in line.serials):
            kinds.setdefault(_likeness(line), []).append(line)
    for first, *others in kinds.values():
        if others:
            yield Found(
                f"{others[0].name}: found the same description, weight, value and origin as on "
                f"{listed(line.name for line in (first, *others[1:]))}, and no serial.",
                others[0].source.cell("description"),
                others[0].name,
                "Put them on one line with their Quantity, or say in Description what differs.",
            )


def _likeness(line: Gear) -> tuple[object, ...]:
    words = " ".join(line.description.casefold().split())
    return (words, line.weight_g, line.value and line.value.minor, line.origin)


@rule("goods-added-after-issue", "customs", Severity.WARNING)
def added_after_issue(scope: Scope) -> Iterator[Found]:
    """A good is not on a carnet that is already issued.

    What: The carnet has a number, the Gear sheet has a column of your own called `Carnet item`,
        and a line that may fly and comes back has nothing in it.
    Why: Nothing may be added to a carnet once it is issued.
    Source: HMRC ATACPD05000; gov.uk structure of the ATA carnet (as seen 2026).
    Fails: Carnet number given, `Carnet item` filled in for all lines but one.
    Passes: All lines have an item number; or there is no such column.
    Limits: Works only where the user keeps the item numbers in that column.
    Decides: the customs office at each border.
    """
    if not scope.trip.carnet.number:
        return
    lines = _coming_back(scope)
    if not any(_carnet_item(line) for line in lines):
        return
    for line in lines:
        if not _carnet_item(line):
            yield Found(
                f"{line.name}: found no Carnet item, so it is not on carnet "
                f"{scope.trip.carnet.number}; nothing may be added to it.",
                line.source.cell("name"),
                line.name,
                "Leave it at home, send it on a paper of its own, or apply for a second list.",
            )


def _carnet_item(line: Gear) -> str:
    return own_column(line, "Carnet item")


def item_numbers(text: str) -> list[int]:
    """The numbers that `3`, `3-6` or `1, 4-5` names; [] for a text without any."""
    numbers: list[int] = []
    for first, last in _ITEMS.findall(text):
        start, end = int(first), int(last or first)
        if start <= end < start + _MOST_ITEMS:
            numbers.extend(range(start, end + 1))
    return numbers


@rule("carnet-items-do-not-run", "customs", Severity.WARNING)
def items_run(scope: Scope) -> Iterator[Found]:
    """Item numbers stand twice, or have gaps that the cases cannot fill.

    What: The numbers in a column of your own called `Carnet item`: one number on two lines, or
        more numbers missing than the trip has cases, which are items too.
    Why: Every good has a number of its own and the numbers run without gaps.
    Source: Dutch chamber's instructions for the general list (http://cameraverhuur.com/?page_id=3093,
        as seen 2026).
    Fails: `1-3` on one line and `3` on another.
    Passes: `1-3` on one line and `4` on another.
    Limits: Works only where the user keeps the item numbers in that column.
    Decides: the customs office at each border.
    """
    held = [(line, item_numbers(_carnet_item(line))) for line in _coming_back(scope)]
    numbers = [number for _, own in held for number in own]
    faults = number_faults(numbers)
    missing = [number for number in faults if number not in numbers]
    doubled = [number for number in faults if number in numbers]
    wrong = doubled or (missing if len(missing) > len(scope.trip.cases) else [])
    if wrong:
        what = "stand twice" if doubled else "are on no line"
        line = next((line for line, own in reversed(held) if set(own) & set(wrong)), held[0][0])
        yield Found(
            f"Found Carnet item numbers that {what}: {listed(str(number) for number in wrong)}.",
            line.source.cell("name"),
            line.name,
            "Compare them with the list as issued.",
        )


@rule("left-off-the-vouchers", "customs", Severity.NOTE, looks_at="plan")
def left_home(scope: Scope) -> Iterator[Found]:
    """Goods on an issued carnet stay at home on this trip.

    What: The carnet has a number, and lines that come back do not fly whole by the plan.
    Why: Leaving listed goods at home is allowed; each voucher names the item numbers that move.
    Source: HMRC ATACPD04360 and 05500 (as seen 2026): a voucher may carry fewer items than the
        list, never more.
    Fails: Ten lines on the list, one of them hired on this trip.
    Passes: Everything listed flies.
    Limits: Takes the gear list to be what the carnet lists, or the lines with a `Carnet item`
        where that column is kept.
    Decides: the customs office at each border.
    """
    if not scope.trip.carnet.number or not crosses_customs(scope.trip):
        return
    keeps_numbers = any(_carnet_item(line) for line in scope.trip.gear)
    staying = [
        line
        for line in scope.trip.gear
        if not line.consumable
        and scope.flown.get(line.name, 0) < line.quantity
        and (_carnet_item(line) or not keeps_numbers)
    ]
    if staying:
        yield Found(
            f"By this plan {plural(len(staying), 'line')} on carnet {scope.trip.carnet.number} "
            f"stay at home, whole or in part: {listed(line.name for line in staying)}.",
            staying[0].source.cell("quantity"),
            staying[0].name,
            "Leave their item numbers off the exportation voucher.",
        )


@rule("customs-list-totals", "customs", Severity.NOTE, looks_at="plan")
def totals(scope: Scope) -> Iterator[Found]:
    """What the customs list of this plan comes to.

    What: Pieces, weight and value of the goods that fly and come back, cases included.
    Why: The security is a share of the value; what share, country and association say.
    Source: Dutch chamber's instructions for the general list (as seen 2026): totals of pieces,
        weight and value; for the share, the association's own table.
    Fails: Any plan over a customs border.
    Passes: A plan within one customs territory.
    Limits: Goods without a value count as 0 here and are named by `customs-value-missing`.
    Decides: the association that issues the carnet.
    """
    if not crosses_customs(scope.trip):
        return
    rows: list[tuple[int, Gear | Case]] = [
        (scope.units(line), line) for line in scope.lines if not line.consumable
    ]
    rows += [(1, scope.case(piece)) for piece in scope.pieces()]
    pieces = sum(count for count, _ in rows)
    weight = sum(
        count * (row.weight_g if isinstance(row, Gear) else row.empty_g) for count, row in rows
    )
    value = sum(count * (row.value.minor if row.value else 0) for count, row in rows)
    yield Found(
        f"The goods that fly and come back are {plural(pieces, 'piece')}, cases included, of "
        f"{kg(weight)} and {money(value, scope.trip.currency)} together.",
        scope.trip.source.cell("carnet_number"),
        "customs list",
        "Security is the association's percentage of that value.",
    )
