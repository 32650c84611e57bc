"""The catalogue: each rule has a whole page and a stable code, and never promises anything."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import packer.rules
from packer.model.finding import Severity
from packer.rules import RulePage, catalogue, page
from packer.rules.catalogue import FAMILIES, PARTS, RETIRED, Found, rule
from packer.rules.scope import Scope

PAGES = catalogue()
FOLDER = Path(packer.rules.__file__).parent


@pytest.mark.parametrize("held", PAGES, ids=lambda held: held.code)
def test_each_page_is_whole(held: RulePage) -> None:
    """What, why, source, an example that fails, one that passes, limits, who decides."""
    for part in PARTS:
        assert len(getattr(held, part.lower())) > 8, part
    assert re.fullmatch(r"[A-Z].*\.", held.title)
    assert held.family in FAMILIES
    assert held.text().startswith(held.code)


@pytest.mark.parametrize("held", PAGES, ids=lambda held: held.code)
def test_each_source_has_a_date_or_says_that_none_is_published(held: RulePage) -> None:
    """A rule of the trade is marked; anything else can be looked up."""
    undated = ("common practice, no published source", "undated", "workbook", "stop's own data")
    dated = re.search(r"\b(19|20)\d\d\b", held.source)
    assert dated or any(word in held.source for word in undated)


@pytest.mark.parametrize("held", PAGES, ids=lambda held: held.code)
def test_no_rule_stops_planning(held: RulePage) -> None:
    """Law and carrier are warnings and notes; errors are for input that cannot be planned."""
    assert held.severity in (Severity.WARNING, Severity.NOTE)


def test_every_family_has_rules() -> None:
    """A family without a rule would be an empty promise."""
    assert {held.family for held in PAGES} == set(FAMILIES)


def test_the_catalogue_is_in_a_fixed_order() -> None:
    """By family, then by code; each code once."""
    keys = [(held.family, held.code) for held in PAGES]
    assert keys == sorted(set(keys))


CODES = """
battery-data-missing battery-energy-mismatch battery-forbidden-aboard battery-needs-approval
cabin-case-over-limit carnet-acceptance-open carnet-expires-on-trip carnet-issued-after-start
carnet-items-do-not-run carnet-without-issue-date case-over-size-limit consumable-on-customs-list
customs-list-totals customs-origin-missing customs-value-missing device-in-hold-switched-off
estimated-weights-near-limit freight-cut-off-after-start freight-cut-off-passed
freight-divisor-unusual freight-value-above-liability goods-added-after-issue heading-badly-written
heading-no-longer-exists heavy-piece hold-value-above-liability home-country-missing
identical-goods-on-two-lines left-off-the-vouchers liability-not-compared
limit-above-usual-handling limit-in-pounds-or-inches lithium-device-by-freight
loose-battery-by-freight mains-frequency-mismatch mains-frequency-not-stated mains-not-understood
mains-of-country-unknown mains-voltage-by-region mains-voltage-mismatch material-not-in-table
no-cabin-piece-for-cabin-gear no-customs-paper-named object-needs-two-people
packaging-is-no-description piece-needs-two-people plug-needs-adapter power-bank-without-battery
radio-devices-overlap radio-intermodulation radio-licence-needed radio-outside-stop-ranges
radio-partly-outside-stop-ranges radio-range-closed radio-ranges-unknown radio-same-frequency
role-without-spare serial-missing serials-do-not-match-units spare-battery-in-hold
spare-battery-terminals species-certificate-expires species-exempt-instrument species-papers-needed
ticket-rules-differ too-many-battery-devices too-many-lead-acid-batteries too-many-medium-batteries
too-many-power-banks too-many-spare-batteries tool-in-cabin us-instrument-rule
value-not-known-for-insurance vouchers-for-route
"""


def test_codes_stay() -> None:
    """A code that is dropped goes to RETIRED and never comes back; a new one is added here."""
    assert {held.code for held in PAGES} == set(CODES.split()) - RETIRED


def test_a_taken_or_badly_written_code_is_refused() -> None:
    """Codes are never reused, and are words joined by hyphens."""

    def check(scope: Scope) -> Iterator[Found]:
        yield Found(scope.trip.name)

    for code, family in (
        ("spare-battery-in-hold", "batteries"),
        ("Spare_Battery", "batteries"),
        ("spare-battery-somewhere", "no such family"),
    ):
        with pytest.raises(ValueError, match=r"taken|small letters|unknown family"):
            rule(code, family, Severity.NOTE)(check)


def test_an_unknown_code_has_no_page() -> None:
    """The caller says so to people."""
    with pytest.raises(KeyError):
        page("no-such-rule")


SAYING = [
    *sorted(FOLDER.glob("*.py")),
    *(FOLDER.parent / name for name in ("law.py", "cli/reckon.py", "papers/tables/power.py")),
    *(FOLDER.parents[1] / "shared" / name for name in ("radio_facts.csv", "species.csv")),
]


@pytest.mark.parametrize("path", SAYING, ids=lambda path: path.stem)
def test_nothing_is_called_safe_or_legal(path: Path) -> None:
    """A rule says what it found and who decides."""
    words = re.findall(
        r"\b(safe|safely|legal|legally|guaranteed|approved|compliant)\b",
        path.read_text(encoding="utf-8"),
        re.I,
    )
    assert not words


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.py")), ids=lambda path: path.stem)
def test_no_figure_from_outside_stands_in_code(path: Path) -> None:
    """Limits live in `shared`: the code holds no bare number above the small ones of arithmetic."""
    source = re.sub(r'"""(.|\n)*?"""', "", path.read_text(encoding="utf-8"))
    source = re.sub(r"#.*|r?f?\"[^\"\n]*\"", "", source)
    numbers = {int(n) for n in re.findall(r"(?<![\w.])\d[\d_]*(?![\w.])", source)}
    allowed = {0, 1, 2, 3, 4, 5, 6, 8, 10, 100, 1000} | PERMITTED.get(path.stem, set())
    assert numbers <= allowed, numbers - allowed


PERMITTED = {
    "lifting": {45, 90},  # the degrees that the figures' names carry
    "carnet": {28},  # February
    "customs_list": {10_000},  # a longer range of items is a slip of the pen
}


def test_the_decorated_function_is_still_callable() -> None:
    """Registering changes nothing about the function."""
    from packer.rules.roles import without_spare

    assert inspect.isgeneratorfunction(without_spare)


def test_a_page_as_json_holds_every_part() -> None:
    """The API serves it as it is."""
    held = page("spare-battery-in-hold").to_json()
    assert {"code", "family", "severity", "title", *(part.lower() for part in PARTS)} <= set(held)
    assert held["severity"] == "warning"
