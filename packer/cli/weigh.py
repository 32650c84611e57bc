"""Takes what the scale says: what the real weights break, on which leg, and the fewest moved
objects that make everything legal again (one that stays behind and is hired counts as moved);
what more moves would save, and what paying the fee instead costs. Writes the mended plan and the
old and new sheets of the touched cases only."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from packer.cli.guard import halt
from packer.cli.inputs import known_case, known_gear, open_trip, place_for
from packer.cli.road_inputs import (
    kg_text,
    money_text,
    now,
    open_plan_of,
    weights_of,
    who,
    who_options,
)
from packer.cli.talk import counted, json_option, report, table
from packer.model.finding import Finding, Severity
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.model.plan import Plan
    from packer.road.repacking import Move
    from packer.road.repair import Mending, Menu
    from packer.road.scales import WeighIn


def arguments(parser: argparse.ArgumentParser) -> None:
    """The trip, the plan, the weights, and where to write."""
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    parser.add_argument("plan", metavar="PLAN.json", help="the plan that was packed")
    parser.add_argument(
        "weights", nargs="*", metavar="CASE=WEIGHT", help="packed cases on the scale, kg or as said"
    )
    parser.add_argument(
        "--object", nargs="+", metavar="GEAR=WEIGHT", default=[], help="single objects weighed"
    )
    parser.add_argument("-o", "--out", required=True, metavar="DIR", help="folder for the papers")
    parser.add_argument(
        "--moves", type=int, metavar="N", help="take the choice with at most N moves (the fewest)"
    )
    parser.add_argument(
        "--all-fly", action="store_true", help="leave nothing behind, whatever hiring it costs"
    )
    parser.add_argument(
        "--workbook", metavar="FILE.xlsx", help="write your workbook with the measured weights"
    )
    parser.add_argument("--seconds", type=float, default=10.0, help="the longest to look (10)")
    who_options(parser)
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """0 where the plan holds or is mended, 2 for a bad weight, 3 where no moves help."""
    from packer.road.repair import mend
    from packer.road.scales import weigh_in

    if args.workbook:
        place_for(args.workbook, ".xlsx")
    trip = open_trip(args.trip)
    plan = open_plan_of(trip, args.plan)
    cases = {known_case(trip, name): g for name, g in weights_of(args.weights).items()}
    objects = {known_gear(trip, name): g for name, g in weights_of(args.object).items()}
    _refuse_unpacked(plan, cases, objects)
    weighed = weigh_in(trip, plan, cases, objects)
    if not weighed.before.accepted:
        raise halt("plan-does-not-hold", "The plan breaks the trip's rules before any weighing.",
                   "See `holdall judge` for what it breaks.")  # fmt: skip
    menu = mend(weighed.trip, weighed.plan, seconds=args.seconds, leave=not args.all_fly)
    chosen = _chosen(menu, args.moves)
    weighed = _with_workbook(args, weighed, cases, objects)
    written = _write(args, weighed, chosen) if chosen else ()
    return _report(args, weighed, menu, chosen, written)


def _refuse_unpacked(plan: Plan, cases: dict[str, int], objects: dict[str, int]) -> None:
    if not cases and not objects:
        raise halt("weight-expected", "No weight was given.", "Write it as CASE=23.4 kg.")
    used = {piece.case for piece in plan.pieces}
    for name in cases:
        if name not in used:
            raise halt("case-not-in-plan", f"The plan does not use case {name}.")


def _chosen(menu: Menu, moves: int | None) -> Mending | None:
    if moves is None:
        return menu.fewest
    within = [choice for choice in menu.choices if len(choice.moves) <= moves]
    return within[-1] if within else menu.fewest


def _with_workbook(
    args: argparse.Namespace, weighed: WeighIn, cases: dict[str, int], objects: dict[str, int]
) -> WeighIn:
    """Write the workbook with the real weights; the trip then is the one that it holds."""
    from dataclasses import replace

    from packer.reading import read_trip
    from packer.reading.weighed_workbook import write_weighed

    if not args.workbook:
        return weighed
    empty_g = {name: weighed.trip.case_named(name).empty_g for name in cases}
    out = write_weighed(Path(args.trip), empty_g, objects, Path(args.workbook))
    read = read_trip(out).trip
    if read is None:
        return weighed
    return replace(weighed, trip=replace(weighed.trip, input_sha256=read.input_sha256))


def _write(args: argparse.Namespace, weighed: WeighIn, chosen: Mending) -> tuple[Path, ...]:
    """The mended plan, and the sheets of the touched cases as they were and as they are now."""
    from packer.model.plan_json import plan_text
    from packer.papers import write_whole
    from packer.papers.case_sheets import case_sheets_pdf
    from packer.pipeline import signed
    from packer.road.history import WEIGHED, note_change

    out = Path(args.out)
    plan = signed(chosen.plan, weighed.trip, weighed.findings)
    files = {out / "plan.json": plan_text(plan).encode()}
    touched = frozenset(chosen.touched)
    for name, whole in (("old", weighed.plan), ("new", plan)):
        if any(piece.case in touched for piece in whole.pieces):
            path = out / f"case-sheets-{name}.pdf"
            files[path] = case_sheets_pdf(weighed.trip, whole, touched)
    out.mkdir(parents=True, exist_ok=True)
    write_whole(files)
    why = f"weighed {', '.join(d.case for d in weighed.differences) or 'objects'}"
    note_change(out / "history.jsonl", WEIGHED, plan, who(args), why, now())
    return tuple(files)


def _report(
    args: argparse.Namespace,
    weighed: WeighIn,
    menu: Menu,
    chosen: Mending | None,
    written: tuple[Path, ...],
) -> int:
    from packer.road.scales import CAUTION

    currency = weighed.trip.currency
    lines = [*_difference_lines(weighed), "", *_broken_lines(weighed), ""]
    if menu.choices:
        lines += _menu_lines(menu, weighed, currency)
        lines += ["", _pay_line(menu, weighed, currency)]
    else:
        lines += _no_choice_lines(menu)
    if chosen:
        lines += ["", *_move_lines(chosen), *_hire_lines(chosen, weighed)]
    if written:
        lines += ["", f"Written into {args.out}:", *(f"  {path.name}" for path in written)]
    lines += _workbook_lines(args, weighed)
    outcome = Outcome.DONE if chosen else _no_outcome(menu)
    findings = (*weighed.findings, *(() if chosen else (_nothing_mends(menu),)))
    return report(
        args,
        outcome,
        findings,
        [*lines, "", CAUTION],
        **_data(args, weighed, menu, chosen, written),
    )


def _no_outcome(menu: Menu) -> Outcome:
    return Outcome.IMPOSSIBLE if menu.impossible else Outcome.OUT_OF_TIME


def _nothing_mends(menu: Menu) -> Finding:
    proof = "It is proved that no" if menu.impossible else "No"
    message = f"{proof} packing of what flies now is legal by these weights."
    remedy = "Take another case along, or let less fly: plan again with --keep."
    return Finding("no-moves-help", Severity.ERROR, message, remedy=remedy)


def _difference_lines(weighed: WeighIn) -> list[str]:
    rows = [("Case", "By its list", "On the scale", "Heavier by")] + [
        (d.case, f"{kg_text(d.listed_g)} kg", f"{kg_text(d.real_g)} kg", f"{d.more_g:+d} g")
        for d in weighed.differences
    ]
    note = "The difference is the case's; which object is heavier, the scale does not say."
    return [*table(rows, right=(1, 2, 3)), note] if weighed.differences else []


def _broken_lines(weighed: WeighIn) -> list[str]:
    if weighed.breaks:
        return ["As it stands it cannot travel:", *(f"  {b.message}" for b in weighed.breaks)]
    currency = weighed.trip.currency
    dearer = [f"  {leg}: {money_text(more, currency)} more" for leg, more in weighed.dearer_by_leg]
    return ["As it stands it is legal.", *dearer]


def _menu_lines(menu: Menu, weighed: WeighIn, currency: str) -> list[str]:
    before = weighed.before.costs
    heads = ("Moves", "Left behind", "Cash", "More than planned", "Worth given up", "Cases opened")
    rows = [(*heads, "")]
    rows += [
        (
            str(len(choice.moves)),
            str(len(choice.left)),
            money_text(choice.cash_minor, currency),
            money_text(choice.cash_minor - before.cash_minor, currency),
            money_text(choice.verdict.costs.worth_minor, currency),
            ", ".join(choice.touched),
            _remark(choice),
        )
        for choice in menu.choices
    ]
    return ["Choices:", *table(rows, right=(0, 1, 2, 3, 4))]


def _pay_line(menu: Menu, weighed: WeighIn, currency: str) -> str:
    """What paying costs instead of moving anything, or that no fee buys it."""
    pay = menu.pay_instead
    if pay is None:
        return "Paying instead: no fee makes it legal as it stands."
    more = pay.cash_minor - weighed.before.costs.cash_minor
    return f"Paying instead, with nothing moved: {money_text(more, currency)} more than planned."


def _remark(choice: Mending) -> str:
    words = [] if choice.moves else ["pay instead"]
    return ", ".join(words + ([] if choice.proved else ["not proved"]))


def _workbook_lines(args: argparse.Namespace, weighed: WeighIn) -> list[str]:
    """The new plan holds by the real weights; the workbook should know them too."""
    if args.workbook:
        return [
            f"Your workbook with the measured weights: {args.workbook}.",
            "Judge and plan with it from now on: the old one weighs by the list.",
        ]
    rows = [
        (f"  {d.case}", f"{kg_text(weighed.trip.case_named(d.case).empty_g)} kg")
        for d in weighed.differences
    ]
    head = "It holds by these empty weights; `--workbook FILE.xlsx` puts them into your workbook:"
    return [head, *table(rows, right=(1,))] if rows else []


def _no_choice_lines(menu: Menu) -> list[str]:
    return ["No moves make it legal."] if menu.impossible else ["No legal packing was found."]


def _move_lines(chosen: Mending) -> list[str]:
    if not chosen.moves:
        return ["Nothing moves."]
    head = f"Move {counted(len(chosen.moves), 'object')}:"
    return [head, *(f"  {_move_text(move)}" for move in chosen.moves)]


def _move_text(move: Move) -> str:
    if move.stays:
        return f"{move.gear} {move.unit}: out of {move.source}, stays behind"
    return f"{move.gear} {move.unit}: {move.source} to {move.target}"


def _hire_lines(chosen: Mending, weighed: WeighIn) -> list[str]:
    rows = [
        (f"  {change.units:+d} x {change.gear}", f"at {change.stop} from {change.supplier}")
        for change in chosen.hires(weighed.plan)
    ]
    return ["Orders change:", *table(rows)] if rows else []


def _data(
    args: argparse.Namespace,
    weighed: WeighIn,
    menu: Menu,
    chosen: Mending | None,
    written: tuple[Path, ...],
) -> dict[str, Any]:
    return {
        "differences": [
            {"case": d.case, "listed_g": d.listed_g, "real_g": d.real_g}
            for d in weighed.differences
        ],
        "legal": weighed.legal,
        "breaks": [breach.to_json() for breach in weighed.breaks],
        "dearer": [{"leg": leg, "more_minor": more} for leg, more in weighed.dearer_by_leg],
        "choices": [_choice_data(choice, weighed) for choice in menu.choices],
        "pay_instead_minor": menu.pay_instead.cash_minor - weighed.before.costs.cash_minor
        if menu.pay_instead
        else None,
        "workbook": args.workbook,
        "chosen_moves": len(chosen.moves) if chosen else None,
        "seconds": round(menu.seconds, 3),
        "written": [str(path) for path in written],
    }


def _choice_data(choice: Mending, weighed: WeighIn) -> dict[str, Any]:
    return {
        "cash_minor": choice.cash_minor,
        "worth_minor": choice.verdict.costs.worth_minor,
        "proved": choice.proved,
        "cases": list(choice.touched),
        "moves": [
            {"gear": m.gear, "unit": m.unit, "from": m.source, "to": m.target or None}
            for m in choice.moves
        ],
        "orders": [
            {"gear": h.gear, "stop": h.stop, "supplier": h.supplier, "units": h.units}
            for h in choice.hires(weighed.plan)
        ],
    }
