"""Takes what the scale says: what the real weights break, on which leg, and the fewest moved
objects that make everything legal again; what more moves would save, and what paying the fee
instead costs. Writes the mended plan and the old and new sheets of the touched cases only."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from packer.cli.guard import halt
from packer.cli.inputs import known_case, known_gear, open_trip
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
    parser.add_argument("--seconds", type=float, default=10.0, help="the longest to look (10)")
    who_options(parser)
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """0 where the plan holds or is mended, 2 for a bad weight, 3 where no moves help."""
    from packer.road.repair import mend
    from packer.road.scales import weigh_in

    trip = open_trip(args.trip)
    plan = open_plan_of(trip, args.plan)
    cases = {known_case(trip, name): g for name, g in weights_of(args.weights).items()}
    objects = {known_gear(trip, name): g for name, g in weights_of(args.object).items()}
    _refuse_unpacked(plan, cases, objects)
    weighed = weigh_in(trip, plan, cases, objects)
    if not weighed.before.accepted:
        raise halt("plan-does-not-hold", "The plan breaks the trip's rules before any weighing.",
                   "See `holdall judge` for what it breaks.")  # fmt: skip
    menu = mend(weighed.trip, weighed.plan, seconds=args.seconds)
    chosen = _chosen(menu, args.moves)
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
    lines += _menu_lines(menu, weighed, currency) if menu.choices else _no_choice_lines(menu)
    if chosen:
        lines += ["", *_move_lines(chosen)]
    if written:
        lines += ["", f"Written into {args.out}:", *(f"  {path.name}" for path in written)]
        lines += _workbook_lines(weighed)
    outcome = Outcome.DONE if chosen else _no_outcome(menu)
    findings = (*weighed.findings, *(() if chosen else (_nothing_mends(menu),)))
    return report(
        args, outcome, findings, [*lines, "", CAUTION], **_data(weighed, menu, chosen, written)
    )


def _no_outcome(menu: Menu) -> Outcome:
    return Outcome.IMPOSSIBLE if menu.impossible else Outcome.OUT_OF_TIME


def _nothing_mends(menu: Menu) -> Finding:
    proof = "It is proved that no" if menu.impossible else "No"
    message = f"{proof} packing of what flies now is legal by these weights."
    remedy = "Leave something behind and hire it: plan again with --keep and --hire."
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
    before = weighed.before.costs.cash_minor
    rows = [("Moves", "Cash", "More than planned", "Cases opened", "")]
    rows += [
        (
            str(len(choice.moves)),
            money_text(choice.cash_minor, currency),
            money_text(choice.cash_minor - before, currency),
            ", ".join(choice.touched),
            _remark(choice),
        )
        for choice in menu.choices
    ]
    return ["Choices:", *table(rows, right=(0, 1, 2))]


def _remark(choice: Mending) -> str:
    words = [] if choice.moves else ["pay instead"]
    return ", ".join(words + ([] if choice.proved else ["not proved"]))


def _workbook_lines(weighed: WeighIn) -> list[str]:
    """The new plan holds by the real weights; the workbook should know them too."""
    rows = [
        (f"  {d.case}", f"{kg_text(weighed.trip.case_named(d.case).empty_g)} kg")
        for d in weighed.differences
    ]
    head = "It holds by these empty weights; put them into the Cases sheet before planning again:"
    return [head, *table(rows, right=(1,))] if rows else []


def _no_choice_lines(menu: Menu) -> list[str]:
    return ["No moves make it legal."] if menu.impossible else ["No legal packing was found."]


def _move_lines(chosen: Mending) -> list[str]:
    if not chosen.moves:
        return ["Nothing moves."]
    head = f"Move {counted(len(chosen.moves), 'object')}:"
    return [head, *(f"  {m.gear} {m.unit}: {m.source} to {m.target}" for m in chosen.moves)]


def _data(
    weighed: WeighIn, menu: Menu, chosen: Mending | None, written: tuple[Path, ...]
) -> dict[str, Any]:
    return {
        "differences": [
            {"case": d.case, "listed_g": d.listed_g, "real_g": d.real_g}
            for d in weighed.differences
        ],
        "legal": weighed.legal,
        "breaks": [breach.to_json() for breach in weighed.breaks],
        "dearer": [{"leg": leg, "more_minor": more} for leg, more in weighed.dearer_by_leg],
        "choices": [_choice_data(choice) for choice in menu.choices],
        "chosen_moves": len(chosen.moves) if chosen else None,
        "seconds": round(menu.seconds, 3),
        "written": [str(path) for path in written],
    }


def _choice_data(choice: Mending) -> dict[str, Any]:
    return {
        "cash_minor": choice.cash_minor,
        "proved": choice.proved,
        "cases": list(choice.touched),
        "moves": [
            {"gear": m.gear, "unit": m.unit, "from": m.source, "to": m.target} for m in choice.moves
        ],
    }
