"""Plug letters, the sockets that they enter, and the adapter that is needed where they do not."""

from __future__ import annotations

import pytest

import shared
from packer.model.plugs import adapter, fits, parse_plugs


@pytest.mark.parametrize(
    ("text", "letters"),
    [
        ("G", "G"),
        ("type E/F", "EF"),
        ("Type C", "C"),
        ("C13", ""),
        ("euro", ""),
        ("A, B", "AB"),
        ("g", "G"),
        ("type e/f", "EF"),
        ("a lead", ""),
        ("Type G (fused)", "G"),
    ],
)
def test_plugs(text: str, letters: str) -> None:
    """Letters A to O that stand alone."""
    assert "".join(parse_plugs(text)) == letters


@pytest.mark.parametrize(
    ("plug", "country", "enters"),
    [
        ("G", "CH", False),  # an adapter from G to J
        ("C", "CH", True),
        ("G", "GB", True),
        ("J", "CH", True),
        ("F", "FR", True),  # the usual hybrid plug, from memory
        ("F", "CH", False),
        ("C", "GB", False),
        ("C", "FR", True),
        ("A", "US", True),
        ("B", "JP", True),
        ("I", "AU", True),
        ("I", "AR", True),
        ("H", "IL", True),
        ("M", "ZA", True),
        ("N", "ZA", True),
        ("G", "US", False),
    ],
)
def test_what_fits_where(plug: str, country: str, enters: bool) -> None:
    """Sockets by country: world-plugs.csv and fluids 1.3.1, 2017."""
    supply = shared.mains(country)
    assert supply is not None
    assert fits(plug, supply.plugs) is enters


@pytest.mark.parametrize(
    ("plugs", "country", "needs"),
    # Sockets by country: world-plugs.csv and fluids 1.3.1, 2017; which have an earth: from memory
    [
        ("G", "CH", "G to J"),
        ("G", "FR", "G to E"),
        ("F", "GB", "F to G"),
        ("F", "CH", "F to J"),
        ("C", "GB", "C to G"),
        ("B", "UY", "B to F or I or L"),
        ("G", "TW", "G to B"),
        ("EF", "FR", ""),
        ("GJ", "CH", ""),
    ],
)
def test_the_adapter_is_named(plugs: str, country: str, needs: str) -> None:
    """From the plug to an earthed socket of the country; none where one of the plugs enters."""
    supply = shared.mains(country)
    assert supply is not None
    assert adapter(tuple(plugs), supply.plugs) == needs


def test_where_no_socket_has_an_earth_any_is_named() -> None:
    """Some countries have A or C only."""
    assert adapter(("G",), ("A", "C")) == "G to A or C"
