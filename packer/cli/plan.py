"""Decides what flies and what is hired, packs every case, has the plan judged, and writes
plan.json and all papers into a folder. Ctrl-C ends the search with the best plan so far."""

from __future__ import annotations

import argparse
import os
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from packer.cli.guard import halt
from packer.cli.inputs import open_plan
from packer.cli.road_inputs import now, open_journal, who, who_options
from packer.cli.talk import counted, finding_summary, json_option, report, table
from packer.cli.watching import watch
from packer.model.finding import Finding, Severity
from packer.model.outcome import Outcome
from packer.model.solving import Limits, Wishes

if TYPE_CHECKING:
    from packer.model.plan import Plan
    from packer.pipeline import Planned
    from packer.road.listed import ByList
    from packer.road.nearer import Nearer

DEFAULT_SECONDS = 30.0


def arguments(parser: argparse.ArgumentParser) -> None:
    """The trip, where to write, how long to work, and what to hold fixed."""
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    parser.add_argument("-o", "--out", required=True, metavar="DIR", help="folder for the papers")
    solving_options(parser)
    parser.add_argument("--keep", metavar="PLAN", help="stay as near as possible to this plan.json")
    parser.add_argument(
        "--keep-for",
        metavar="MONEY",
        type=float,
        default=0.0,
        help="with --keep: what staying nearer still may cost, in trip currency (0)",
    )
    wish_options(parser)
    parser.add_argument(
        "--issued",
        metavar="LEDGER",
        help="a customs list is issued (see `holdall border`): plan only with what is on it",
    )
    parser.add_argument("--why", metavar="TEXT", default="", help="why it is planned, for history")
    who_options(parser, keyed=False)
    parser.add_argument(
        "--object-labels", action="store_true", help="a label for every object, too: many pages"
    )
    json_option(parser)


def solving_options(parser: argparse.ArgumentParser, seconds: float = DEFAULT_SECONDS) -> None:
    """How long and how to work; the same for every command that solves."""
    parser.add_argument(
        "--seconds",
        type=_positive,
        default=seconds,
        help=f"the longest to work for each plan ({seconds:g})",
    )
    parser.add_argument(
        "--workers", type=int, default=os.cpu_count() or 1, help="processor cores to use (all)"
    )
    parser.add_argument("--seed", type=int, default=0, help="another number, another search (0)")
    parser.add_argument(
        "--work",
        type=_positive,
        metavar="W",
        help="count the work instead of the time, about W seconds of it: the same plan every time",
    )


def wish_options(parser: argparse.ArgumentParser) -> None:
    """Gear that must fly or be hired, whatever it costs, and how many pieces there may be."""
    parser.add_argument(
        "--fly", metavar="GEAR", action="append", default=[], help="must fly; may be repeated"
    )
    parser.add_argument(
        "--hire", metavar="GEAR", action="append", default=[], help="must be hired; may be repeated"
    )
    parser.add_argument(
        "--pieces", metavar="N", type=_count, help="at most so many pieces in the hold (any number)"
    )


def wishes_of(args: argparse.Namespace) -> Wishes:
    """What the wish options ask for."""
    return Wishes(tuple(args.fly), tuple(args.hire), most_pieces=args.pieces)


def limits_of(args: argparse.Namespace) -> Limits:
    """The limits that the solving options ask for."""
    return Limits(args.seconds, max(1, args.workers), args.seed, deterministic=args.work)


def run(args: argparse.Namespace) -> int:
    """Plan, then say what came of it."""
    from packer.pipeline import plan_trip

    wishes = _wishes(args)
    _refuse_bad_folder(Path(args.out))
    narrowing = _narrowing(args)
    planned = watch(
        lambda on_progress, should_stop: plan_trip(
            Path(args.trip),
            Path(args.out),
            limits_of(args),
            wishes,
            on_progress,
            should_stop,
            every_label=args.object_labels,
            narrowing=narrowing,
        ),
        silent=args.json,
    )
    history = _note_history(args, planned)
    return _report(args, planned, history)


def _narrowing(args: argparse.Namespace) -> ByList | None:
    """The list in the ledger named, for the planner to keep to."""
    if not args.issued:
        return None
    from packer.road.border_book import ledger_of
    from packer.road.listed import ByList

    issued = ledger_of(open_journal(args.issued).entries).issued
    if issued is None:
        raise halt("list-not-issued", f"No list has been issued in {args.issued} yet.")
    return ByList(issued)


def _note_history(args: argparse.Namespace, planned: Planned) -> tuple[Finding, ...]:
    """Who planned, when and why, in `history.jsonl` beside the plan; refusals as warnings."""
    from packer.road.history import PLANNED, note_change

    if planned.plan is None or planned.outcome is not Outcome.DONE:
        return ()
    path = Path(args.out) / "history.jsonl"
    entered = note_change(path, PLANNED, planned.plan, who(args), args.why or _reason(args), now())
    return tuple(replace(f, severity=Severity.WARNING) for f in entered.findings)


def _reason(args: argparse.Namespace) -> str:
    """What was asked for, in words, where nobody gave a reason."""
    parts = [
        *(["as near as possible to an earlier plan"] if args.keep else []),
        *(["with the list issued"] if args.issued else []),
        *(f"{gear} flies" for gear in args.fly),
        *(f"{gear} is hired" for gear in args.hire),
    ]
    return "planned" + (f": {', '.join(parts)}" if parts else "")


def _refuse_bad_folder(out: Path) -> None:
    """Say so before half a minute of work, not after."""
    nearest = next(path for path in (out, *out.absolute().parents) if path.exists())
    if not nearest.is_dir():
        raise halt("not-a-folder", f"{nearest} is a file, not a folder.", "Give -o another folder.")
    if not os.access(nearest, os.W_OK):
        raise halt("folder-closed", f"You may not write in {nearest}.", "Give -o another folder.")


def _count(text: str) -> int:
    count = int(text)
    if count < 0:
        raise argparse.ArgumentTypeError("must be 0 or more")
    return count


def _positive(text: str) -> float:
    seconds = float(text)
    if not seconds > 0:
        raise argparse.ArgumentTypeError("must be above 0 seconds")
    return seconds


def _wishes(args: argparse.Namespace) -> Wishes:
    keep = open_plan(args.keep) if args.keep else None
    slack = 0
    if args.keep_for and keep is not None:
        from packer.papers.units import decimals_of

        slack = round(args.keep_for * 10 ** decimals_of(keep.currency))
    return replace(wishes_of(args), keep=keep, keep_slack_minor=slack)


def _report(args: argparse.Namespace, planned: Planned, history: tuple[Finding, ...]) -> int:
    if planned.outcome is Outcome.DONE:
        return _report_done(args, planned, history)
    if planned.outcome is Outcome.FAULT:
        return _report_refused(args, planned)
    findings = [f for f in planned.findings if f.severity is not Severity.NOTE]
    if planned.outcome is Outcome.OUT_OF_TIME:
        findings.append(_no_time(args))
    lines = _impossible_lines(planned) if planned.outcome is Outcome.IMPOSSIBLE else ()
    return report(
        args, planned.outcome, findings, lines, causes=[c.to_json() for c in planned.causes]
    )


def _report_done(args: argparse.Namespace, planned: Planned, history: tuple[Finding, ...]) -> int:
    from packer.cli.plan_text import plan_lines
    from packer.model.plan_json import plan_to_json

    assert planned.trip is not None
    assert planned.plan is not None
    shown = [f for f in planned.findings if f.severity is not Severity.NOTE]
    if args.json:
        shown = list(planned.findings)
    elif args.issued:
        shown += [f for f in planned.findings if f.code == "not-on-issued-list"]
    near = _nearer(args, planned)
    lines = [*plan_lines(planned.trip, planned.plan), *_nearer_lines(near, planned.plan), ""]
    lines += _papers_lines(args, planned)
    return report(
        args,
        Outcome.DONE,
        [*shown, *history],
        lines,
        plan=plan_to_json(planned.plan),
        **_nearer_data(near),
        papers=[str(path) for path in planned.papers],
    )


def _nearer(args: argparse.Namespace, planned: Planned) -> Nearer | None:
    """With --keep: how far the plan moved, and what staying nearer still costs."""
    if not args.keep or planned.trip is None or planned.plan is None:
        return None
    from packer.road.nearer import nearer

    return nearer(planned.trip, open_plan(args.keep), planned.plan)


def _nearer_lines(near: Nearer | None, plan: Plan) -> list[str]:
    if near is None:
        return []
    from packer.papers.units import money_text

    head = f"Against the plan to stay near: {counted(near.moved, 'object')} moved."
    rows = [
        (
            f"  {counted(step.moves, 'object')} moved:",
            f"{money_text(step.more_minor, plan.currency)} more",
            "" if step.proved else "(not proved)",
        )
        for step in near.steps
    ]
    return ["", head, *(["Staying nearer still costs:", *table(rows, right=(1,))] if rows else [])]


def _nearer_data(near: Nearer | None) -> dict[str, Any]:
    if near is None:
        return {}
    steps = [
        {"moves": step.moves, "more_minor": step.more_minor, "proved": step.proved}
        for step in near.steps
    ]
    return {"moved": near.moved, "nearer": steps}


def _papers_lines(args: argparse.Namespace, planned: Planned) -> list[str]:
    hidden = [f for f in planned.findings if f.severity is Severity.NOTE]
    written = [*_paper_names(planned), "  history (jsonl): who planned, when and why"]
    lines = [f"Written into {args.out}:", *written, *planned.notices]
    if hidden:
        lines.append(f"And {finding_summary(hidden)}, in plan.json and the manifest.")
    return lines


def _paper_names(planned: Planned) -> list[str]:
    """One line a paper, whatever forms it comes in: `hire-orders (pdf, xlsx)`."""
    forms: dict[str, list[str]] = {}
    for path in sorted(planned.papers):
        forms.setdefault(path.stem, []).append(path.suffix[1:])
    return [f"  {stem} ({', '.join(endings)})" for stem, endings in forms.items()]


def _report_refused(args: argparse.Namespace, planned: Planned) -> int:
    assert planned.verdict is not None
    breaches = [
        Finding(breach.code, Severity.ERROR, breach.message, subject=breach.subject)
        for breach in planned.verdict.breaches
    ]
    lines = ["The judge refuses the plan that was found; nothing was written. Please report this."]
    return report(args, Outcome.FAULT, breaches, lines)


def _no_time(args: argparse.Namespace) -> Finding:
    message = f"No plan was found within {args.seconds:g} s."
    return Finding("out-of-time", Severity.ERROR, message, remedy="Give it more with --seconds.")


def _impossible_lines(planned: Planned) -> list[str]:
    if not planned.causes:
        return ["No plan satisfies the trip as it stands."]
    heading = "No plan satisfies the trip as it stands:"
    return [heading, *(f"  {cause.line()}" for cause in planned.causes)]
