"""Radio: each device against what the stop's own data allows, and devices against each other.

What comes in: ranges of gear and of stops in kHz. What goes out: findings that always send
people to the regulator: bands differ by country, need licences and change. The few facts of
regulators that were read stand in `shared` (radio_facts).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

import shared
from packer.model.finding import Severity
from packer.model.trip import Gear, RadioRange, Stop
from packer.rules.catalogue import Found, rule
from packer.rules.intermod import hits
from packer.rules.scope import Scope, listed, mhz, plural
from shared.records import RadioFact

_LACKING = {
    "radio_ranges": "no Radio ranges",
    "radio_source": "Radio ranges without a source",
}
_ASK = "Check with the regulator there, and whether a licence or coordination is needed."


def _text(held: RadioRange) -> str:
    if held.low_khz == held.high_khz:
        return mhz(held.low_khz)
    return f"{mhz(held.low_khz).removesuffix(' MHz')}-{mhz(held.high_khz)}"


def _texts(ranges: Sequence[RadioRange]) -> str:
    return listed(_text(held) for held in ranges)


def _overlap(one: RadioRange, other: RadioRange) -> bool:
    """True where they share more than an edge, or are the same fixed frequency."""
    if one.low_khz == one.high_khz or other.low_khz == other.high_khz:
        return one.low_khz <= other.high_khz and other.low_khz <= one.high_khz
    return one.low_khz < other.high_khz and other.low_khz < one.high_khz


def _joined(ranges: Sequence[RadioRange]) -> list[RadioRange]:
    """Ranges that touch or overlap, joined."""
    joined: list[RadioRange] = []
    for held in sorted(ranges, key=lambda each: each.low_khz):
        if joined and held.low_khz <= joined[-1].high_khz:
            top = max(joined[-1].high_khz, held.high_khz)
            joined[-1] = RadioRange(joined[-1].low_khz, top)
        else:
            joined.append(held)
    return joined


def _is_within(own: RadioRange, allowed: Sequence[RadioRange]) -> bool:
    return any(
        held.low_khz <= own.low_khz and own.high_khz <= held.high_khz for held in _joined(allowed)
    )


def _devices(scope: Scope) -> tuple[Gear, ...]:
    return tuple(line for line in scope.lines if line.radio)


def _transmitters(scope: Scope) -> tuple[Gear, ...]:
    """Devices that do not call themselves receivers: those emit nothing that could disturb."""
    return tuple(line for line in _devices(scope) if not _is_receiver(line))


def _is_receiver(line: Gear) -> bool:
    words = f"{line.category} {line.description}".casefold()
    return "receiver" in words and "transmit" not in words


def _stops(scope: Scope, line: Gear) -> tuple[Stop, ...]:
    return tuple(stop for stop in scope.trip.stops if stop.name in line.needed_at)


@rule("radio-outside-stop-ranges", "radio", Severity.WARNING)
def outside(scope: Scope) -> Iterator[Found]:
    """A device works nowhere in the ranges that a stop's data allows.

    What: Radio gear against Radio ranges of each stop that needs it; one finding for each line.
    Why: It cannot be used at that show, and using it may be an offence.
    Source: The stop's own data and its Radio source.
    Fails: A 470-516 MHz receiver at a stop with `606.5-613.5; 863-865`.
    Passes: The same at a stop with `470-694`.
    Limits: Only as good as the stop's data; says nothing about power, licences or place.
    Decides: the national regulator.
    """
    for line in _devices(scope):
        bad = [
            stop
            for stop in _stops(scope, line)
            if stop.radio_ranges is not None
            and not any(_overlap(own, held) for own in line.radio for held in stop.radio_ranges)
        ]
        if bad:
            yield Found(
                f"{line.name}: found {_texts(line.radio)}, outside what the data of "
                f"{listed(stop.name for stop in bad)} allows "
                f"({_texts(bad[0].radio_ranges or ()) or 'nothing'}"
                f"{' at the first' if len(bad) > 1 else ''}).",
                line.source.cell("radio"),
                line.name,
                f"Hire a set for these ranges there. {_ASK}",
            )


@rule("radio-partly-outside-stop-ranges", "radio", Severity.NOTE)
def partly(scope: Scope) -> Iterator[Found]:
    """A device reaches beyond what a stop's data allows.

    What: Radio gear whose range is only partly inside a stop's Radio ranges.
    Why: It must be tuned inside them at that show.
    Source: The stop's own data and its Radio source.
    Fails: A 606.5-630 MHz transmitter at a stop with `606.5-613.5`.
    Passes: The same at a stop with `470-694`.
    Limits: Only as good as the stop's data.
    Decides: the national regulator.
    """
    for line in _devices(scope):
        names = [stop.name for stop in _stops(scope, line) if _is_partly(line, stop)]
        if names:
            yield Found(
                f"{line.name}: found {_texts(line.radio)}, only partly inside the data of "
                f"{listed(names)}.",
                line.source.cell("radio"),
                line.name,
                f"Tune it inside the stop's ranges. {_ASK}",
            )


def _is_partly(line: Gear, stop: Stop) -> bool:
    allowed = stop.radio_ranges
    if allowed is None or all(_is_within(own, allowed) for own in line.radio):
        return False
    return any(_overlap(own, held) for own in line.radio for held in allowed)


@rule("radio-ranges-unknown", "radio", Severity.WARNING)
def unknown(scope: Scope) -> Iterator[Found]:
    """A stop that needs radio gear says nothing of its ranges, or not who says so.

    What: Radio ranges empty, or Radio source empty beside them, where radio gear is needed.
    Why: Ranges differ by country and place, and change; a range without a source is a rumour.
    Source: common practice, no published source: ask in the advance.
    Fails: A stop with wireless microphones and an empty Radio ranges.
    Passes: Ranges with `regulator's page, read 2026-05-02` as their source.
    Limits: Cannot check the source.
    Decides: the national regulator.
    """
    needed = {name for line in _devices(scope) for name in line.needed_at}
    for stop in scope.trip.stops:
        if stop.name not in needed:
            continue
        lacks = "radio_ranges" if stop.radio_ranges is None else "radio_source"
        if stop.radio_ranges is None or not stop.radio_source.strip():
            found = _LACKING[lacks]
            yield Found(
                f"{stop.name}: found {found}, and radio gear is needed there.",
                stop.source.cell(lacks),
                stop.name,
                "Ask in the advance which ranges may be used, and note who said so and when.",
            )


def _facts_at(stop: Stop, own: RadioRange) -> Iterator[RadioFact]:
    for fact in shared.radio_facts():
        in_force = fact.since is None or fact.since <= stop.date
        here = fact.territory == shared.territory(stop.country)
        if in_force and here and _overlap(own, RadioRange(fact.low_khz, fact.high_khz)):
            yield fact


def _by_kind(scope: Scope, kind: str) -> Iterator[tuple[Gear, dict[RadioFact, list[str]]]]:
    """Each line with the facts of this kind it meets, and at which stops."""
    for line in _devices(scope):
        met: dict[RadioFact, list[str]] = {}
        for stop in _stops(scope, line):
            for own in line.radio:
                for fact in _facts_at(stop, own):
                    if fact.kind == kind:
                        met.setdefault(fact, []).append(stop.name)
        if met:
            yield line, met


def _met_text(met: dict[RadioFact, list[str]]) -> str:
    parts = (
        f"{_text(RadioRange(fact.low_khz, fact.high_khz))} is {fact.fact} ({fact.territory}; "
        f"{listed(stops)})"
        for fact, stops in met.items()
    )
    return "; ".join(parts)


@rule("radio-range-closed", "radio", Severity.WARNING)
def closed(scope: Scope) -> Iterator[Found]:
    """A device reaches into a range that a regulator was seen to close.

    What: Radio gear whose range overlaps a closed range of the stop's country at its date.
    Why: A transmission there may be an offence whatever the stop's data says.
    Source: shared/radio_facts.csv: fcc.gov pages on wireless microphones (698-806 MHz closed
        2010-06-12; 617-652 and 663-698 MHz closed 2020-07-13).
    Fails: A 620 MHz transmitter at a show in the United States in 2021.
    Passes: A 655 MHz transmitter there (open to licensed users, see `radio-licence-needed`).
    Limits: Knows a few facts of a few countries; silence means nothing.
    Decides: the national regulator.
    """
    for line, met in _by_kind(scope, "closed"):
        yield Found(
            f"{line.name}: found {_texts(line.radio)}; {_met_text(met)}.",
            line.source.cell("radio"),
            line.name,
            _ASK,
        )


@rule("radio-licence-needed", "radio", Severity.NOTE)
def licence(scope: Scope) -> Iterator[Found]:
    """A device works in a range that a regulator was seen to license.

    What: Radio gear whose range overlaps a range of the stop's country that needs a licence.
    Why: The licence is the user's to hold, for that country, place and time.
    Source: shared/radio_facts.csv: fcc.gov (653-657 MHz, licensed users); dorsetpahire.co.uk
        restating Ofcom (606.5-613.5 MHz, shared licence), as seen 2026.
    Fails: A 655 MHz transmitter at a show in the United States.
    Passes: A 615 MHz transmitter there (unlicensed use within technical limits).
    Limits: Knows a few facts of a few countries; silence means nothing.
    Decides: the national regulator.
    """
    for line, met in _by_kind(scope, "licence"):
        yield Found(
            f"{line.name}: found {_texts(line.radio)}; {_met_text(met)}.",
            line.source.cell("radio"),
            line.name,
            _ASK,
        )


@rule("radio-devices-overlap", "radio", Severity.NOTE)
def shared_ranges(scope: Scope) -> Iterator[Found]:
    """Own transmitters share a range and must be coordinated.

    What: Lines whose ranges overlap each other, or of which several units fly, in one finding
        for the trip. What calls itself a receiver is left out.
    Why: Two transmitters on one frequency silence each other; the set needs one plan.
    Source: common practice, no published source.
    Fails: In-ear transmitters and radio microphones that both tune 606.5-613.5 MHz.
    Passes: One set at 470-516 MHz and another at 863-865 MHz.
    Limits: Looks at ranges, not at the channels chosen on the day.
    Decides: whoever coordinates frequencies at the stop.
    """
    pairs = [
        pair
        for pair in combinations(_transmitters(scope), 2)
        if set(pair[0].needed_at) & set(pair[1].needed_at)
        and any(_overlap(one, other) for one in pair[0].radio for other in pair[1].radio)
    ]
    several = [line for line in _transmitters(scope) if line.quantity > 1]
    lines = tuple(dict.fromkeys([*(line for pair in pairs for line in pair), *several]))
    if lines:
        named = listed(f"{line.quantity} {line.name} ({_texts(line.radio)})" for line in lines)
        yield Found(
            f"Found transmitters that share a range with another unit or line: {named}.",
            lines[0].source.cell("radio"),
            lines[0].name,
            "Give each a frequency of its own and tell the festival's coordinator.",
        )


def _fixed(scope: Scope, stop: Stop) -> list[tuple[Gear, int]]:
    return [
        (line, own.low_khz)
        for line in _transmitters(scope)
        if stop.name in line.needed_at
        for own in line.radio
        if own.low_khz == own.high_khz
    ]


@rule("radio-same-frequency", "radio", Severity.WARNING)
def same_frequency(scope: Scope) -> Iterator[Found]:
    """Two own transmitters are fixed on one frequency.

    What: Transmitters with a single frequency in Radio that another unit or line has too, at one
        stop.
    Why: They silence each other.
    Source: common practice, no published source.
    Fails: Two lines fixed on 863.1 MHz; one such line with Quantity 2.
    Passes: Lines fixed on 863.1 and 863.7 MHz.
    Limits: A spare that is switched off harms nobody; say so in a role and ignore this.
    Decides: whoever coordinates frequencies at the stop.
    """
    told: set[int] = set()
    for stop in scope.trip.stops:
        for _, khz in _fixed(scope, stop):
            lines = [line for line, own in _fixed(scope, stop) if own == khz]
            units = sum(line.quantity for line in lines)
            if units > 1 and khz not in told:
                told.add(khz)
                yield Found(
                    f"Found {plural(units, 'unit')} fixed on {mhz(khz)}: "
                    f"{listed(line.name for line in lines)}.",
                    lines[-1].source.cell("radio"),
                    lines[-1].name,
                    "Change one, or use one at a time.",
                )


@rule("radio-intermodulation", "radio", Severity.WARNING)
def intermodulation(scope: Scope) -> Iterator[Found]:
    """Fixed frequencies make third-order products near one another.

    What: Products 2a - b and a + b - c of the fixed frequencies needed at one stop that come
        closer than 200 kHz to another of them; one finding for each set.
    Why: Such a product disturbs the receiver on that frequency.
    Source: Textbook arithmetic; the distance is the least that the published set 863.1, 863.7,
        864.1, 864.9 MHz keeps (dorsetpahire.co.uk restating Ofcom, as seen 2026).
    Fails: 614.0, 614.4 and 614.8 MHz: 2 x 614.4 - 614.0 is 614.8.
    Passes: 863.1, 863.7, 864.1 and 864.9 MHz.
    Limits: Fixed frequencies only; no higher orders, no levels, no transmitters of others.
    Decides: whoever coordinates frequencies at the stop.
    """
    spacing = shared.radio_figures().least_spacing_khz
    told: set[tuple[int, ...]] = set()
    for stop in scope.trip.stops:
        fixed = _fixed(scope, stop)
        members = tuple(sorted({khz for _, khz in fixed}))
        found = hits(members, spacing)
        if found and members not in told:
            told.add(members)
            worst = min(found, key=lambda hit: hit.distance_khz)
            line = next(line for line, khz in fixed if khz == worst.member_khz)
            yield Found(
                f"{line.name}: found a third-order product of "
                f"{listed(mhz(khz) for khz in worst.product.made_of)} at {mhz(worst.product.khz)}, "
                f"{worst.distance_khz} kHz from {mhz(worst.member_khz)}"
                f"{f', and {len(found) - 1} more' if len(found) > 1 else ''}.",
                line.source.cell("radio"),
                line.name,
                "Choose another set of frequencies.",
            )
