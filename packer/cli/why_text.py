"""The other way of each line in words, as a table and as JSON, for `holdall why`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from packer.cli.talk import table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from packer.decide.answers import OtherWay


def other_lines(answers: Sequence[OtherWay], currency: str) -> list[str]:
    """All lines as a table, then why some have no other way, then how to read it."""
    asked = [answer for answer in answers if answer.least_minor is not None]
    rest = [answer for answer in answers if answer.least_minor is None]
    lines = table(_rows(asked, currency), right=(3, 4, 5, 6)) if asked else []
    if rest:
        lines += ["", "No other way:", *(f"  {_no_way(answer, currency)}" for answer in rest)]
    return [
        *lines,
        "",
        "`at least` is proved by a bound; `at most` is the cost of a plan that was found.",
        "`turns at` is the hire price a unit and stop at which both ways cost the same.",
        "More --seconds bring the ends nearer; holdall why TRIP PLAN.json GEAR asks about one.",
    ]


def _rows(answers: Sequence[OtherWay], currency: str) -> list[tuple[str, ...]]:
    heading = (
        "gear", "flies", "other way", f"at least {currency}", "at most", "hire price", "turns at",
        "within 10 %",
    )  # fmt: skip
    return [heading, *(_row(answer, currency) for answer in answers)]


def _row(answer: OtherWay, currency: str) -> tuple[str, ...]:
    return (
        answer.gear,
        f"{answer.flown} of {answer.quantity}",
        f"all {'fly' if answer.way == 'fly' else 'hired'}",
        _money(answer.least_minor, currency),
        _money(answer.most_minor, currency),
        _money(answer.price_minor, currency),
        _ends(answer.turns_least_minor, answer.turns_most_minor, currency),
        str(answer.near) if answer.price_minor is not None else "-",
    )


def _no_way(answer: OtherWay, currency: str) -> str:
    text = f"{answer.gear}: {answer.reason}"
    text += "" if text.endswith(".") else "."
    if answer.turns_most_minor is None:
        return text
    return f"{text} An offer would pay {_below(answer, currency)}."


def turning_text(answer: OtherWay, currency: str) -> list[str]:
    """The turning price of one line as a sentence, or nothing where there is none."""
    if answer.price_minor is None:
        return []
    price = _money(answer.price_minor, currency)
    if answer.turns_most_minor is not None and answer.turns_most_minor < 0:
        return [f"Hiring costs {price} {currency} a unit and stop; for nothing it would not pay."]
    ends = _ends(answer.turns_least_minor, answer.turns_most_minor, currency)
    return [
        f"Hiring costs {price} {currency} a unit and stop on average; both ways would cost the "
        f"same at {ends}."
    ]


def _below(answer: OtherWay, currency: str) -> str:
    least, most = answer.turns_least_minor, answer.turns_most_minor
    if most is not None and most <= 0:
        return "at no price, not even for nothing"
    if least is None or least <= 0:
        return f"below {_money(most, currency)} a unit and stop at the very most"
    if least == most:
        return f"below {_money(least, currency)} a unit and stop"
    return (
        f"below {_money(least, currency)} a unit and stop, perhaps up to {_money(most, currency)}"
    )


def _ends(least: int | None, most: int | None, currency: str) -> str:
    if least is None and most is None:
        return "-"
    if most is not None and most < 0:
        return "never"
    if least == most:
        return _money(least, currency)
    if least is None or least < 0:
        return f"up to {_money(most, currency)}"
    if most is None:
        return f"from {_money(least, currency)}"
    return f"{_money(least, currency)} to {_money(most, currency)}"


def _money(amount: int | None, currency: str) -> str:
    from packer.papers.units import major_text

    return "-" if amount is None else major_text(amount, currency)


def other_json(answer: OtherWay) -> dict[str, object]:
    """An answer as JSON; money in minor units, None where it is not known."""
    return {
        "gear": answer.gear,
        "quantity": answer.quantity,
        "flown": answer.flown,
        "way": str(answer.way),
        "least_minor": answer.least_minor,
        "most_minor": answer.most_minor,
        "price_minor": answer.price_minor,
        "turns_least_minor": answer.turns_least_minor,
        "turns_most_minor": answer.turns_most_minor,
        "near": str(answer.near),
        "reason": answer.reason,
    }
