"""An invented trip and a plan for it made by hand: one of everything that papers show.

The act, the places, the carriers and the suppliers are invented. The cases: a box with layers and
a fragile object on top, a rack, a slotted case, a cabin case with spare batteries, a freight box.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from packer.model.plan import (
    Charge,
    Costs,
    Cover,
    Decision,
    Packed,
    Piece,
    Place,
    Plan,
    Route,
    SolverNote,
    Status,
)
from packer.model.trip import (
    Band,
    Battery,
    Box,
    Carnet,
    Carry,
    Case,
    CaseKind,
    Chemistry,
    Choice,
    Concept,
    Delivery,
    Freight,
    Gear,
    Leg,
    Offer,
    Price,
    RadioRange,
    Rate,
    Rule,
    Stop,
    Trip,
    WeightBasis,
)

STOPS = ("Kelpmarket", "Sankt Ulmar")


def euro(amount: str) -> Price:
    """A price in the trip's own currency."""
    return Price(int(Decimal(amount) * 100), Decimal(amount), "EUR")


def pounds(amount: str) -> Price:
    """A price in pounds at 1.17."""
    return Price(int(Decimal(amount) * 117), Decimal(amount), "GBP")


def sample_trip() -> Trip:
    """The invented trip of the invented act Tin Weather."""
    return Trip(
        name="Tin Weather: two shows (invented)",
        home_country="IE",
        currency="EUR",
        stops=(
            Stop(
                "Kelpmarket",
                "GB",
                date(2027, 6, 18),
                "Old Ropeworks (invented)",
                (RadioRange(470_000, 608_000), RadioRange(863_000, 865_000)),
                "the stop's own notice, invented",
                "Load-in 07:00",
            ),
            Stop("Sankt Ulmar", "CH", date(2027, 6, 20), "Seewiese (invented)"),
        ),
        legs=(
            Leg("F1", "DUB", "NCL", date(2027, 6, 17), "Petrel basic", 2, 1, 4),
            Leg("F2", "NCL", "ZRH", date(2027, 6, 19), "Fulmar kilo", 0, 1, 4),
        ),
        rules=(
            Rule(
                "Petrel basic",
                Concept.PIECE,
                23_000,
                32_000,
                1580,
                2030,
                (6000, 9000, 9000),
                (Band(23_000, 32_000, 7500),),
                8000,
                cabin_weight_g=10_000,
                cabin_mm=(250, 400, 560),
                currency="EUR",
            ),
            Rule(
                "Fulmar kilo",
                Concept.WEIGHT,
                60_000,
                32_000,
                per_kg_minor=900,
                cabin_weight_g=12_000,
                currency="EUR",
            ),
        ),
        gear=_gear(),
        cases=_cases(),
        offers=(
            Offer("Kelpmarket", "BDRUM", False, "Harbour Drum Hire", pounds("85")),
            Offer("Kelpmarket", "AMPRIG", True, "Harbour Drum Hire", pounds("140")),
            Offer("Sankt Ulmar", "BDRUM", False, "house", euro("0")),
            Offer("Sankt Ulmar", "AMPRIG", True, "Klangkeller Verleih", euro("260.50")),
        ),
        deliveries=(
            Delivery("Harbour Drum Hire", "Kelpmarket", pounds("60")),
            Delivery("Klangkeller Verleih", "Sankt Ulmar", euro("95")),
        ),
        freight=Freight(euro("4.20"), euro("120"), euro("55"), most_weight_g=60_000),
        rates=(Rate("GBP", Decimal("1.17"), date(2027, 5, 3)),),
        carnet=Carnet("Tin Weather Touring (invented)", "IE-INVENTED-0042", date(2027, 5, 10)),
        file="tin-weather.xlsx",
        input_sha256="5f" * 32,
    )


def sample_plan() -> Plan:
    """A plan by hand for `sample_trip`; charges and costs worked out by hand in the comments."""
    return Plan(
        holdall="1.0.0",
        trip="Tin Weather: two shows (invented)",
        input_sha256="5f" * 32,
        made="2027-05-04T09:30:00+00:00",
        status=Status.FEASIBLE,
        currency="EUR",
        costs=Costs(
            # F1: four hold pieces, two free: 60 + 90; 24.87 kg is in the band: 75; two trunks of
            # 193 cm: 2 x 80. F2: 24,870 + 14,770 + 20,400 + 10,700 = 70,740 g: 11 kg at 9.
            baggage_minor=15_000 + 7500 + 16_000 + 9900,
            # 85 and 140 GBP at 1.17 = 99.45 + 163.80; house 0; 260.50.
            hire_minor=9945 + 16_380 + 26_050,
            delivery_minor=7020 + 9500,
            # 60 x 50 x 40 cm / 6000 = 20 kg, more than 15.38 kg: 55 + max(120, 84) = 175.
            freight_minor=17_500,
            worth_minor=3000,
        ),
        bound_minor=100_000,
        decisions=_decisions(),
        pieces=_pieces(),
        charges=(
            Charge("F1", 4, 15_000, 7500, 16_000, 0, 38_500),
            Charge("F2", 4, 0, 0, 0, 9900, 9900),
        ),
        findings=_findings(),
        solver=SolverNote(12.3, 2, 0, "9.15", 4.5),
    )


def _gear() -> tuple[Gear, ...]:
    both = STOPS
    return (
        Gear(
            "TRB",
            "Tenor trombone, yellow brass, in bag",
            2,
            3150,
            "brass",
            Box(900, 270, 240),
            fragile=True,
            upright=True,
            role="trombone",
            role_needs=1,
            needed_at=both,
            value=euro("1850"),
            origin="DE",
            hs="9205.10",
            serials=("TB-7714", "TB-7715"),
        ),
        Gear(
            "FLG",
            "Flügelhorn, 6-ventilig „Möwe“",
            1,
            2480,
            "brass",
            Box(480, 260, 200),
            fragile=True,
            needed_at=both,
            value=euro("2400"),
            origin="AT",
            hs="9205.10",
            serials=("FL-0093",),
        ),
        Gear(
            "SYN",
            "Synthesiser, 61 keys, model Drift 61 (invented)",
            1,
            7900,
            "keys",
            Box(900, 320, 110),
            needed_at=both,
            role="bass synth",
            role_needs=1,
            value=pounds("1299"),
            origin="JP",
            hs="9207.10",
            serials=("DR61-20017",),
            mains="100-240 V 50/60 Hz",
            plug="C",
            weight_basis=WeightBasis.WEIGHED,
        ),
        Gear(
            "PED",
            "=SUM(A1:A9) expression pedal",
            3,
            640,
            "keys",
            Box(260, 120, 90),
            needed_at=both,
            value=euro("75"),
            origin="CN",
            hs="9207.90",
        ),
        Gear(
            "CBL",
            "Set of cables, 20 m",
            1,
            2200,
            "cables",
            Box(300, 300, 100),
            soft=True,
            needed_at=both,
            value=euro("180"),
            origin="CZ",
            hs="8544.42",
        ),
        Gear(
            "TAPE",
            "+Cloth tape, black, 50 m roll",
            4,
            480,
            "consumables",
            Box(130, 130, 50),
            needed_at=both,
            value=euro("9.50"),
            origin="GB",
            hs="5906.10",
            consumable=True,
        ),
        Gear(
            "IEM",
            "In-ear transmitter, 1 unit high",
            2,
            2950,
            "radio",
            depth_mm=320,
            rack_half_units=2,
            needed_at=both,
            value=euro("1400"),
            origin="US",
            hs="8517.62",
            serials=("IE-1",),
            radio=(RadioRange(606_500, 613_500),),
            mains="100-240 V 50/60 Hz",
            plug="C",
        ),
        Gear(
            "PWR",
            "Mains conditioner, 2 units high",
            1,
            5200,
            "power",
            depth_mm=280,
            rack_half_units=4,
            needed_at=both,
            value=euro("420"),
            origin="CN",
            hs="8504.40",
            mains="230 V 50 Hz",
            plug="G",
        ),
        Gear(
            "MUTE",
            "Straight mute set",
            2,
            900,
            "brass",
            slot="mute",
            needed_at=both,
            value=euro("60"),
            origin="US",
            hs="9209.99",
        ),
        Gear(
            "BAT",
            "Spare lithium pack for radio, 48 Wh",
            4,
            310,
            "radio",
            Box(110, 70, 40),
            needed_at=both,
            carry=Carry.CABIN,
            value=euro("85"),
            origin="KR",
            hs="8507.60",
            battery=Battery(Chemistry.LITHIUM_ION, 48_000, spare=True),
        ),
        Gear(
            "LAP",
            "Laptop with the show, 笔记本 السفر",
            1,
            2100,
            "playback",
            Box(360, 250, 30),
            needed_at=both,
            carry=Carry.CABIN,
            role="playback",
            role_needs=1,
            value=euro("2100"),
            origin="CN",
            hs="8471.30",
            serials=("LT-88",),
            battery=Battery(Chemistry.LITHIUM_ION, 72_000),
            mains="100-240 V 50/60 Hz",
            plug="C",
        ),
        Gear(
            "DRAPE",
            "Stage drape, flame-retardant",
            1,
            5400,
            "stage",
            Box(500, 400, 200),
            soft=True,
            needed_at=both,
            value=euro("320"),
            origin="PL",
            hs="6303.92",
        ),
        Gear(
            "BDRUM",
            "Bass drum 28 in",
            1,
            14_000,
            "drums",
            Box(760, 760, 460),
            needed_at=both,
            choice=Choice.HIRE,
            worth_minor=1500,
            value=euro("700"),
            origin="TW",
            hs="9206.00",
        ),
        Gear(
            "AMPHEAD",
            "Bass amplifier head",
            1,
            11_000,
            "backline",
            Box(500, 300, 200),
            kit="AMPRIG",
            needed_at=both,
            value=euro("900"),
            origin="IT",
            hs="8518.40",
            mains="230 V 50 Hz",
            plug="G",
        ),
        Gear(
            "AMPCAB",
            "Bass cabinet 4 x 10 in",
            1,
            29_000,
            "backline",
            Box(600, 600, 450),
            kit="AMPRIG",
            needed_at=both,
            value=euro("800"),
            origin="IT",
            hs="8518.29",
        ),
    )


def _cases() -> tuple[Case, ...]:
    trunk = {
        "kind": CaseKind.BOX,
        "outside": Box(1050, 450, 430),
        "empty_g": 9200,
        "description": "Fibre trunk, grey",
        "inside": Box(980, 400, 380),
        "most_gross_g": 40_000,
        "value": euro("310"),
        "origin": "SE",
        "hs": "4202.12",
    }
    return (
        Case("TRUNK-1", "TRUNK", **trunk),  # type: ignore[arg-type]
        Case("TRUNK-2", "TRUNK", **trunk),  # type: ignore[arg-type]
        Case(
            "RACK",
            "RACK",
            CaseKind.RACK,
            Box(560, 520, 350),
            8800,
            "Shock rack, 6 units",
            rack_half_units=12,
            rack_depth_mm=400,
            value=euro("480"),
            origin="DE",
            hs="4202.12",
        ),
        Case(
            "MUTES",
            "MUTES",
            CaseKind.SLOTS,
            Box(600, 400, 250),
            8400,
            "Mute vault, four slots",
            slot="mute",
            slots=4,
            value=euro("140"),
            origin="DE",
        ),
        Case(
            "CABIN",
            "CABIN",
            CaseKind.BOX,
            Box(550, 390, 230),
            2700,
            "Cabin bag",
            inside=Box(500, 340, 200),
            carry=Carry.CABIN,
            value=euro("120"),
            origin="CN",
        ),
        Case(
            "DRAPEBOX",
            "DRAPEBOX",
            CaseKind.BOX,
            Box(600, 500, 400),
            7000,
            "Drape box",
            inside=Box(560, 460, 340),
            carry=Carry.EITHER,
            value=euro("90"),
            origin="PL",
        ),
    )


def _decisions() -> tuple[Decision, ...]:
    whole = {
        "TRB": 2,
        "FLG": 1,
        "SYN": 1,
        "PED": 3,
        "CBL": 1,
        "TAPE": 4,
        "IEM": 2,
        "PWR": 1,
        "MUTE": 2,
        "BAT": 4,
        "LAP": 1,
        "DRAPE": 1,
    }
    kit = "AMPRIG"
    return (
        *(Decision(gear, flown) for gear, flown in whole.items()),
        Decision(
            "BDRUM",
            0,
            (
                Cover("Kelpmarket", "Harbour Drum Hire", "BDRUM", 1, 9945),
                Cover("Sankt Ulmar", "house", "BDRUM", 1, 0),
            ),
        ),
        Decision(
            "AMPHEAD",
            0,
            (
                Cover("Kelpmarket", "Harbour Drum Hire", kit, 1, 16_380),
                Cover("Sankt Ulmar", "Klangkeller Verleih", kit, 1, 26_050),
            ),
        ),
        Decision(
            "AMPCAB",
            0,
            (
                Cover("Kelpmarket", "Harbour Drum Hire", kit, 1, 0),
                Cover("Sankt Ulmar", "Klangkeller Verleih", kit, 1, 0),
            ),
        ),
    )


def _pieces() -> tuple[Piece, ...]:
    def put(gear: str, unit: int, at: tuple[int, int, int], size: tuple[int, int, int]) -> Packed:
        return Packed(gear, unit, Place(at, size))

    first = (
        put("SYN", 1, (0, 0, 0), (900, 320, 110)),
        put("TRB", 1, (0, 0, 115), (900, 270, 240)),
        put("PED", 1, (0, 275, 115), (260, 120, 90)),
        put("PED", 2, (265, 275, 115), (260, 120, 90)),
        put("PED", 3, (530, 275, 115), (260, 120, 90)),
        Packed("CBL", 1),
    )
    second = (
        put("TRB", 2, (0, 0, 0), (900, 270, 240)),
        put("TAPE", 1, (0, 275, 0), (130, 50, 130)),
        put("TAPE", 2, (135, 275, 0), (130, 50, 130)),
        put("TAPE", 3, (270, 275, 0), (130, 50, 130)),
        put("TAPE", 4, (405, 275, 0), (130, 50, 130)),
    )
    cabin = (
        put("LAP", 1, (0, 0, 0), (360, 250, 30)),
        put("BAT", 1, (365, 0, 0), (110, 70, 40)),
        put("BAT", 2, (365, 75, 0), (110, 70, 40)),
        put("BAT", 3, (365, 150, 0), (110, 70, 40)),
        put("BAT", 4, (365, 225, 0), (110, 70, 40)),
    )
    rack = (Packed("PWR", 1), Packed("IEM", 1), Packed("IEM", 2))
    freight = (put("FLG", 1, (0, 0, 0), (480, 260, 200)), Packed("DRAPE", 1))
    return (
        # 7900 + 3150 + 3 x 640 + 2200 = 15,170; with 9200 and 500: 24,870
        _piece("TRUNK-1", Route.HOLD, 9200, 15_170, first),
        # 3150 + 4 x 480 = 5070; with 9200 and 500: 14,770
        _piece("TRUNK-2", Route.HOLD, 9200, 5070, second),
        # 5200 + 2 x 2950 = 11,100; with 8800 and 500: 20,400
        _piece("RACK", Route.HOLD, 8800, 11_100, rack),
        # 2 x 900 = 1800; with 8400 and 500: 10,700
        _piece("MUTES", Route.HOLD, 8400, 1800, (Packed("MUTE", 1), Packed("MUTE", 2))),
        # 2100 + 4 x 310 = 3340; with 2700 and 500: 6540
        _piece("CABIN", Route.CABIN, 2700, 3340, cabin),
        # 2480 + 5400 = 7880; with 7000 and 500: 15,380
        _piece("DRAPEBOX", Route.FREIGHT, 7000, 7880, freight),
    )


def _piece(
    case: str, route: Route, empty_g: int, contents_g: int, contents: tuple[Packed, ...]
) -> Piece:
    return Piece(case, route, empty_g, contents_g, empty_g + contents_g + 500, contents)


def _findings() -> tuple[dict[str, str], ...]:
    return (
        {
            "code": "radio-outside-range",
            "severity": "warning",
            "message": "IEM uses 606.5-613.5 MHz, Kelpmarket allows 470-608 MHz.",
            "remedy": "Retune it or ask the stop.",
            "where": "tin-weather.xlsx!Gear!Z9",
            "subject": "IEM",
            "source": "the stop's own notice, invented",
        },
        {
            "code": "no-spare",
            "severity": "note",
            "message": "The role playback has no spare.",
            "remedy": "",
            "where": "",
            "subject": "playback",
            "source": "",
        },
    )
