"""Cases of the rules on customs, species and freight: what trips each, where, and what passes."""

from __future__ import annotations

from support.rule_cases import LAST, NEW_HS, Case, country
from support.rule_trips import add, cell, field, line

CASES = [
    # --- customs: the route
    Case(
        "home-country-missing",
        (field("Home country", ""),),
        ("Trip", 0, "Home country"),
        (),
    ),
    Case(
        "vouchers-for-route",
        (),
        ("Trip", 0, "Home country"),
        (country("FR"), cell("Legs", 0, "To", "CDG"), cell("Legs", 1, "From", "CDG")),
        ("EU - CH - EU", "2 yellow", "2 white", "EU-CH exportation and importation"),
    ),
    Case(
        "carnet-acceptance-open",
        (cell("Stops", 0, "Carnet accepted", "no, invented list of 2026-05-02"),),
        ("Stops", 0, "Country"),
        (cell("Stops", 0, "Carnet accepted", "yes, invented list of 2026-05-02"),),
        ("'no, invented list of 2026-05-02' for CH",),
    ),
    Case(
        "carnet-acceptance-open",
        (cell("Stops", 0, "Carnet accepted", "yes"),),
        ("Stops", 0, "Country"),
        (),
        ("without its day",),
    ),
    Case(
        "carnet-acceptance-open",
        (
            cell("Stops", 0, "Carnet accepted", "yes, 2026-05-02"),
            add("Stops", Stop="Fjord", Country="NO", Date="2026-07-05"),
        ),
        ("Stops", 1, "Country"),
        (  # at home nothing is asked
            cell("Stops", 0, "Carnet accepted", "yes, 2026-05-02"),
            add("Stops", Stop="Harbour", Country="FR", Date="2026-07-05"),
        ),
        ("nothing for NO",),
    ),
    Case(
        "no-customs-paper-named",
        (field("Carnet holder", None), field("Carnet issued", None), field("Carnet number", "")),
        ("Trip", 0, "Carnet number"),
        (field("Carnet number", None), field("Carnet issued", None)),
    ),
    Case(
        "carnet-expires-on-trip",
        (
            field("Carnet issued", "2026-03-01"),
            country("CH", "2027-03-02"),  # 19 CFR 114.23: one year at most
            cell("Legs", 1, "Date", "2027-03-02"),
        ),
        ("Trip", 0, "Carnet issued"),
        (field("Carnet issued", "2026-03-01"),),
        ("2026-03-01", "2027-03-02"),
    ),
    Case(
        "carnet-issued-after-start",
        (field("Carnet issued", "2026-07-04"),),
        ("Trip", 0, "Carnet issued"),
        (field("Carnet issued", "2026-07-03"),),
        ("2026-07-04", "2026-07-03"),
    ),
    Case(
        "carnet-without-issue-date",
        (field("Carnet issued", ""),),
        ("Trip", 0, "Carnet issued"),
        (),
        ("INVENTED-7",),
    ),
    # --- customs: the goods
    Case("customs-value-missing", (line(Value=None),), ("Gear", LAST, "Value"), (line(),)),
    Case("customs-value-missing", (line(Value=0),), ("Gear", LAST, "Value"), (line(),)),
    Case(
        "customs-value-missing",
        (cell("Cases", 0, "Value", None),),
        ("Cases", 0, "Value"),
        (
            line(Value=None),
            country("FR"),
            cell("Legs", 0, "To", "CDG"),
            cell("Legs", 1, "From", "CDG"),
        ),
    ),
    Case("customs-origin-missing", (line(Origin=None),), ("Gear", LAST, "Origin"), (line(),)),
    Case(
        "packaging-is-no-description",
        (line(Description="Box of cables"),),
        ("Gear", LAST, "Description"),
        (line(Description="Set of cables"),),  # gov.uk handbook
        ("Box of cables",),
    ),
    Case(
        "packaging-is-no-description",
        (line(Description="Assorted pedals"),),
        ("Gear", LAST, "Description"),
        (line(Description="Pedals, packed in a box of wood"),),
    ),
    Case(
        "serial-missing",
        (line(Description="Electric guitar", HS="9207.90"),),
        ("Gear", LAST, "Serials"),
        (line(Description="Electric guitar", HS="9207.90", Serials="NSN"),),
        ("0 serials", "1 electrical unit"),
    ),
    Case(
        "serial-missing",
        (line(Mains="230 V", Quantity=3, Serials="A1; A2"),),
        ("Gear", LAST, "Serials"),
        (line(HS="8544.42", Description="Set of cables"),),
        ("2 serials", "3 electrical units"),
    ),
    Case(
        "serials-do-not-match-units",
        (line(Serials="A1; A2; A3", Quantity=2),),
        ("Gear", LAST, "Serials"),
        (line(Serials="A1; A2", Quantity=2),),
        ("3 serials", "2 units"),
    ),
    Case(
        "serials-do-not-match-units",
        (line(Serials="A1"), line(Gear="NEWER", Serials="A1")),
        ("Gear", LAST, "Serials"),
        (line(Serials="A1"), line(Gear="NEWER", Serials="A2")),
        ("A1",),
    ),
    Case(
        "consumable-on-customs-list",
        (line(Description="Disposable batteries AA"),),
        ("Gear", LAST, "Consumable"),
        (line(Description="Disposable batteries AA", Consumable="yes"),),
        ("Disposable batteries",),
    ),
    Case(
        "consumable-on-customs-list",
        (line(Description="Set, light gauge", HS="9209.30"),),
        ("Gear", LAST, "Consumable"),
        (line(Description="Drumstick bag"),),
    ),
    Case(
        "heading-no-longer-exists",
        (line(HS="8525.80"),),
        NEW_HS,
        (line(HS="8525.89", Serials="A1"),),
        ("8525.80", "HS 2022"),
    ),
    Case("heading-no-longer-exists", (line(HS="9405401234"),), NEW_HS, (line(HS="9405.42"),)),
    Case("heading-no-longer-exists", (line(HS="9203"),), NEW_HS, (line(HS="9206.00"),)),
    Case("heading-badly-written", (line(HS="8518.1"),), NEW_HS, (line(HS="8518.10"),)),
    # businesswest.co.uk, general lists: only identical items share a line
    Case(
        "identical-goods-on-two-lines",
        (line(), line(Gear="AGAIN", Description="cowbell ")),
        ("Gear", LAST, "Description"),
        (line(), line(Gear="AGAIN", Weight=1.1)),
        ("AGAIN", "the same description, weight, value and origin as on NEW"),
    ),
    Case(
        "identical-goods-on-two-lines",
        (line(Serials="NSN"), line(Gear="AGAIN", Serials="none")),
        ("Gear", LAST, "Description"),
        (line(Serials="A1"), line(Gear="AGAIN", Serials="A2")),
    ),
    Case(
        "identical-goods-on-two-lines",
        (line(), line(Gear="AGAIN"), line(Gear="THIRD")),
        ("Gear", -2, "Description"),
        (line(), line(Gear="AGAIN", Consumable="yes")),
        ("NEW and THIRD",),
    ),
    Case(
        "goods-added-after-issue",
        (cell("Gear", 0, "Carnet item", "1"), cell("Gear", 1, "Carnet item", "2"), line()),
        ("Gear", LAST, "Gear"),
        (cell("Gear", 0, "Carnet item", "1"), cell("Gear", 1, "Carnet item", "2")),
        ("INVENTED-7",),
    ),
    Case(
        "carnet-items-do-not-run",
        (cell("Gear", 0, "Carnet item", "1-3"), cell("Gear", 1, "Carnet item", "3")),
        ("Gear", 1, "Gear"),
        (cell("Gear", 0, "Carnet item", "1-2"), cell("Gear", 1, "Carnet item", "5")),  # 2 cases
        ("stand twice: 3",),
    ),
    Case(
        "carnet-items-do-not-run",
        (cell("Gear", 0, "Carnet item", "1-2"), cell("Gear", 1, "Carnet item", "6")),
        ("Gear", 0, "Gear"),
        (cell("Gear", 0, "Carnet item", "1"), cell("Gear", 1, "Carnet item", "2")),
        ("on no line: 3, 4 and 5",),
    ),
    # --- species: CITES as on the pages beside shared/species.csv
    Case(
        "species-papers-needed",
        (line(Material="Dalbergia nigra"),),
        ("Gear", LAST, "Material"),
        (line(Material="Dalbergia latifolia"),),
        ("Appendix I", "authority"),
    ),
    Case(
        "species-papers-needed",
        (line(Material="rosewood", HS="4420.19", Weight=11),),  # annotation #15 (b): above 10 kg
        ("Gear", LAST, "Material"),
        (line(Material="rosewood", HS="4420.19", Weight=10),),
    ),
    Case(
        "species-papers-needed",
        (
            line(Material="pernambuco"),
            cell("Legs", 0, "Date", "2026-03-01"),
            field("Carnet issued", "2026-02-01"),
        ),
        ("Gear", LAST, "Material"),
        (line(Material="pernambuco"),),  # annotation #10 from 5 March 2026, no sale
    ),
    Case(
        "species-certificate-expires",
        (line(Material="ivory", Certificate_issued="2023-07-04"),),  # the flight home is on 07-05
        ("Gear", LAST, "Material"),
        (line(Material="ivory", Certificate_issued="2023-07-05"),),
        ("2023-07-04", "2026-07-04", "2026-07-05"),
    ),
    Case(
        "species-certificate-expires",
        (line(Material="ivory", Certificate_issued="soon"),),
        ("Gear", LAST, "Material"),
        (line(Material="rosewood", Certificate_issued="2001-01-01"),),  # none is asked for
        ("'soon'",),
    ),
    Case(
        "species-exempt-instrument",
        (line(Material="East Indian rosewood", Weight=12),),  # #15 (c): whatever it weighs
        ("Gear", LAST, "Material"),
        (line(),),
        ("#15", "authority decides"),
    ),
    Case(
        "material-not-in-table",
        (line(Material="sandalwood"),),
        ("Gear", LAST, "Material"),
        (line(Material="ivory"),),
        ("sandalwood",),
    ),
    # --- freight
    Case(
        "freight-cut-off-after-start",
        (add("Freight", Rate_per_kg=4, Cut_off="2026-07-04"),),
        ("Freight", 0, "Cut-off"),
        (add("Freight", Rate_per_kg=4, Cut_off="2026-06-24"),),
        ("2026-07-04", "2026-07-03"),
    ),
    Case(
        "freight-divisor-unusual",
        (add("Freight", Rate_per_kg=4, Divisor=5000),),
        ("Freight", 0, "Divisor"),
        (add("Freight", Rate_per_kg=4, Divisor=6000),),
        ("5000", "6000"),
    ),
]
