"""Calculators for one question at a time: a lift, a team, a battery, radio frequencies, freight,
a carnet's security. None of them reads a trip; each says what its answer rests on."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from packer.cli.talk import json_option, report
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.rules.niosh import Lift, Limit

Answer = tuple[list[str], dict[str, Any]]


def arguments(parser: argparse.ArgumentParser) -> None:
    """One sub-command for each calculator."""
    parts = parser.add_subparsers(dest="reckon", metavar="WHAT", required=True)
    for name, (summary, fill, answer) in _CALCULATORS.items():
        part = parts.add_parser(name, help=summary, description=summary)
        fill(part)
        json_option(part)
        part.set_defaults(answer=answer)


def run(args: argparse.Namespace) -> int:
    """Print the answer; BAD_INPUT with a sentence for figures that make no sense."""
    try:
        lines, data = args.answer(args)
    except ValueError as error:
        return report(args, Outcome.BAD_INPUT, lines=[f"{error}."], error=str(error))
    return report(args, Outcome.DONE, lines=lines, **data)


def number(text: str) -> Fraction:
    """An exact number from `12.5` or `12,5`; argparse's error for anything else."""
    try:
        held = Decimal(text.replace(",", "."))
    except InvalidOperation:
        raise argparse.ArgumentTypeError(f"{text!r} is no number") from None
    if not held.is_finite() or held < 0:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of 0 or more")
    return Fraction(held)


def shown(value: Fraction, places: int = 2) -> str:
    """A number for people, halves up, without noughts at its end."""
    from packer.rules.niosh import round_half_up

    text = f"{float(round_half_up(value, places)):.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


# --- a battery --------------------------------------------------------------------------------


def _energy_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("volts", type=number, metavar="VOLTS")
    parser.add_argument("amp_hours", type=_amp_hours, metavar="CHARGE", help="9.9Ah or 9900mAh")


def _amp_hours(text: str) -> Fraction:
    found = re.fullmatch(r"([\d.,]+)\s*(m?)Ah", text, re.IGNORECASE)
    if found is None:
        raise argparse.ArgumentTypeError(f"{text!r} is no charge such as 9.9Ah or 9900mAh")
    return number(found[1]) / (1000 if found[2] else 1)


def _energy(args: argparse.Namespace) -> Answer:
    from packer.rules.energy import energy_class, watt_hours_mwh

    energy_mwh = watt_hours_mwh(args.volts, args.amp_hours * 1000)
    held = energy_class(energy_mwh)
    lines = [
        f"{shown(Fraction(energy_mwh, 1000), 3)} Wh. As lithium ion: {held}.",
        "Spares go in the cabin only. The carrier decides.",
    ]
    return lines, {"energy_mwh": energy_mwh, "class": str(held)}


# --- lifting ----------------------------------------------------------------------------------


def _lift_arguments(parser: argparse.ArgumentParser) -> None:
    for name, text in (
        ("load", "what is lifted, kg (lb with --us)"),
        ("horizontal", "hands from the ankles, cm (in)"),
        ("vertical", "hands above the floor, cm (in)"),
        ("distance", "how far up or down, cm (in)"),
    ):
        parser.add_argument(f"--{name}", type=number, required=True, help=text, metavar="N")
    parser.add_argument("--turn", type=number, default=Fraction(0), help="degrees", metavar="N")
    parser.add_argument(
        "--pace", type=number, default=Fraction(1, 5), help="lifts a minute (0.2)", metavar="N"
    )
    parser.add_argument("--hours", choices=("1", "2", "8"), default="1", help="of such work")
    parser.add_argument("--grip", choices=("good", "fair", "poor"), default="fair")
    for name, text in (
        ("end-horizontal", "hands from the ankles where it is put down with control, cm (in)"),
        ("end-vertical", "hands above the floor there, cm (in)"),
    ):
        parser.add_argument(f"--{name}", type=number, help=text, metavar="N")
    parser.add_argument("--us", action="store_true", help="pounds and inches")


def _lift(args: argparse.Namespace) -> Answer:
    from packer.rules.lifting import CAUTION
    from packer.rules.niosh import Mode, recommended_limit, with_control

    origin = _described(args)
    end = _end(origin, args)
    limits = {
        mode: with_control(origin, end, mode) if end else recommended_limit(origin, mode)
        for mode in Mode
    }
    unit = "lb" if args.us else "kg"
    lines = [_limit_line(mode, limit, unit) for mode, limit in limits.items()]
    if end:
        lines.append("Of both ends the one with the lower limit counts.")
    full = limits[Mode.FULL]
    multipliers = ", ".join(f"{name} {shown(held)}" for name, held in full.multipliers.items())
    lines += [f"Multipliers: {multipliers}.", f"{full.verdict.capitalize()}.", CAUTION]
    return lines, {str(mode): _limit_json(limit, unit) for mode, limit in limits.items()}


def _described(args: argparse.Namespace) -> Lift:
    from packer.rules.niosh import Coupling, Lift, Units

    return Lift(
        args.load,
        args.horizontal,
        args.vertical,
        args.distance,
        args.turn,
        args.pace,
        f"{args.hours} h",
        Coupling(args.grip),
        Units.US if args.us else Units.METRIC,
    )


def _end(origin: Lift, args: argparse.Namespace) -> Lift | None:
    """Where the lift ends, if control is needed there; ValueError for half of it."""
    if (args.end_horizontal is None) != (args.end_vertical is None):
        raise ValueError("the end of a lift needs both --end-horizontal and --end-vertical")
    if args.end_vertical is None:
        return None
    return replace(
        origin,
        horizontal=args.end_horizontal,
        vertical=args.end_vertical,
        origin_vertical=origin.vertical,
    )


def _limit_line(mode: str, limit: Limit, unit: str) -> str:
    how = "By the manual's worksheet" if mode == "worksheet" else "With every digit"
    index = "none" if limit.index is None else shown(limit.index)
    return f"{how}: recommended limit {shown(limit.recommended)} {unit}, lifting index {index}."


def _limit_json(limit: Limit, unit: str) -> dict[str, Any]:
    return {
        "recommended": float(limit.recommended),
        "unit": unit,
        "index": None if limit.index is None else float(limit.index),
        "multipliers": {name: float(held) for name, held in limit.multipliers.items()},
    }


def _team_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("kg", type=number, nargs="+", help="what each one lifts alone")


def _team(args: argparse.Namespace) -> Answer:
    from packer.rules.lifting import CAUTION, team_capacity_g

    together = team_capacity_g([int(each * 1000) for each in args.kg])
    lines = [f"Together: {shown(Fraction(together, 1000))} kg.", CAUTION]
    return lines, {"together_g": together}


def _guide_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--turn", type=int, default=0, help="degrees", metavar="N")
    parser.add_argument("--pace", type=int, default=0, help="lifts a minute", metavar="N")


def _guide(args: argparse.Namespace) -> Answer:
    from packer.rules.lifting import CAUTION, filter_figure_g
    from shared import team_figures

    figure = filter_figure_g(team_figures().filter_g, args.turn, args.pace)
    lines = [f"A closer look is due above {shown(figure / 1000)} kg for one person.", CAUTION]
    return lines, {"figure_g": int(figure)}


# --- radio ------------------------------------------------------------------------------------


def _tones_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("mhz", type=number, nargs="+", help="the fixed frequencies")


def _tones(args: argparse.Namespace) -> Answer:
    from packer.rules.intermod import hits, nearest_khz, third_order
    from packer.rules.scope import listed, mhz
    from shared import radio_figures

    khz = [int(each * 1000) for each in args.mhz]
    spacing = radio_figures().least_spacing_khz
    found = hits(khz, spacing)
    nearest = nearest_khz(khz)
    lines = [
        f"{len(third_order(khz))} third-order products; the nearest is "
        f"{'nowhere' if nearest is None else f'{nearest} kHz'} from a member.",
        *(
            f"  {mhz(hit.product.khz)} of {listed(mhz(each) for each in hit.product.made_of)} is "
            f"{hit.distance_khz} kHz from {mhz(hit.member_khz)}"
            for hit in found
        ),
        "No other transmitter, level or higher order is looked at. Check with the regulator.",
    ]
    return lines, {"nearest_khz": nearest, "hits": len(found)}


# --- freight and customs ----------------------------------------------------------------------


def _freight_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("piece", type=_piece, nargs="+", help="74x44x40, in cm", metavar="LxWxH")
    parser.add_argument("--gross", type=number, required=True, help="kg of all", metavar="KG")
    parser.add_argument("--divisor", type=int, help="cm3 for one kg (6000)", metavar="N")


def _piece(text: str) -> tuple[int, int, int]:
    sides = [number(side) for side in re.split(r"[x×*]", text.lower())]
    if len(sides) != 3:
        raise argparse.ArgumentTypeError(f"{text!r} is not three lengths such as 74x44x40")
    length, width, height = (int(side * 10) for side in sides)
    return (length, width, height)


def _freight(args: argparse.Namespace) -> Answer:
    from packer.rules.chargeable import chargeable_weight_g, volume_weight_kg

    if args.divisor is not None and args.divisor < 1:
        raise ValueError("the divisor must be at least 1")
    volume = volume_weight_kg(args.piece, args.divisor)
    chargeable = chargeable_weight_g(args.piece, int(args.gross * 1000), args.divisor)
    lines = [
        f"Volume weight {shown(volume)} kg, gross {shown(args.gross)} kg: chargeable "
        f"{shown(Fraction(chargeable, 1000))} kg.",
        "The forwarder's offer decides.",
    ]
    return lines, {"volume_kg": float(volume), "chargeable_g": chargeable}


def _security_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("value", type=number, help="of the list, in whole units")
    parser.add_argument("percent", type=number, help="what the association asks")


def _security(args: argparse.Namespace) -> Answer:
    from packer.rules.carnet import security_minor

    percent = Decimal(args.percent.numerator) / Decimal(args.percent.denominator)
    security = security_minor(int(args.value * 100), percent)
    lines = [f"Security: {shown(Fraction(security, 100))}.", "The issuing association decides."]
    return lines, {"security_hundredths": security}


def _until_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("what", choices=("carnet", "certificate"), help="which paper")
    parser.add_argument("issued", type=_day, help="day of issue, such as 2026-03-01")


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no day such as 2026-03-01") from None


def _until(args: argparse.Namespace) -> Answer:
    from packer.rules.carnet import last_valid_day
    from packer.rules.species import certificate_until

    ends = {"carnet": last_valid_day, "certificate": certificate_until}
    last = ends[args.what](args.issued)
    names = {"carnet": "carnet", "certificate": "musical instrument certificate"}
    lines = [f"A {names[args.what]} of {args.issued} is valid until {last} at most."]
    return [*lines, "The date on the paper decides."], {"until": last.isoformat()}


_CALCULATORS: dict[
    str,
    tuple[str, Callable[[argparse.ArgumentParser], None], Callable[[argparse.Namespace], Answer]],
] = {
    "battery": ("watt-hours of a battery, and its class", _energy_arguments, _energy),
    "lift": ("the lifting equation (NIOSH 94-110) for one lift", _lift_arguments, _lift),
    "team": ("what up to three people lift together", _team_arguments, _team),
    "guide": ("the filter figure for one person's lift (HSE)", _guide_arguments, _guide),
    "tones": ("third-order products of fixed frequencies", _tones_arguments, _tones),
    "freight": ("chargeable weight of pieces by air", _freight_arguments, _freight),
    "until": ("the last day of a carnet or certificate", _until_arguments, _until),
    "security": ("a carnet's security by your own percentage", _security_arguments, _security),
}
