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
    Carnet,
    Concept,
    Delivery,
    Freight,
    Leg,
    Offer,
    RadioRange,
    Rate,
    Rule,
    Stop,
    Trip,
)
from support.sample_gear import STOPS, euro, pounds, sample_cases, sample_gear

__all__ = ["STOPS", "euro", "sample_plan", "sample_trip"]


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
        gear=sample_gear(),
        cases=sample_cases(),
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
