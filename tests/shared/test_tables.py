"""The tables load, every figure says where it comes from, and the types are what they claim."""

from __future__ import annotations

import dataclasses
import re
import subprocess
import sys
from datetime import date
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import get_type_hints

import pytest

import shared
from shared import records
from shared.records import Label

FOLDER = Path(shared.__file__).parent
LABELS = {label.value for label in Label}
GROUPS = [
    shared.baggage_figures,
    shared.battery_limits,
    shared.cabin_figures,
    shared.carnet_figures,
    shared.claim_figures,
    shared.earth_figures,
    shared.freight_figures,
    shared.mains_figures,
    shared.niosh_figures,
    shared.rack_figures,
    shared.radio_figures,
    shared.species_figures,
    shared.team_figures,
    shared.us_instrument_limits,
]


@pytest.mark.parametrize("name", shared.table_names())
def test_each_table_and_figure_has_source_edition_and_label(name: str) -> None:
    """Nothing from outside stands here without its origin."""
    origin = shared.origin_of(name)
    assert len(origin.source) > 10
    assert origin.edition
    assert origin.label in LABELS or origin.label == "by row"


def test_each_data_file_is_named_in_the_sources() -> None:
    """A table that is added without a source fails here."""
    files = {path.name for path in FOLDER.glob("*.csv")}
    assert files == {name for name in shared.table_names() if name.endswith(".csv")}


@pytest.mark.parametrize("name", [n for n in shared.table_names() if n.endswith(".csv")])
def test_tables_labelled_by_row_have_a_label_in_each_row(name: str) -> None:
    """`by row` is a promise."""
    if shared.origin_of(name).label == "by row":
        lines = (FOLDER / name).read_text(encoding="utf-8").strip().splitlines()
        assert lines[0].endswith(",label")
        assert {line.rsplit(",", 1)[1] for line in lines[1:]} <= LABELS


@pytest.mark.parametrize("group", GROUPS)
def test_figures_have_the_types_that_they_declare(group: object) -> None:
    """A decimal written as text is exact, a list is a tuple, a date is a date."""
    held = group()  # type: ignore[operator]
    hints = get_type_hints(type(held))
    for field in dataclasses.fields(held):
        value, declared = getattr(held, field.name), hints[field.name]
        if declared in (int, bool, str, date, Fraction):
            assert type(value) is declared, field.name
        else:
            assert isinstance(value, tuple), field.name
            inner = declared.__args__[0]
            assert all(type(item) is inner for item in value), field.name


def test_every_group_of_figures_has_a_type() -> None:
    """A figure in the file that no type names would never be seen."""
    named = {name.partition(".")[0] for name in shared.table_names() if not name.endswith(".csv")}
    assert len(named) == len(GROUPS)


def test_loading_is_quick_and_needs_the_standard_library_only() -> None:
    """The command's help must answer at once."""
    code = (
        "import sys; before = set(sys.modules); import shared; "
        "new = {m.partition('.')[0] for m in set(sys.modules) - before}; "
        "print(sorted(new - set(sys.stdlib_module_names)))"
    )
    answer = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=FOLDER.parent, check=True
    )
    assert answer.stdout.strip() == "['shared']"


def test_no_such_row_is_none() -> None:
    """`UK` is not assigned in ISO 3166-1: the United Kingdom is `GB`; XK is not in it either."""
    assert shared.country("UK") is None
    assert shared.country("XK") is None
    assert shared.country("GB") is not None
    assert shared.currency("HRK") is None
    assert shared.currency("BGN") is None
    assert shared.mains("GL") is None
    assert shared.airport("???") is None
    assert shared.heading("8525.80") is None


def test_values_are_frozen() -> None:
    """One caller cannot change another's table."""
    held = shared.currency("EUR")
    assert held is not None
    with pytest.raises(dataclasses.FrozenInstanceError):
        held.decimals = 3  # type: ignore[misc]
    with pytest.raises(TypeError):
        shared.currencies()["EUR"] = held  # type: ignore[index]


@pytest.mark.parametrize(
    ("code", "decimals"),
    # ISO 4217, as in iso4217 1.16.20260101
    [
        *(("JPY", 0), ("KRW", 0), ("ISK", 0), ("CLP", 0), ("KWD", 3), ("BHD", 3), ("TND", 3)),
        *(("GBP", 2), ("USD", 2), ("EUR", 2), ("CHF", 2), ("HUF", 2), ("TWD", 2)),
    ],
)
def test_currencies_have_their_own_decimals(code: str, decimals: int) -> None:
    """Money follows the currency's minor unit."""
    held = shared.currency(code)
    assert held is not None
    assert held.decimals == decimals


def test_the_union_is_one_customs_territory() -> None:
    """HMRC ATACPD05000: export and exit may be in different member states."""
    members = [code for code in shared.countries() if shared.territory(code) == "EU"]
    assert {"FR", "DE", "PT", "IE", "HR", "BG"} <= set(members)
    assert not {"GB", "CH", "NO", "IS", "TR"} & set(members)
    assert len(members) == 27 + 8  # member states, and parts of its customs territory
    assert shared.territory("LI") == "CH"
    assert shared.territory("PR") == "US"  # 19 CFR 114.3
    assert shared.territory("JP") == "JP"


@pytest.mark.parametrize(
    ("day", "baggage", "cargo"),
    [
        # iftta.org, augustaabogados.com, hwlebsworth.com.au and forwarderlaw.com on the revisions
        (date(2009, 12, 29), 1000, 17),
        (date(2009, 12, 30), 1131, 19),
        (date(2019, 12, 28), 1288, 22),
        (date(2024, 12, 1), 1288, 22),
        (date(2024, 12, 27), 1288, 22),
        (date(2024, 12, 28), 1519, 26),
        (date(2025, 6, 1), 1519, 26),
    ],
)
def test_liability_limits_change_on_their_day(day: date, baggage: int, cargo: int) -> None:
    """A limit holds from its first day on."""
    limits = shared.liability_on(day)
    assert limits is not None
    assert (limits.baggage_sdr, limits.cargo_sdr_per_kg) == (baggage, cargo)


def test_there_is_no_limit_before_the_convention() -> None:
    """None is not zero."""
    assert shared.liability_on(date(1999, 1, 1)) is None


def test_headings_are_well_formed_and_none_is_removed() -> None:
    """HS 2022: six figures with a point; 8525.80 and others are gone."""
    assert all(re.fullmatch(r"\d{4}\.\d{2}", code) for code in shared.headings())
    assert not set(shared.headings()) & set(shared.removed_headings())
    assert not {code[:4] for code in shared.headings()} & set(shared.removed_headings())


@pytest.mark.parametrize(
    ("code", "title"),
    [
        # harmonized-system.csv of datasets/harmonized-system at 905e5a0f, abridged
        ("8518.10", "microphones and stands therefor"),
        ("9207.10", "keyboard instruments, electrically produced or amplified sound"),
        ("9207.90", "other instruments, electrically produced or amplified sound"),
        ("8525.89", "television, digital and video cameras, other"),
    ],
)
def test_headings_have_their_titles(code: str, title: str) -> None:
    """Spot checks against the file."""
    held = shared.heading(code)
    assert held is not None
    assert held.title == title


def test_headings_that_no_longer_exist() -> None:
    """Checked by program as absent from the file of HS 2022."""
    gone = {"8525.80", "8517.12", "8517.70", "9405.10", "9405.20", "9405.40", "9405.60"}
    assert set(shared.removed_headings()) == gone | {"9203", "9204"}


def test_the_narrower_species_stand_first() -> None:
    """Brazilian rosewood must not be read as rosewood of any kind."""
    order = [held.material for held in shared.species()]
    assert order.index("Brazilian rosewood (Dalbergia nigra)") < order.index(
        "Rosewood, other Dalbergia"
    )
    kinds = {"papers", "exempt", "exempt if not sold"}
    assert all(held.finished_instrument in kinds for held in shared.species())


def test_rack_figures() -> None:
    """EIA-310: 1.75 in a unit, holes 15.875 + 15.875 + 12.70 mm (audiorax.com); 19 in panels."""
    rack = shared.rack_figures()
    assert rack.hole_spacing_um == (15_875, 15_875, 12_700)
    assert sum(rack.hole_spacing_um) == rack.aperture_um(1) == Fraction("1.75") * 25_400
    assert rack.panel_width_um == 19 * 25_400
    assert rack.opening_width_um == Fraction("17.75") * 25_400


@pytest.mark.parametrize(
    ("units", "panel_um"), [(1, 43_660), (2, 88_110), (4, 177_010), (42, 1_866_110)]
)
def test_heights_of_rack_panels(units: int, panel_um: int) -> None:
    """srs-products.co.uk/rack_unit: 44.45 n - 0.79 mm."""
    assert shared.rack_figures().panel_height_um(units) == panel_um


def test_height_of_a_rack_opening() -> None:
    """12 units of 44.45 mm (audiorax.com) are 533.40 mm."""
    assert shared.rack_figures().aperture_um(12) == 533_400


def test_frequency_table_has_every_row_and_falls() -> None:
    """DHHS (NIOSH) 94-110, Table 5: 17 paces for each of three durations, never rising."""
    rows = shared.lifting_frequency()
    for within in ("1 h", "2 h", "8 h"):
        held = [row for row in rows if row.within == within]
        assert len(held) == 17
        for one, other in pairwise(held):
            assert one.lifts_per_min < other.lifts_per_min
            assert one.below_75_cm >= other.below_75_cm
            assert one.from_75_cm >= other.from_75_cm
        assert all(row.below_75_cm <= row.from_75_cm for row in held)


def test_records_are_documented() -> None:
    """Each type says what it holds."""
    types = [held for held in vars(records).values() if dataclasses.is_dataclass(held)]
    assert all(held.__doc__ and not held.__doc__.startswith(held.__name__ + "(") for held in types)
