"""Listed materials: what needs papers, what is reported as exempt."""

from __future__ import annotations

from datetime import date

import pytest

from packer.rules.species import all_species, certificate_until, needs_papers, species_of

BEFORE, AFTER = date(2026, 3, 4), date(2026, 3, 5)


@pytest.mark.parametrize(
    ("material", "instrument", "wood_g", "day", "due"),
    [
        # annotation #15 (c): finished instruments, no weight limit (edelholzshop.de)
        ("Dalbergia latifolia", True, 15_000, AFTER, False),
        ("Honduras rosewood", True, 500, AFTER, False),
        ("bubinga", True, 3_000, AFTER, False),
        # Appendix I since 1992 (traveling-with-instruments.eu)
        ("Dalbergia nigra", True, 100, AFTER, True),
        ("Brazilian rosewood", True, 100, AFTER, True),
        ("Dalbergia cochinchinensis", True, 100, AFTER, True),
        # annotation #15 (b): other finished goods up to 10 kg of the wood
        ("rosewood", False, 11_000, AFTER, True),
        ("rosewood", False, 10_000, AFTER, False),
        # CoP20, annotation #10 from 5 March 2026 (ipci-france-europe.org)
        ("Pernambuco", True, 60, AFTER, False),
        ("Pernambuco", True, 60, BEFORE, True),
        ("Pernambuco", False, 60, AFTER, True),
        # Appendix I materials (FIM CITES handbook; americanorchestras.org)
        ("elephant ivory", True, 5, AFTER, True),
        ("tortoiseshell", True, 5, AFTER, True),
        ("whalebone", True, 5, AFTER, True),
    ],
)
def test_papers(material: str, instrument: bool, wood_g: int, day: date, due: bool) -> None:
    """As the pages beside the table's rows report it; the authority decides."""
    held = species_of(material)
    assert held is not None
    assert needs_papers(held, day, instrument, wood_g) is due


@pytest.mark.parametrize(
    "material",
    ["maple", "", "wood of a rose", "nickel silver", "imitation ivory", "plastic, rosewood look"],
)
def test_unlisted_names(material: str) -> None:
    """The table knows few names and guesses none."""
    assert species_of(material) is None


@pytest.mark.parametrize(
    ("material", "appendices"),
    [
        ("rosewood body, ivory nut", ["II", "I"]),
        ("Maple and pernambuco", ["II"]),
        ("Ivory keys, imitation wood", ["I"]),
        ("rosewood (Dalbergia nigra)", ["I"]),  # the narrower name of the same part
        ("rosewood; palisander", ["II"]),
        ("imitation ivory / maple", []),
    ],
)
def test_each_part_of_a_text_is_read(material: str, appendices: list[str]) -> None:
    """One material that is exempt does not hide another that is not."""
    assert [held.appendix for held in all_species(material)] == appendices


def test_a_certificate_is_valid_for_three_years() -> None:
    """CITES Resolution Conf. 16.8, FIM handbook: issued 2026-01-10."""
    assert certificate_until(date(2026, 1, 10)) == date(2029, 1, 10)
