"""Causes that only show together: one tiny trip for each, figures by hand."""

from dataclasses import replace
from datetime import date

import pytest
from support.searches import all_fly
from support.trips import generate
from support.workbooks import minimal_trip, write_workbook

from packer.decide import decide
from packer.decide.problem import build
from packer.decide.shortfalls import UNTOLD, causes_together
from packer.decide.watch import Watch
from packer.model.finding import Severity
from packer.model.outcome import Outcome
from packer.model.solving import Limits, Wishes
from packer.model.trip import (
    Box,
    Carry,
    Case,
    CaseKind,
    Choice,
    Concept,
    Gear,
    Leg,
    Rule,
    Stop,
    Trip,
)
from packer.reading import read_trip

LIMITS = Limits(seconds=60, workers=1)
PIER = "Invented pier"
RULE = Rule(
    "Plain", Concept.PIECE, 30_000, 30_000, extra_minor=(0, 0, 0), cabin_weight_g=8_000,
    cabin_mm=(600, 600, 600),
)  # fmt: skip
CUBE = Box(500, 500, 500)


def box(name: str, inside: Box = CUBE, carry: Carry = Carry.HOLD) -> Case:
    """A box of 5 kg; with the margin of 0.5 kg it takes 24.5 kg of contents in the hold."""
    return Case(name, name, CaseKind.BOX, Box(520, 520, 520), 5_000, inside=inside, carry=carry)


def vault(name: str, slots: int = 2) -> Case:
    """A case with slots for horns."""
    return Case(name, "VAULT", CaseKind.SLOTS, Box(520, 520, 520), 5_000, slot="horn", slots=slots)


def line(name: str, quantity: int = 1, weight_g: int = 1_000, **more: object) -> Gear:
    """Gear that must fly, 100 mm on each side unless told otherwise."""
    known: dict[str, object] = {
        "size": Box(100, 100, 100), "choice": Choice.FLY, "needed_at": (PIER,), **more
    }  # fmt: skip
    return Gear(name, name.lower(), quantity, weight_g, **known)  # type: ignore[arg-type]


def trip(gear: list[Gear], cases: list[Case], cabin: int = 0) -> Trip:
    """One show, one flight, nothing to hire."""
    return Trip(
        name="Invented impossible trip", home_country="DE", currency="EUR",
        stops=(Stop(PIER, "NO", date(2026, 7, 4)),),
        legs=(Leg("OUT", "Home", PIER, date(2026, 7, 3), "Plain", 2, cabin),),
        rules=(RULE,), gear=tuple(gear), cases=tuple(cases),
    )  # fmt: skip


def causes(given: Trip) -> list[tuple[str, str, str]]:
    """(code, subject, message) of each cause; the outcome has to be impossible."""
    answer = decide(given, LIMITS)
    assert answer.outcome is Outcome.IMPOSSIBLE
    assert all(cause.severity is Severity.ERROR for cause in answer.causes)
    return [(cause.code, cause.subject, cause.message) for cause in answer.causes]


def test_a_role_whose_units_fit_one_case_only():
    """Two drones, one to survive, and only one vault."""
    drones = line("DRONE", 2, slot="horn", role="Drone", role_needs=1)
    [(code, subject, message)] = causes(trip([drones], [vault("VAULT-1"), box("BOX")]))
    assert (code, subject) == ("role-cannot-be-split", "Drone")
    assert "no one case may hold more than 1" in message
    assert "2 must fly, only in VAULT-1; some case holds at least 1 too many" in message


def test_too_few_slots():
    """Seven horns and two vaults with two slots each: three too many, two more vaults."""
    horns = line("HORN", 7, slot="horn")
    [(code, _, message)] = causes(trip([horns], [vault("VAULT-1"), vault("VAULT-2")]))
    assert code == "too-few-cases"
    assert "7 units need 7 slots and VAULT-1 and VAULT-2 have 4: 3 slots too many" in message
    assert "with 2 more cases like VAULT-1 it would" in message


def test_too_few_rack_units():
    """Three of 2.5 U in 4 U: 3.5 U too many."""
    amp = line("AMP", 3, rack_half_units=5, depth_mm=300)
    rack = Case(
        "RACK", "RACK", CaseKind.RACK, Box(520, 520, 520), 5_000, rack_half_units=8,
        rack_depth_mm=400,
    )  # fmt: skip
    [(code, _, message)] = causes(trip([amp], [rack]))
    assert code == "too-few-cases"
    assert "3 units need 7.5 U and RACK has 4: 3.5 U too many" in message
    assert "2 more cases" in message


def test_too_heavy_in_all_says_the_grams_and_the_ways_out():
    """Three of 9 kg in one box that takes 24.5 kg: 2.5 kg too many; or one stays at home."""
    answer = decide(trip([line("LEAD", 3, 9_000)], [box("BOX")]), LIMITS)
    [cause] = answer.causes
    assert cause.code == "too-few-cases"
    assert "need 27.00 kg and BOX has 24.50: 2.50 kg too many" in cause.message
    assert "hold pieces 2.50 kg heavier than allowed" in cause.remedy
    assert "1 of LEAD not flying" in cause.remedy


def test_places_alone_forbid():
    """Nine cubes of 195 + 5 mm need 3 x 3 x 3 in 500 mm: only 2 x 2 x 2 go in."""
    cubes = line("CUBE", 9, 100, size=Box(195, 195, 195))
    [(code, subject, message)] = causes(trip([cubes], [box("BOX")]))
    assert (code, subject) == ("too-few-cases", "BOX")
    assert "by weight and place together; with 1 more case like BOX it would" in message


def test_a_bundle_too_heavy_for_one_case():
    """13 + 12 kg in one case of 24.5 kg: 0.5 kg too heavy, two cases would do."""
    gear = [line("HEAD", 1, 13_000, pack_with="Rig"), line("SPEAKER", 1, 12_000, pack_with="Rig")]
    [(code, subject, message)] = causes(trip(gear, [box("BOX-1"), box("BOX-2")]))
    assert (code, subject) == ("bundle-in-no-case", "Rig")
    assert "weighs 25.00 kg" in message
    assert "BOX-1, takes 24.50 kg: 0.50 kg too heavy" in message
    assert "it takes 2 cases" in message


def test_a_bundle_of_which_no_case_takes_all():
    """Only in sends the two halves of a bundle apart."""
    gear = [line("A", only_in=("BOX-1",), pack_with="Pair"),
            line("B", only_in=("BOX-2",), pack_with="Pair")]  # fmt: skip
    [(code, _, message)] = causes(trip(gear, [box("BOX-1"), box("BOX-2")]))
    assert code == "bundle-in-no-case"
    assert "no case takes all of it" in message


def test_too_few_cabin_pieces():
    """Two laptops, a bag for each, and one piece free: one too many."""
    laptops = line("LAPTOP", 2, 2_000, carry=Carry.CABIN, size=Box(400, 400, 300))
    bags = [box(name, carry=Carry.CABIN) for name in ("BAG-1", "BAG-2")]
    [(code, subject, message)] = causes(trip([laptops], bags, cabin=1))
    assert (code, subject) == ("too-few-cabin-pieces", "OUT")
    assert "takes 2 cabin pieces, but only 1 is free on OUT: 1 too many" in message


def test_two_causes_that_have_nothing_to_do_with_each_other():
    """A role and the slots: relaxing only one leaves the other."""
    drones = line("DRONE", 2, only_in=("BOX",), role="Drone", role_needs=1)
    horns = line("HORN", 3, slot="horn")
    found = causes(trip([drones, horns], [box("BOX"), vault("VAULT")]))
    assert {code for code, _, _ in found} == {"role-cannot-be-split", "too-few-cases"}
    assert all("1 more cause listed go together" in message for _, _, message in found)


def test_a_cause_stands_at_the_cell_of_the_workbook(tmp_path):
    """The horns must fly, one must survive, and may only go in one trunk."""
    sheets = minimal_trip()
    sheets["Trip"][-1]["Value"] = "yes"
    sheets["Gear"][0].update(
        {"Role": "Melody", "Role needs": 1, "Source": "fly", "Only in": "TRUNK-1"}
    )
    for side in ("Length", "Width", "Height"):
        sheets["Gear"][0][side] = 10
    given = read_trip(write_workbook(tmp_path / "trip.xlsx", sheets)).trip
    assert given is not None
    [cause] = decide(given, LIMITS).causes
    assert cause.code == "role-cannot-be-split"
    assert cause.where is not None
    assert (cause.where.sheet, cause.where.heading) == ("Gear", "Role")


@pytest.mark.parametrize("seed", range(1, 5))
@pytest.mark.parametrize("size", ["tiny", "compact", "small"])
def test_the_role_of_generated_trips_is_named(size, seed):
    """Each has the role Drone, which flies whole in one box."""
    assert [c[:2] for c in causes(generate("impossible-role", size, seed))] == [
        ("role-cannot-be-split", "Drone")
    ]


def test_without_time_the_cause_says_so():
    """Never empty; no claim is made of which limits they are."""
    cubes = line("CUBE", 9, 100, size=Box(195, 195, 195))
    problem = build(trip([cubes], [box("BOX")]), Wishes())
    late = Watch(replace(LIMITS, seconds=0.0), lambda: False)
    assert causes_together(problem, late) == (UNTOLD,)


@pytest.mark.parametrize("flavour", ["weight-bound", "bulky", "batteries"])
def test_of_a_large_trip_each_shortage_is_named_with_its_figures(flavour):
    """Sixty cases and all must fly: kilograms, litres, slots and cabin pieces conflict at once,
    and counting names each though the model of all together is too large."""
    answer = decide(all_fly(flavour, 1, "large"), replace(LIMITS, seconds=3.0))
    assert answer.outcome is Outcome.IMPOSSIBLE
    assert {cause.code for cause in answer.causes} >= {"too-few-cases"}
    assert len(answer.causes) >= 4
    assert all("too many" in cause.message for cause in answer.causes)
    assert all("This alone forbids every plan" in cause.message for cause in answer.causes)


def test_what_counting_alone_shows_claims_no_more_than_it_proves():
    """Without time to pack, two more vaults are the least, not enough."""
    horns = line("HORN", 7, slot="horn")
    given = build(trip([horns], [vault("VAULT-1"), vault("VAULT-2")]), Wishes())
    [cause] = causes_together(given, Watch(LIMITS, lambda: True))
    assert "3 slots too many; it takes 2 more cases like VAULT-1 at least" in cause.message
    assert "This alone forbids every plan" in cause.message
