"""Which goods are electrical for customs, and how a row says that there is no serial."""

from __future__ import annotations

import pytest

from packer.model.serials import is_electrical, says_no_serial
from packer.model.trip import Battery, Chemistry, Gear, RadioRange

ION = Battery(Chemistry.LITHIUM_ION, energy_mwh=50_000)
LOOSE = Battery(Chemistry.LITHIUM_ION, energy_mwh=50_000, spare=True)


def gear(**cells: object) -> Gear:
    """An invented line."""
    return Gear("G", "thing", 1, 500, **cells)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("line", "electrical"),
    [
        # gov.uk handbook on carnets: electrical items, electric instruments included
        (gear(mains="230 V"), True),
        (gear(battery=ION), True),
        (gear(radio=(RadioRange(863_000, 865_000),)), True),
        (gear(hs="9207.90"), True),
        (gear(hs="920790"), True),
        (gear(hs="8543 70"), True),
        (gear(hs="9206.00"), False),
        (gear(), False),
        # the same: cables may be one set of cables; cells, plugs and aerials are judgement
        (gear(hs="8544.42", mains="230 V"), False),
        (gear(hs="8507.60", battery=ION), False),
        (gear(battery=LOOSE), False),
        (gear(plug="F"), False),
    ],
)
def test_what_is_electrical(line: Gear, electrical: bool) -> None:
    """By battery, radio, mains or heading; some headings say no."""
    assert is_electrical(line) is electrical


@pytest.mark.parametrize("text", ["NSN", " nsn ", "none", "No serial number", "n/a", "-"])
def test_words_for_no_serial(text: str) -> None:
    """gov.uk handbook: `NSN`; the rest is how people write it."""
    assert says_no_serial(text)


@pytest.mark.parametrize("text", ["", "A1", "NSN-4", "none of these"])
def test_other_texts_are_serials(text: str) -> None:
    """An empty cell states nothing."""
    assert not says_no_serial(text)
