"""Cases of the rules on batteries, cabin, weight and lifting: what trips each, what passes."""

from __future__ import annotations

from support.rule_cases import LAST, ONE_PERSON, PEOPLE, SPARE, Case, ion
from support.rule_trips import Change, add, cell, line


def _cabin_case(height: int, width: int) -> tuple[Change, ...]:
    """A cabin case of 45 x WIDTH x HEIGHT cm and a rule that takes 56 x 45 x 25 cm."""
    sizes = {"length": (45, 56), "width": (width, 45), "height": (height, 25)}
    return (
        cell("Cases", 0, "Carry", "cabin"),
        *(cell("Cases", 0, f"Outside {name}", own) for name, (own, _) in sizes.items()),
        *(cell("Cases", 0, f"Inside {name}", 20) for name in sizes),
        *(cell("Rules", 0, f"Cabin {name}", most) for name, (_, most) in sizes.items()),
    )


CASES = [
    # --- batteries: IATA leaflet 2018; 49 CFR 175.10(a)(18); ICAO Addendum 1
    Case(
        "battery-forbidden-aboard",
        (ion(161.28),),  # 14.4 V x 11.2 Ah
        ("Gear", LAST, "Battery Wh"),
        (ion(160),),
        ("161.28 Wh", "160 Wh"),
    ),
    Case(
        "battery-forbidden-aboard",
        (line(Battery="lithium metal", Battery_g_lithium=3, Battery_spare="yes"),),
        ("Gear", LAST, "Battery g lithium"),
        (line(Battery="lithium metal", Battery_g_lithium=2, Battery_spare="yes"),),
        ("3 g", "2 g"),
    ),
    Case(
        "battery-forbidden-aboard",
        (line(Battery="lead acid", Battery_Wh=120),),
        ("Gear", LAST, "Battery Wh"),
        (line(Battery="lead acid", Battery_Wh=100),),  # 12 V and 100 Wh at most
        ("120 Wh",),
    ),
    Case(
        "battery-needs-approval",
        (ion(120),),  # 20 V x 6 Ah
        ("Gear", LAST, "Battery Wh"),
        (ion(100),),  # exactly 100 Wh is the small class
        ("120 Wh", "carrier must approve"),
    ),
    Case(
        "battery-needs-approval",
        (ion(160, **SPARE),),  # exactly 160 Wh
        ("Gear", LAST, "Battery Wh"),
        (ion(161, **SPARE),),  # above it is another rule's
        ("160 Wh",),
    ),
    Case(
        "battery-data-missing",
        (ion(None, Description="Pack 3.7 V 20000 mAh"),),
        ("Gear", LAST, "Battery Wh"),
        (line(Battery="NiMH"),),
        ("states 74 Wh",),
    ),
    Case(
        "battery-data-missing",
        (line(Battery="lithium metal"),),
        ("Gear", LAST, "Battery g lithium"),
        (line(Battery="lithium metal", Battery_g_lithium=1),),
        ("grams of lithium",),
    ),
    Case(
        "battery-energy-mismatch",
        (ion(67, Description="Pack 3.8 V 1650 mAh"),),  # the product is 6.27 Wh
        ("Gear", LAST, "Battery Wh"),
        (ion(26, Description="Pack 20 V 1.3 Ah"),),  # polexp.com: 26 Wh
        ("6.27 Wh",),
    ),
    Case(
        "power-bank-without-battery",
        (line(Description="Power bank, 20 Ah"),),
        ("Gear", LAST, "Battery"),
        (ion(74, Description="Power bank, 20 Ah"),),
    ),
    Case(
        "spare-battery-in-hold",
        (ion(50, Carry="hold", **SPARE),),
        ("Gear", LAST, "Carry"),
        (line(Battery="NiMH", Quantity=40, Carry="hold", **SPARE),),  # FAA: dry cells
        ("cabin",),
    ),
    Case(
        "spare-battery-in-hold",
        (ion(37, Carry="hold", Description="Power bank"),),  # whatever the spare column says
        ("Gear", LAST, "Carry"),
        (ion(37, Carry="cabin", Description="Power bank"),),
        ("power bank",),
    ),
    Case(
        "spare-battery-terminals",
        (ion(50, **SPARE),),
        ("Gear", LAST, "Battery spare"),
        (ion(50),),
    ),
    Case(
        "too-many-spare-batteries",
        (ion(50, Quantity=21, **SPARE), *ONE_PERSON),
        PEOPLE,
        (ion(50, Quantity=20, **SPARE), *ONE_PERSON),
        ("21", "20 a person"),
    ),
    Case(
        "too-many-medium-batteries",
        (ion(120, Quantity=3, **SPARE), *ONE_PERSON),
        PEOPLE,
        (ion(120, Quantity=2, **SPARE), *ONE_PERSON),
        ("3 spare batteries above 100 Wh", "2 a person"),
    ),
    Case(
        "too-many-power-banks",
        (ion(37, Quantity=3, Description="Power bank"), *ONE_PERSON),
        PEOPLE,
        (ion(37, Quantity=3, Description="Power bank"), cell("Legs", 0, "People", 2)),
        ("3 power banks", "1 person", "2 a person"),
    ),
    Case(
        "too-many-battery-devices",
        (ion(50, Quantity=16), *ONE_PERSON),
        PEOPLE,
        (ion(50, Quantity=15), *ONE_PERSON),
        ("16 devices",),
    ),
    Case(
        "too-many-lead-acid-batteries",
        (line(Battery="lead acid", Battery_Wh=84, Quantity=3, **SPARE), *ONE_PERSON),
        PEOPLE,
        (line(Battery="lead acid", Battery_Wh=100, Quantity=2, **SPARE), *ONE_PERSON),
    ),
    # --- cabin
    Case(
        "tool-in-cabin",
        (line(Description="Screwdriver set", Carry="cabin"),),
        ("Gear", LAST, "Carry"),
        (line(Description="Screwdriver set", Carry="hold"),),
        ("screwdriver",),
    ),
    # --- weight and size
    Case(
        "limit-in-pounds-or-inches",
        (cell("Rules", 0, "Free weight", "50 lb"),),
        ("Rules", 0, "Free weight"),
        (),
        ("50 lb", "22.679 kg"),  # 50 x 0.45359237 = 22.6796 kg, a limit rounds down
    ),
    Case(
        "limit-in-pounds-or-inches",
        (cell("Rules", 0, "Free linear", "62 in"),),
        ("Rules", 0, "Free linear"),
        (),
        ("62 in", "157.4 cm"),  # 62 x 2.54 = 157.48 cm, a limit rounds down to the mm
    ),
    Case(
        "limit-above-usual-handling",
        (cell("Rules", 0, "Most weight", 45), cell("Rules", 0, "Overweight bands", "23-45: 90")),
        ("Rules", 0, "Most weight"),
        (),
        ("45 kg", "32 kg"),
    ),
    Case(
        "ticket-rules-differ",
        (
            add("Rules", Rule="Other Air", Concept="piece", Extra_piece_1=60, Currency="EUR"),
            cell("Legs", 0, "Ticket", "T1"),
            cell("Legs", 1, "Ticket", "T1"),
            cell("Legs", 1, "Rule", "Other Air"),
        ),
        ("Legs", 1, "Rule"),
        (cell("Legs", 0, "Ticket", "T1"), cell("Legs", 1, "Ticket", "T1")),
        ("Plain Air", "Other Air"),
    ),
    Case(
        "us-instrument-rule",
        (cell("Legs", 0, "To", "JFK"),),
        ("Legs", 0, "From"),
        (),
        ("150 in", "165 lb"),  # 14 CFR 251.5
    ),
    Case(
        "case-over-size-limit",
        (cell("Rules", 0, "Most linear", 157), cell("Rules", 0, "Free linear", None)),
        ("Cases", 0, "Outside length"),  # 74 + 44 + 40 = 158 cm
        (cell("Rules", 0, "Most linear", 158), cell("Rules", 0, "Free linear", None)),
        ("158 cm", "157 cm"),
    ),
    Case(
        "cabin-case-over-limit",
        # IATA, checking in a bag: 56 x 45 x 25 cm in the cabin
        _cabin_case(26, 56),
        ("Cases", 0, "Outside length"),
        _cabin_case(25, 56),
        ("45 x 56 x 26 cm", "56 x 45 x 25 cm", "OUT and BACK"),
    ),
    Case(
        "cabin-case-over-limit",
        (*_cabin_case(25, 56), cell("Rules", 0, "Cabin weight", 6)),
        ("Cases", 0, "Outside length"),
        (*_cabin_case(25, 56), cell("Rules", 0, "Cabin weight", 6.5)),
        ("6.5 kg empty", "25 cm and 6 kg"),
    ),
    Case(
        "no-cabin-piece-for-cabin-gear",
        (
            line(Carry="cabin"),
            ion(200, Gear="B", Carry="cabin"),
            cell("Legs", 1, "Free cabin pieces", 0),
        ),
        ("Legs", 1, "Free cabin pieces"),
        (line(Carry="cabin"),),
        ("BACK", "but NEW may fly"),  # what is forbidden flies nowhere anyhow
    ),
    # --- lifting: HSE L23
    Case(
        "object-needs-two-people",
        (line(Weight=26),),
        ("Gear", LAST, "Weight"),
        (line(Weight=25),),
        ("26 kg", "2 people together", "no medical advice"),
    ),
    Case(
        "object-needs-two-people",
        (line(Weight=34),),  # above two thirds of 2 x 25 kg = 33.3 kg
        ("Gear", LAST, "Weight"),
        (line(Weight=20),),
        ("3 people together",),
    ),
    Case(
        "object-needs-two-people",
        (line(Weight=40),),  # above half of 3 x 25 kg = 37.5 kg
        ("Gear", LAST, "Weight"),
        (line(Weight=20),),
        ("lifting aid",),
    ),
]
