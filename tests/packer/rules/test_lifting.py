"""Team lifting and filter figures against worked examples of the British regulator's rules."""

from __future__ import annotations

from fractions import Fraction

import pytest

from packer.rules.lifting import filter_figure_g, people_for, team_capacity_g


@pytest.mark.parametrize(
    ("each", "together"),
    [
        ([20_000, 20_000], 26_666),  # Network Rail: about 26.6 kg; 2/3 of 40 kg
        ([50_000, 50_000], 66_666),  # firstsafetytrainingservices.co.uk: 66 kg
        ([50_000, 50_000, 50_000], 75_000),  # same page: 75 kg
        ([25_000], 25_000),
        ([25_000, 16_000], 27_333),
    ],
)
def test_team_capacity(each: list[int], together: int) -> None:
    """Two people lift 2/3 of their sum, three people half (HSE L23)."""
    assert team_capacity_g(each) == together


@pytest.mark.parametrize("count", [0, 4, 5])
def test_no_figure_is_published_for_other_teams(count: int) -> None:
    """None is invented."""
    with pytest.raises(ValueError, match="no figure is published"):
        team_capacity_g([20_000] * count)


@pytest.mark.parametrize(
    ("twist", "pace", "left"),
    [
        # HSE INDG143, reprinted at watmos.simplyhas.com
        (0, 0, "25000"),
        (45, 0, "25000"),
        (46, 0, "22500"),  # beyond 45 degrees: 10 % off
        (91, 0, "20000"),  # beyond 90 degrees: 20 % off
        (0, 1, "17500"),  # 1 to 2 a minute: 30 % off
        (0, 6, "12500"),  # 5 to 8 a minute: 50 % off
        (0, 13, "5000"),  # above 12 a minute: 80 % off
        (0, 3, "12500"),  # between two published paces: the stricter
        (0, 10, "5000"),
        (91, 6, "10000"),
    ],
)
def test_filter_figure(twist: int, pace: int, left: str) -> None:
    """25 kg less what twisting and pace take off it."""
    assert filter_figure_g(25_000, twist, pace) == Fraction(left)


@pytest.mark.parametrize(
    ("mass_g", "people"),
    [(25_000, 1), (25_001, 2), (33_333, 2), (33_334, 3), (37_500, 3), (37_501, None)],
)
def test_people_for_a_mass(mass_g: int, people: int | None) -> None:
    """Each with the filter figure of 25 kg; above three people a lifting aid."""
    assert people_for(mass_g) == people
