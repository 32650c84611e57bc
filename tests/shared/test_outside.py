"""Whole tables against independent open packages; accepted differences are printed with reasons."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import asin, cos, radians, sin, sqrt
from typing import Any

import pytest

import shared

airportsdata = pytest.importorskip("airportsdata", reason="the test extra airportsdata is missing")
pump = pytest.importorskip("fluids.pump", reason="the test extra fluids is missing")
iso4217 = pytest.importorskip("iso4217", reason="the test extra iso4217 is missing")
pint = pytest.importorskip("pint", reason="the test extra pint is missing")
iso3166 = pytest.importorskip("iso3166", reason="the test extra iso3166 is missing")


Accept = Callable[[dict[str, object], dict[str, str]], None]


@pytest.fixture(name="accept")
def _accept(
    record_property: Callable[[str, object], None], request: pytest.FixtureRequest
) -> Accept:
    """Tells each difference with its reason at the end of the run.

    Fails on a difference without a reason, and on a reason without use.
    """

    def accept(differences: dict[str, object], reasons: dict[str, str]) -> None:
        for key, difference in sorted(differences.items()):
            told = f"{key}: {difference}: {reasons.get(key, 'NO REASON')}"
            record_property("accepted difference", f"{request.node.name}: {told}")
        assert set(differences) == set(reasons)

    return accept


NOT_ASSIGNED = {"XK": "Kosovo's code is user-assigned, not in ISO 3166-1"}


@pytest.fixture(name="pycountry")
def _pycountry() -> Any:
    """A second opinion where it is installed; its licence keeps it out of the test extra."""
    return pytest.importorskip("pycountry", reason="pycountry is not installed, nor required")


def test_countries_against_iso3166(accept: Accept) -> None:
    """All 249 codes of ISO 3166-1, iso3166 3.0.0."""
    extra = set(iso3166.countries_by_alpha2) ^ set(shared.countries())
    accept(dict.fromkeys(extra, "in iso3166 only"), NOT_ASSIGNED)
    assert len(shared.countries()) == 249


def test_country_names_share_their_first_word_with_iso3166(accept: Accept) -> None:
    """Names are abridged by hand; a swapped row would show."""
    different = {}
    for code in shared.countries():
        held = iso3166.countries_by_alpha2[code]
        own = shared.countries()[code]
        if own.name.split()[0].strip(",") not in f"{held.name} {held.apolitical_name}":
            different[code] = (own.name, held.name)
    accept(different, {"NR": "the package gives the name in the country's own language"})


def test_countries_against_pycountry(pycountry: Any) -> None:
    """The same codes in a second package, pycountry 26.2.16."""
    assert set(shared.countries()) == {held.alpha_2 for held in pycountry.countries}


def test_currencies_against_iso4217(accept: Accept) -> None:
    """Code, number, decimals and name of every currency, iso4217 1.16.20260101."""
    theirs = {
        held.code: (held.code, held.exponent, str(held.number).zfill(3))
        for held in iso4217.Currency
    }
    ours = {
        held.code: (held.code, held.decimals, held.number) for held in shared.currencies().values()
    }
    keys = {key for key in theirs | ours if theirs.get(key) != ours.get(key)}
    no_minor = "has no minor unit in ISO 4217: no price can be given in it"
    reasons = {key: no_minor for key, (_, exponent, _) in theirs.items() if exponent is None} | {
        "XDR": "kept with 2 decimals, so that a rate for the special drawing right can be given"
    }
    accept({key: (ours.get(key), theirs.get(key)) for key in keys}, reasons)
    assert len(reasons) == 13


def test_currencies_against_pycountry(pycountry: Any) -> None:
    """The same codes in a second package: no withdrawn one is left, none is missing."""
    theirs = {held.alpha_3 for held in pycountry.currencies}
    missing = theirs - set(shared.currencies())
    with_minor = {held.code for held in iso4217.Currency if held.exponent is not None}
    assert set(shared.currencies()) <= theirs
    assert not missing & with_minor


# Rows where the two lists of 2017 disagree and the table keeps its own value, or the wider set.
MAINS_DIFFERENCES = {
    "BR": "127 V is in use beside 220 V, by region",
    "CL": "the first list has C beside L",
    "JP": "50 and 60 Hz, by region",
    "SA": "230 V beside 220 V; the wider set is kept",
    "MA": "127 V beside 220 V in the first list; the wider set is kept",
    "ZA": "D M in the first list, F M in the second",
    "MY": "240 V and A in the first list; the wider set is kept",
    "ID": "110 and 220 V in the first list, 230 V in the second; the wider set is kept",
    "PH": "C in the first list; the wider set is kept",
    "VN": "F in the first list; the wider set is kept",
    "HK": "only in the first list",
}


def test_mains_against_fluids(accept: Accept) -> None:
    """Voltage, frequency and plugs of 203 territories, fluids 1.3.1 residential_power."""
    theirs = {
        code.upper(): ((power.voltage,), (power.freq,), tuple(sorted(power.plugs)))
        for code, power in pump.residential_power.items()
    }
    assert theirs.pop("XK")  # Kosovo is not in ISO 3166-1
    ours = {
        held.alpha2: (held.volts, held.hertz, tuple(sorted(held.plugs)))
        for held in shared.all_mains()
    }
    keys = {key for key in theirs | ours if theirs.get(key) != ours.get(key)}
    accept({key: (ours.get(key), theirs.get(key)) for key in keys}, MAINS_DIFFERENCES)


def test_rows_read_from_one_list_say_so() -> None:
    """`agreement` tells how well a row is known."""
    known = {held.agreement.partition(":")[0] for held in shared.all_mains()}
    assert known == {
        "two lists agree",
        "lists differ",
        "only in the first list",
        "only the second list read",
    }
    for held in shared.all_mains():
        if held.alpha2 in MAINS_DIFFERENCES and held.alpha2 != "HK":
            assert held.agreement.startswith("lists differ")


@pytest.mark.parametrize(
    ("code", "volts", "hertz", "plugs"),
    [
        # world-plugs.csv of benjiao/world-plugs at c1e44266 (IEC World Plugs)
        ("US", (120,), (60,), "A B"),
        ("AU", (230,), (50,), "I"),
        ("FR", (230,), (50,), "C E"),
        ("CH", (230,), (50,), "C J"),
        ("IL", (230,), (50,), "C H M"),
        ("JP", (100,), (50, 60), "A B"),
        ("GB", (230,), (50,), "G"),
        ("UY", (230,), (50,), "C F I L"),
        ("DK", (230,), (50,), "C E F K"),
        ("BR", (127, 220), (60,), "C N"),
    ],
)
def test_mains_of_the_first_list(
    code: str, volts: tuple[int, ...], hertz: tuple[int, ...], plugs: str
) -> None:
    """Rows as the list of the standards body has them."""
    held = shared.mains(code)
    assert held is not None
    assert (held.volts, held.hertz, " ".join(held.plugs)) == (volts, hertz, plugs)
    assert {"C", "M", "N"} <= set(shared.mains("ZA").plugs)  # type: ignore[union-attr]


def test_units_against_pint() -> None:
    """Each unit of mass and length within the noise of floats, pint 0.25.3."""
    registry = pint.UnitRegistry()
    named = {'"': "in", "″": "in", "”": "in", "'": "ft", "′": "ft", "’": "ft"}
    named |= {"kgs": "kg", "kilo": "kg", "kilos": "kg", "lbs": "lb"}
    for units, base in ((shared.MASS_UNITS, "g"), (shared.LENGTH_UNITS, "mm")):
        for spelling, factor in units.items():
            theirs = (1 * registry(named.get(spelling, spelling))).to(base).magnitude
            assert float(factor) == pytest.approx(theirs, rel=1e-12), spelling


def test_unit_factors_are_exact() -> None:
    """Yard and pound of 1959: 0.45359237 kg and 25.4 mm; the products follow."""
    pound, inch = shared.MASS_UNITS["lb"], shared.LENGTH_UNITS["in"]
    assert pound == Fraction("453.59237")
    assert pound == 16 * shared.MASS_UNITS["oz"]
    assert inch == Fraction("25.4")
    assert shared.LENGTH_UNITS["ft"] == 12 * inch
    assert 50 * pound == Fraction("22679.61850")  # 22.68 kg, not 23 kg
    assert 70 * pound == Fraction("31751.46590")
    assert 165 * pound == Fraction("74842.74105")
    assert 150 * inch == Fraction("3810.00")
    assert 62 * inch == Fraction("1574.8")


def test_airports_against_airportsdata() -> None:
    """Code, country and place of every airport, airportsdata 20260905 (its own excerpt)."""
    theirs = airportsdata.load("IATA")
    assert set(shared.airports()) == set(theirs)
    for code, held in shared.airports().items():
        assert held.country == theirs[code]["country"]
        assert held.latitude == pytest.approx(theirs[code]["lat"], abs=6e-5)
        assert held.longitude == pytest.approx(theirs[code]["lon"], abs=6e-5)


def test_countries_of_airports_are_countries(accept: Accept) -> None:
    """Whatever is in no list of countries cannot be worked out."""
    unknown = {held.country for held in shared.airports().values()} - set(shared.countries())
    reasons = {"XK": "Kosovo is not in ISO 3166-1"} if "XK" in unknown else {}
    accept(dict.fromkeys(unknown, "in airports only"), reasons)


def great_circle_km(one: str, other: str) -> float:
    """Haversine on the mean radius, from the table's places."""
    a, b = shared.airports()[one], shared.airports()[other]
    north = radians(b.latitude - a.latitude)
    east = radians(b.longitude - a.longitude)
    across = cos(radians(a.latitude)) * cos(radians(b.latitude)) * sin(east / 2) ** 2
    half = sqrt(sin(north / 2) ** 2 + across)
    return 2 * shared.earth_figures().mean_radius_m / 1000 * asin(half)


@pytest.mark.parametrize(
    ("one", "other", "km"),
    # Haversine on 6371.0088 km with airportsdata 20260905, computed apart
    [
        ("LHR", "JFK", 5539.6),
        ("LHR", "ZRH", 788.1),
        ("CDG", "NRT", 9709.9),
        ("JFK", "GRU", 7664.0),
    ],
)
def test_places_of_airports(one: str, other: str, km: float) -> None:
    """A row with swapped or wrong degrees would be far off."""
    assert great_circle_km(one, other) == pytest.approx(km, abs=0.05)
