"""Kinds of gear and cases that generated trips are made of. All invented, with typical figures.

Ranges are (least, most). Lengths in mm, weights in g, money in whole euros. Typical figures are
judgement, common practice, no published source.
"""

from __future__ import annotations

from dataclasses import dataclass

Range = tuple[int, int]


@dataclass(frozen=True)
class Kind:
    """A kind of gear. `hire` is a price per unit and stop; `worth` a share of it in percent."""

    name: str
    category: str
    weight_g: Range
    size_mm: tuple[Range, Range, Range]
    hire: Range
    quantity: Range = (1, 2)
    worth_percent: Range = (0, 60)
    value: Range = (50, 1500)
    traits: frozenset[str] = frozenset()
    half_units: Range | None = None
    slot: str | None = None
    battery: str | None = None
    hs: str = "8543.70"


def _kind(name: str, category: str, weight: Range, size: tuple[Range, Range, Range],
          hire: Range, traits: str = "", **more: object) -> Kind:  # fmt: skip
    return Kind(name, category, weight, size, hire, traits=frozenset(traits.split()), **more)  # type: ignore[arg-type]


def _sized(length: Range, width: Range, height: Range) -> tuple[Range, Range, Range]:
    return (length, width, height)


BOXED = (
    _kind("Vocal microphone", "microphones", (280, 620), _sized((230, 260), (80, 110), (60, 90)),
          (6, 14), quantity=(2, 5), hs="8518.10"),
    _kind("Small microphone", "microphones", (350, 900), _sized((220, 280), (110, 160), (60, 90)),
          (8, 18), "fragile", quantity=(1, 4), hs="8518.10"),
    _kind("Folding stand", "stands", (2100, 3600), _sized((620, 720), (90, 130), (80, 120)),
          (4, 9), quantity=(2, 6), worth_percent=(0, 10), value=(40, 120), hs="8529.90"),
    _kind("Line box", "stage", (450, 950), _sized((140, 180), (90, 130), (50, 70)),
          (4, 10), quantity=(2, 6), value=(60, 220)),
    _kind("Foot controller", "control", (2600, 6500), _sized((420, 620), (250, 340), (90, 140)),
          (20, 45), "upright", worth_percent=(20, 90)),
    _kind("Compact synthesiser", "keys", (3900, 7600), _sized((520, 680), (260, 330), (80, 120)),
          (35, 80), "fragile", worth_percent=(20, 120), value=(400, 2600), hs="9207.10"),
    _kind("Long keyboard", "keys", (9000, 15500), _sized((930, 1060), (300, 360), (110, 150)),
          (45, 95), worth_percent=(0, 60), value=(600, 3200), hs="9207.10"),
    _kind("Trumpet in a bag", "brass", (2300, 3400), _sized((520, 580), (200, 250), (160, 200)),
          (30, 60), "fragile", worth_percent=(60, 200), value=(700, 3500), hs="9205.10"),
    _kind("Amplifier head", "amplifiers", (7800, 13800), _sized((460, 540), (230, 280), (220, 270)),
          (28, 60), "upright", value=(400, 2200), hs="8518.40"),
    _kind("Loudspeaker", "loudspeakers", (12500, 19500), _sized((520, 640), (360, 450), (300, 380)),
          (30, 65), "upright hold", worth_percent=(0, 20), hs="8518.21"),
    _kind("Snare drum", "drums", (4200, 6400), _sized((390, 420), (380, 410), (180, 230)),
          (18, 36), worth_percent=(10, 100), hs="9206.00"),
    _kind("Set of cymbals", "drums", (5200, 9200), _sized((540, 580), (540, 570), (70, 110)),
          (25, 50), worth_percent=(20, 120), hs="9206.00"),
    _kind("Pedal", "drums", (2500, 5200), _sized((330, 420), (200, 280), (120, 180)),
          (10, 24), hs="9209.94"),
    _kind("Transformer", "mains", (3800, 9500), _sized((220, 300), (160, 220), (130, 180)),
          (8, 20), "hold", worth_percent=(0, 5), hs="8504.31"),
    _kind("Tool chest", "tools", (3200, 6800), _sized((380, 460), (220, 260), (180, 230)),
          (10, 20), "hold", quantity=(1, 1), hs="8206.00"),
    _kind("Stage lamp", "lights", (2900, 5600), _sized((280, 360), (230, 290), (200, 260)),
          (12, 28), quantity=(2, 6), worth_percent=(0, 30), hs="9405.42"),
)  # fmt: skip

SOFT = (
    _kind("Cable loom", "cables", (1100, 4200), _sized((300, 420), (220, 320), (60, 110)),
          (5, 14), "soft", quantity=(1, 5), worth_percent=(0, 20), hs="8544.42"),
    _kind("Drape", "textiles", (1800, 4600), _sized((420, 560), (300, 380), (90, 150)),
          (12, 30), "soft", hs="6303.92"),
    _kind("Stage clothes", "textiles", (900, 2400), _sized((400, 500), (280, 340), (60, 110)),
          (15, 40), "soft", worth_percent=(80, 200), hs="6211.33"),
    _kind("Printed shirts", "goods", (1500, 3800), _sized((320, 400), (240, 300), (100, 160)),
          (20, 40), "soft consumable", quantity=(1, 4), worth_percent=(50, 100), hs="6109.10"),
)  # fmt: skip

RACKED = (
    _kind("Radio receiver", "radio", (900, 2800), _sized((190, 330), (480, 490), (40, 45)),
          (22, 48), half_units=(1, 2), quantity=(1, 4), hs="8517.62"),
    _kind("Audio interface", "playback", (1900, 3900), _sized((230, 330), (480, 490), (40, 45)),
          (25, 60), half_units=(2, 2), worth_percent=(20, 100), hs="8471.80"),
    _kind("Power amplifier", "amplifiers", (5200, 10800), _sized((320, 430), (480, 490), (85, 90)),
          (30, 65), half_units=(4, 4), hs="8518.40"),
    _kind("Stage box", "stage", (4200, 8200), _sized((240, 360), (480, 490), (130, 135)),
          (30, 70), half_units=(6, 6), hs="8518.40"),
    _kind("Effects unit", "effects", (1500, 3200), _sized((180, 260), (480, 490), (40, 45)),
          (15, 35), half_units=(2, 2), hs="8543.70"),
)  # fmt: skip

SLOTTED = (
    _kind("Baritone guitar", "strings", (3300, 4700), _sized((980, 1080), (340, 400), (90, 120)),
          (25, 50), slot="neck", worth_percent=(40, 160), hs="9207.90"),
    _kind("Four-string bass", "strings", (3700, 5200), _sized((1080, 1150), (340, 380), (80, 110)),
          (25, 50), slot="neck", worth_percent=(20, 140), hs="9207.90"),
    _kind("Tenor horn", "brass", (3600, 5400), _sized((560, 640), (280, 340), (260, 320)),
          (28, 55), "fragile", slot="horn", worth_percent=(60, 200), hs="9205.10"),
)  # fmt: skip

CABIN = (
    _kind("Show computer", "playback", (1500, 2600), _sized((330, 380), (230, 270), (20, 35)),
          (45, 90), "cabin", battery="installed", worth_percent=(50, 150), hs="8471.30"),
    _kind("Loose lithium pack", "batteries", (90, 420), _sized((70, 120), (40, 70), (20, 45)),
          (4, 9), quantity=(2, 5), battery="spare", hs="8507.60"),
    _kind("Power bank", "batteries", (250, 600), _sized((130, 170), (70, 90), (20, 35)),
          (5, 12), quantity=(1, 2), battery="spare", hs="8507.60"),
    _kind("In-ear pack", "radio", (180, 360), _sized((110, 140), (70, 90), (30, 45)),
          (12, 26), quantity=(2, 4), battery="installed", worth_percent=(20, 80), hs="8517.62"),
)  # fmt: skip


@dataclass(frozen=True)
class CaseKindOf:
    """A kind of case: inside and outside lengths, empty weight, and what it is built for."""

    name: str
    kind: str
    inside_mm: tuple[int, int, int] | None
    outside_mm: tuple[int, int, int]
    empty_g: Range
    half_units: int | None = None
    depth_mm: int | None = None
    slot: str | None = None
    slots: int | None = None
    carry: str = "hold"


TRUNK = CaseKindOf("TRUNK", "box", (760, 480, 400), (800, 520, 450), (8200, 10800))
CRATE = CaseKindOf("CRATE", "box", (560, 440, 330), (600, 480, 380), (4800, 6600))
TUB = CaseKindOf("TUB", "box", (600, 390, 280), (620, 410, 310), (2600, 3900))
LONG = CaseKindOf("LONG", "box", (1120, 410, 240), (1160, 450, 290), (7800, 9800))
BAG = CaseKindOf("BAG", "box", (740, 360, 340), (760, 380, 360), (1500, 2600))
RACK4 = CaseKindOf("RACK4", "rack", None, (620, 560, 280), (6200, 8400), 8, 440)
RACK6 = CaseKindOf("RACK6", "rack", None, (620, 560, 370), (7600, 9900), 12, 440)
VAULT = CaseKindOf(
    "VAULT", "slots", None, (1180, 480, 380), (9200, 12400), slot="neck", slots=3
)  # fmt: skip
HORNS = CaseKindOf("HORNS", "slots", None, (720, 560, 420), (6200, 8800), slot="horn", slots=2)
HAND = CaseKindOf("HAND", "box", (510, 370, 200), (540, 390, 220), (1400, 2600), carry="cabin")
GRIP = CaseKindOf("GRIP", "box", (520, 370, 205), (545, 395, 225), (1600, 2700), carry="either")
