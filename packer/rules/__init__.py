"""The catalogue of checks: one function with a code for each rule, its docstring its page.

What comes in: a `Trip`, and after planning a `Plan`. What goes out: findings that say what was
found and who decides, never that something is allowed; and pages for people. Figures stand in
`shared`. Calculators for people: `energy`, `niosh`, `lifting`, `carnet`, `intermod`,
`mains_text`, `chargeable`, `liability`.
"""

from packer.rules import (  # noqa: F401  (each registers its rules)
    batteries,
    battery_counts,
    cabin,
    customs_goods,
    customs_list,
    customs_route,
    freight,
    liability,
    lifting,
    mains,
    radio,
    roles,
    species,
    weight,
)
from packer.rules.catalogue import RulePage, catalogue, check_plan, check_trip, page

__all__ = ["RulePage", "catalogue", "check_plan", "check_trip", "page"]
