"""The one schema of the trip workbook: sheets, columns, what each takes, and a line of help.

Reading, the template and the column table of the README all come from `SHEETS`. Nothing is read
or computed here.
"""

from __future__ import annotations

from packer.reading.columns import Column, Kind, Sheet


def _must(heading: str, kind: Kind, help: str = "", **more: object) -> Column:
    return Column(heading, kind, help, required=True, must_fill=True, **more)  # type: ignore[arg-type]


PROBLEMS_HEADING = "Problems (Holdall)"
FINDINGS_SHEET = "Findings (Holdall)"
HELP_SHEET = "Help (Holdall)"
"""What Holdall itself writes into a user's workbook; reading passes over it."""

YES_NO = ("yes", "no")
CARRY = ("either", "hold", "cabin")
_KG = "kg"
_CM = "cm"

TRIP = Sheet(
    "Trip",
    "a field and its value",
    (
        Column("Trip name", Kind.TEXT, "What the papers call the trip."),
        Column("Home country", Kind.COUNTRY, "Where the gear comes from: two letters."),
        _must("Currency", Kind.CURRENCY, "All costs are worked out in this currency."),
        Column(
            "Scale margin",
            Kind.MASS_UP,
            "Added to each piece's weight, because scales disagree.",
            unit=_KG,
            default="0.5",
        ),
        Column(
            "Packing clearance",
            Kind.LENGTH_UP,
            "Added to each length of an object in a box.",
            unit="mm",
            default="5",
        ),
        Column(
            "One case lost",
            Kind.YES_NO,
            "yes: every role with a spare must survive the loss of any one case.",
            choices=YES_NO,
            default="yes",
        ),
        Column("Carnet holder", Kind.TEXT, "Name on the carnet."),
        Column("Carnet number", Kind.TEXT, "Number of the carnet."),
        Column("Carnet issued", Kind.DATE, "Date of issue."),
    ),
    needs_rows=True,
)

STOPS = Sheet(
    "Stops",
    "a show",
    (
        _must("Stop", Kind.NAME, "A short name, used by the other sheets."),
        _must("Country", Kind.COUNTRY, "Two letters (ISO 3166), such as GB."),
        _must("Date", Kind.DATE, "Date of the show."),
        Column("Venue", Kind.TEXT, "Where it is."),
        Column(
            "Radio ranges",
            Kind.RADIO_OPEN,
            "Ranges in MHz that may be used there: 470-608; 863-865.",
        ),
        Column("Radio source", Kind.TEXT, "Who says so, and when."),
        Column("Notes", Kind.TEXT, "Anything else."),
    ),
    needs_rows=True,
    own=("Carnet accepted",),
)

LEGS = Sheet(
    "Legs",
    "a flight",
    (
        _must("Leg", Kind.NAME, "A short name of the flight."),
        _must("From", Kind.TEXT, "Airport or city."),
        _must("To", Kind.TEXT, "Airport or city."),
        _must("Date", Kind.DATE, "Date of the flight."),
        _must("Rule", Kind.NAME, "The baggage rule, by its name on the Rules sheet."),
        Column(
            "Free pieces",
            Kind.WHOLE,
            "Free hold pieces of the whole party on this flight.",
            required=True,
        ),
        Column(
            "Free cabin pieces",
            Kind.WHOLE,
            "Cabin pieces of the whole party for gear.",
            default="0",
        ),
        Column("People", Kind.WHOLE, "How many of the party fly.", default="1"),
        Column(
            "Ticket",
            Kind.NAME,
            "Legs through-checked on one ticket share a name: one charge, one allowance.",
        ),
    ),
    needs_rows=True,
)

RULES = Sheet(
    "Rules",
    "a baggage rule",
    (
        _must("Rule", Kind.NAME, "A name for the rule."),
        _must(
            "Concept",
            Kind.CHOICE,
            "piece: so many pieces are free; weight: so many kilos are free.",
            choices=("piece", "weight"),
        ),
        Column(
            "Free weight",
            Kind.MASS_DOWN,
            "Of one piece; for weight, of the whole party. Empty for piece: Most weight.",
            required=True,
            unit=_KG,
        ),
        Column(
            "Most weight",
            Kind.MASS_DOWN,
            "A heavier piece is refused.",
            required=True,
            unit=_KG,
            default="32",
        ),
        Column(
            "Free linear",
            Kind.LENGTH_DOWN,
            "Length + width + height; above it the Oversize fee. Empty: no limit.",
            unit=_CM,
        ),
        Column("Most linear", Kind.LENGTH_DOWN, "A larger piece is refused.", unit=_CM),
        Column("Extra piece 1", Kind.MONEY, "Fee of the first piece beyond the free ones."),
        Column("Extra piece 2", Kind.MONEY, "Fee of the second; empty: as the first."),
        Column(
            "Further pieces",
            Kind.MONEY,
            "Fee of each further one; empty: as before.",
            names=("Further piece", "Further pieces each"),
        ),
        Column(
            "Overweight bands",
            Kind.BANDS,
            "23-32: 90; 32-45: 200 means: above 23 up to and with 32 kg pays 90, and so on.",
            unit=_KG,
        ),
        Column("Oversize fee", Kind.MONEY, "Per piece longer than Free linear."),
        Column("Fee per kg", Kind.MONEY, "weight: for each kilo beyond the free weight."),
        Column("Cabin weight", Kind.MASS_DOWN, "Of one cabin piece. Empty: no limit.", unit=_KG),
        Column("Cabin length", Kind.LENGTH_DOWN, "Of one cabin piece.", unit=_CM),
        Column("Cabin width", Kind.LENGTH_DOWN, "Of one cabin piece.", unit=_CM),
        Column("Cabin height", Kind.LENGTH_DOWN, "Of one cabin piece.", unit=_CM),
        _must("Currency", Kind.CURRENCY, "Of the fees in this row."),
    ),
    needs_rows=True,
)

GEAR = Sheet(
    "Gear",
    "a line of identical objects",
    (
        _must("Gear", Kind.NAME, "An id of your own.", names=("Gear id", "Id")),
        _must("Description", Kind.TEXT, "What it is, as customs will read it."),
        Column("Category", Kind.TEXT, "For sorting on the papers."),
        _must("Quantity", Kind.WHOLE, "How many of them.", names=("Qty",)),
        _must("Weight", Kind.MASS_UP, "Of one.", unit=_KG),
        Column("Length", Kind.LENGTH_UP, "Of one. For rack gear the depth.", unit=_CM),
        Column("Width", Kind.LENGTH_UP, "Of one.", unit=_CM),
        Column("Height", Kind.LENGTH_UP, "Of one, standing.", unit=_CM),
        Column(
            "Weight basis",
            Kind.CHOICE,
            "How the weight is known.",
            choices=("weighed", "maker", "estimate"),
        ),
        Column(
            "Way up",
            Kind.CHOICE,
            "upright: Height stays vertical.",
            choices=("any", "upright"),
            default="any",
        ),
        Column(
            "Fragile", Kind.YES_NO, "yes: nothing rigid above it.", choices=YES_NO, default="no"
        ),
        Column(
            "Form",
            Kind.CHOICE,
            "soft goods fill the gaps.",
            choices=("rigid", "soft"),
            default="rigid",
        ),
        Column("Rack units", Kind.HALVES, "Makes it rack gear: height in U, such as 1 or 2.5."),
        Column("Slot", Kind.NAME, "Makes it slot gear: the kind of slot it needs."),
        Column("Kit", Kind.NAME, "The rig it belongs to; kits can be hired as one."),
        Column("Pack with", Kind.NAME, "Lines with the same word share one case."),
        Column("Only in", Kind.LIST, "Case ids, with ; between them."),
        Column(
            "Carry", Kind.CHOICE, "Where it may travel aboard.", choices=CARRY, default="either"
        ),
        Column("Role", Kind.NAME, "The job it does in the show; main and spare share a role."),
        Column("Role needs", Kind.WHOLE, "How many the show needs of the role."),
        Column("Needed at", Kind.LIST, "Stops, with ; between them; empty: all.", default="all"),
        Column(
            "Source",
            Kind.CHOICE,
            "fly: all of it flies; hire: none does; either: let Holdall decide.",
            choices=("either", "fly", "hire"),
            default="either",
        ),
        Column(
            "Worth",
            Kind.MONEY,
            "What using our own is worth, per unit and stop, in the trip currency.",
        ),
        Column("Value", Kind.MONEY, "Of one, for customs and insurance."),
        Column("Value currency", Kind.CURRENCY, "Empty: the trip currency."),
        Column("Origin", Kind.ORIGIN, "Country where it was made: two letters."),
        Column("HS", Kind.HS, "Customs heading, such as 8518.10.", names=("HS code", "HS heading")),
        Column("Serials", Kind.TEXT, "Serial numbers, with ; between them.", names=("Serial",)),
        Column(
            "Consumable",
            Kind.YES_NO,
            "yes: used up on the trip, so never on a carnet.",
            choices=YES_NO,
            default="no",
        ),
        Column(
            "Battery",
            Kind.CHOICE,
            "Kind of battery in it.",
            choices=("lithium ion", "lithium metal", "NiMH", "alkaline", "lead acid"),
        ),
        Column(
            "Battery Wh",
            Kind.ENERGY,
            "Watt-hours of one battery, or volts and amp-hours: 14.8 V 9.9 Ah.",
        ),
        Column(
            "Battery g lithium",
            Kind.LITHIUM,
            "Grams of lithium in one battery.",
            names=("Battery lithium",),
        ),
        Column(
            "Battery spare",
            Kind.YES_NO,
            "yes: a loose battery or a power bank.",
            choices=YES_NO,
            default="no",
        ),
        Column("Radio", Kind.RADIO_USED, "Range it transmits in, MHz: 606.5-613.5."),
        Column("Mains", Kind.TEXT, "From its plate: 100-240 V 50/60 Hz."),
        Column("Plug", Kind.TEXT, "Letter of its plug."),
        Column("Material", Kind.TEXT, "Protected species or material, if any."),
    ),
    own=("Carnet item", "Certificate issued"),
)

CASES = Sheet(
    "Cases",
    "a case, or a run of identical ones",
    (
        _must("Case", Kind.NAME, "An id of your own.", names=("Case id", "Id")),
        Column("Description", Kind.TEXT, "What it is."),
        _must("Kind", Kind.CHOICE, "What it takes.", choices=("box", "rack", "slots")),
        Column(
            "Quantity",
            Kind.WHOLE,
            "3 with the id TRUNK means TRUNK-1 to TRUNK-3.",
            default="1",
            names=("Qty",),
        ),
        Column("Inside length", Kind.LENGTH_DOWN, "Clear inside.", unit=_CM),
        Column("Inside width", Kind.LENGTH_DOWN, "Clear inside.", unit=_CM),
        Column("Inside height", Kind.LENGTH_DOWN, "Clear inside.", unit=_CM),
        _must("Outside length", Kind.LENGTH_UP, "With handles and feet.", unit=_CM),
        _must("Outside width", Kind.LENGTH_UP, "With handles and feet.", unit=_CM),
        _must("Outside height", Kind.LENGTH_UP, "With handles and feet.", unit=_CM),
        _must("Empty weight", Kind.MASS_UP, "With lid and inserts.", unit=_KG),
        Column("Most gross", Kind.MASS_DOWN, "What the case itself may weigh full.", unit=_KG),
        Column("Rack units", Kind.HALVES, "rack: how many it takes."),
        Column("Rack depth", Kind.LENGTH_DOWN, "rack: clear depth.", unit=_CM),
        Column("Slot", Kind.NAME, "slots: the kind.", names=("Slot kind",)),
        Column("Slots", Kind.WHOLE, "slots: how many.", names=("Slot count", "Slots how many")),
        Column("Carry", Kind.CHOICE, "How it may travel.", choices=CARRY, default="hold"),
        Column("Value", Kind.MONEY, "Of one, for customs and insurance."),
        Column("Value currency", Kind.CURRENCY, "Empty: the trip currency."),
        Column("Origin", Kind.ORIGIN, "Country where it was made: two letters."),
        Column("HS", Kind.HS, "Customs heading, such as 4202.99.", names=("HS code", "HS heading")),
        Column("Serial", Kind.TEXT, "Serial number or marks.", names=("Serials",)),
    ),
)

OFFERS = Sheet(
    "Offers",
    "a price",
    (
        _must("Stop", Kind.NAME, "Where it is offered."),
        _must("For", Kind.NAME, "Gear id, or name of a kit."),
        _must("Supplier", Kind.NAME, "house: the festival's own."),
        _must("Price", Kind.MONEY, "Of each, per stop; a kit's price once. 0 for house."),
        Column("Currency", Kind.CURRENCY, "Empty: the trip currency."),
        Column("Available", Kind.WHOLE, "How many (for a kit: kits). Empty: no limit."),
    ),
    required=False,
)

SUPPLIERS = Sheet(
    "Suppliers",
    "a delivery charge",
    (
        _must("Supplier", Kind.NAME, "As on the Offers sheet."),
        _must("Stop", Kind.NAME, "Where it delivers."),
        _must("Delivery", Kind.MONEY, "Charged once if anything is hired there."),
        Column("Currency", Kind.CURRENCY, "Empty: the trip currency."),
    ),
    required=False,
)

FREIGHT = Sheet(
    "Freight",
    "the one freight offer",
    (
        _must("Rate per kg", Kind.MONEY, "Per chargeable kilo, for the whole trip."),
        Column("Minimum", Kind.MONEY, "Least charge before handling.", default="0"),
        Column("Handling", Kind.MONEY, "Charged once.", default="0"),
        Column("Divisor", Kind.WHOLE, "Cubic cm for one kilo of volume weight.", default="6000"),
        Column("Most weight", Kind.MASS_DOWN, "Of one freight piece.", unit=_KG),
        Column("Currency", Kind.CURRENCY, "Empty: the trip currency."),
        Column("Cut-off", Kind.DATE, "Last day to hand over."),
    ),
    required=False,
)

RATES = Sheet(
    "Rates",
    "a currency",
    (
        _must("Currency", Kind.CURRENCY, "Three letters (ISO 4217)."),
        _must("Rate", Kind.RATE, "Trip currency for one unit of this currency."),
        Column("Date", Kind.DATE, "Of the rate."),
    ),
    required=False,
)

SHEETS: tuple[Sheet, ...] = (
    TRIP,
    STOPS,
    LEGS,
    RULES,
    GEAR,
    CASES,
    OFFERS,
    SUPPLIERS,
    FREIGHT,
    RATES,
)


def sheet_named(name: str) -> Sheet:
    """The sheet with this name; KeyError if there is none."""
    for sheet in SHEETS:
        if sheet.name == name:
            return sheet
    raise KeyError(name)


def markdown_table() -> str:
    """The columns as a Markdown table for the README, required ones in bold."""
    lines = ["| sheet | one row is | columns (**required**) |", "|---|---|---|"]
    lines += [
        f"| {sheet.name} | {sheet.row} | {', '.join(map(_markdown, sheet.columns))} |"
        for sheet in SHEETS
    ]
    return "\n".join(lines) + "\n"


def _markdown(column: Column) -> str:
    heading = f"**{column.heading}**" if column.required else column.heading
    facts = [column.unit, "/".join(column.choices), column.default]
    told = "; ".join(fact for fact in facts if fact)
    return f"{heading} ({told})" if told else heading
