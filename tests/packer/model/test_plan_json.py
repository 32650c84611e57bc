"""plan.json: what is written reads back the same, and what is wrong is named by its path."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from packer.model.plan import (
    UNSTATED,
    Charge,
    Costs,
    Cover,
    Decision,
    Packed,
    Piece,
    Place,
    Plan,
    Route,
    SolverNote,
    Status,
)
from packer.model.plan_json import (
    PlanError,
    plan_from_json,
    plan_to_json,
    read_plan,
    write_plan,
)

PLAN = Plan(
    holdall="0.1",
    trip="Invented tour",
    input_sha256="ab" * 32,
    made="2026-05-01T12:00:00+00:00",
    status=Status.OPTIMAL,
    currency="EUR",
    costs=Costs(9000, 4500, 1000, 0, 700),
    bound_minor=15200,
    decisions=(Decision("HORN", 1, (Cover("Lighthouse Park", "house", "HORN", 1, 0),)),),
    pieces=(
        Piece(
            "TRUNK-1",
            Route.HOLD,
            7000,
            4200,
            11700,
            (Packed("HORN", 1, Place((0, 0, 0), (400, 300, 200))), Packed("COAT", 1)),
        ),
    ),
    charges=(Charge("out", 1, 9000, 0, 0, 0, 9000),),
    findings=({"code": "heavy", "severity": "note", "message": "…", "where": ""},),
    solver=SolverNote(1.5, 2, 0, "9.15", 0.25),
)


def hand_made(**changes: Any) -> dict[str, Any]:
    """The least that a person must write, with changes."""
    plan: dict[str, Any] = {
        "decisions": [{"gear": "HORN", "flown": 1}],
        "pieces": [{"case": "T", "route": "hold", "contents": [{"gear": "HORN", "unit": 1}]}],
    }
    return {**plan, **changes}


def test_round_trip_keeps_everything() -> None:
    """A plan written as JSON text and read back is the same plan."""
    assert plan_from_json(json.loads(json.dumps(plan_to_json(PLAN)))) == PLAN


def test_keys_stand_in_the_contract_s_order() -> None:
    """Contract, section 3, names the keys in this order."""
    assert list(plan_to_json(PLAN)) == [
        "holdall",
        "trip",
        "input_sha256",
        "made",
        "status",
        "currency",
        "objective_minor",
        "bound_minor",
        "cash_minor",
        "worth_minor",
        "baggage_minor",
        "hire_minor",
        "delivery_minor",
        "freight_minor",
        "decisions",
        "pieces",
        "charges",
        "findings",
        "solver",
    ]
    assert list(plan_to_json(PLAN)["pieces"][0]) == (
        ["case", "route", "empty_g", "contents_g", "planning_g", "contents"]
    )
    assert plan_to_json(PLAN)["decisions"][0]["stops"] == [
        {
            "stop": "Lighthouse Park",
            "supplier": "house",
            "for": "HORN",
            "units": 1,
            "cost_minor": 0,
        }
    ]


def test_totals_follow_from_their_parts() -> None:
    """9000 + 4500 + 1000 + 0 = 14500 in cash, and 700 of worth: 15200."""
    written = plan_to_json(PLAN)
    assert (written["cash_minor"], written["objective_minor"]) == (14500, 15200)


def test_only_placed_units_carry_places() -> None:
    """A soft unit has a gear and a unit number and nothing else."""
    assert plan_to_json(PLAN)["pieces"][0]["contents"] == [
        {"gear": "HORN", "unit": 1, "at_mm": [0, 0, 0], "size_mm": [400, 300, 200]},
        {"gear": "COAT", "unit": 1},
    ]


def test_hand_made_plan_needs_only_decisions_and_pieces() -> None:
    """What is left out gets the documented defaults."""
    plan = plan_from_json(hand_made())
    assert plan.status is Status.FEASIBLE
    assert plan.bound_minor == 0
    assert plan.costs == Costs(*[UNSTATED] * 5)
    assert plan.pieces[0].planning_g == UNSTATED
    assert plan.stated_objective_minor is None


def test_unstated_figures_stay_out_of_the_file() -> None:
    """A hand-made plan written again states no more than it did."""
    written = plan_to_json(plan_from_json(hand_made()))
    assert "objective_minor" not in written
    assert "hire_minor" not in written
    assert list(written["pieces"][0]) == ["case", "route", "contents"]
    assert plan_from_json(written) == plan_from_json(hand_made())


def test_stated_totals_are_kept_for_the_judge() -> None:
    """The totals of a file are kept as stated, even where its parts say otherwise."""
    plan = plan_from_json({**plan_to_json(PLAN), "objective_minor": 1, "cash_minor": 2})
    assert (plan.stated_objective_minor, plan.stated_cash_minor) == (1, 2)
    assert plan.objective_minor == 15200


@pytest.mark.parametrize(
    ("changes", "path", "expected"),
    [
        ({"decisions": None}, "decisions", "a list"),
        ({"pieces": {}}, "pieces", "a list"),
        ({"status": "best"}, "status", '"optimal", "feasible", "impossible"'),
        ({"bound_minor": 1.5}, "bound_minor", "a whole number"),
        ({"bound_minor": True}, "bound_minor", "a whole number"),
        ({"hire_minor": -5}, "hire_minor", "a whole number from 0"),
        ({"objective_minor": 10**400}, "objective_minor", "a whole number from 0"),
        ({"trip": 7}, "trip", "text in quotes"),
        ({"decisions": [{"gear": "A"}]}, "decisions[0].flown", "is missing"),
        ({"decisions": [{"gear": "A", "flwon": 1}]}, "decisions[0]", "did you mean 'flown'?"),
        ({"peices": []}, "the plan", "did you mean 'pieces'?"),
        (
            {"decisions": [{"gear": "A", "flown": 0, "stops": [{"stop": "S"}]}]},
            "decisions[0].stops[0].supplier",
            "is missing",
        ),
        (
            {"pieces": [{"case": "T", "route": "sea", "contents": []}]},
            "pieces[0].route",
            '"hold", "cabin", "freight"',
        ),
        (
            {"pieces": [{"case": "T", "route": "hold", "contents": [{"gear": "A", "unit": 0}]}]},
            "pieces[0].contents[0].unit",
            "a whole number from 1",
        ),
        (
            {
                "pieces": [
                    {
                        "case": "T",
                        "route": "hold",
                        "contents": [
                            {"gear": "A", "unit": 1, "at_mm": [0, 0], "size_mm": [1, 1, 1]}
                        ],
                    }
                ]
            },
            "pieces[0].contents[0].at_mm",
            "three lengths in mm",
        ),
        (
            {
                "pieces": [
                    {
                        "case": "T",
                        "route": "hold",
                        "contents": [{"gear": "A", "unit": 1, "at_mm": [0, 0, 0]}],
                    }
                ]
            },
            "pieces[0].contents[0].size_mm",
            "is missing",
        ),
        ({"charges": [{"leg": "out"}]}, "charges[0].pieces", "is missing"),
        ({"findings": [{"code": 3}]}, "findings[0].code", "text in quotes"),
        ({"solver": {"seconds": float("nan")}}, "solver.seconds", "a finite number"),
    ],
)
def test_what_is_wrong_is_named_by_its_path(
    changes: dict[str, Any], path: str, expected: str
) -> None:
    """Each fault names the place in the file and what should stand there."""
    with pytest.raises(PlanError) as caught:
        plan_from_json(hand_made(**changes))
    assert str(caught.value).startswith(f"{path}:")
    assert expected in str(caught.value)


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", "not JSON"),
        (b"PK\x03\x04\xff\xfe", "not UTF-8 text"),
        (b"[" * 100_000, "not JSON"),
        (b'{"pieces": [], "pieces": []}', "stands twice"),
        (b"[]", "expected an object"),
    ],
)
def test_files_that_are_no_plans(tmp_path: Path, content: bytes, expected: str) -> None:
    """Anything but a plan gets one clear sentence."""
    file = tmp_path / "plan.json"
    file.write_bytes(content)
    with pytest.raises(PlanError, match=expected):
        read_plan(file)


def test_absent_file_is_said(tmp_path: Path) -> None:
    """A wrong name is named back."""
    with pytest.raises(PlanError, match=r"none\.json cannot be read"):
        read_plan(tmp_path / "none.json")


def test_written_file_reads_back_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    """The file is written in one piece, over an older one."""
    file = tmp_path / "plan.json"
    file.write_text("old")
    write_plan(PLAN, file)
    assert read_plan(file) == PLAN
    assert [entry.name for entry in tmp_path.iterdir()] == ["plan.json"]


def test_failed_write_keeps_the_old_file(tmp_path: Path) -> None:
    """A plan that cannot be written as JSON leaves what was there."""
    from dataclasses import replace

    file = tmp_path / "plan.json"
    file.write_text("old")
    broken = replace(PLAN, solver=replace(PLAN.solver, seconds=float("inf")))
    with pytest.raises(ValueError, match="Out of range"):
        write_plan(broken, file)
    assert file.read_text() == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["plan.json"]
