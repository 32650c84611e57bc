"""Mains: voltage, frequency and plug of each device against each stop.

What comes in: Mains and Plug of gear, the country of stops. What goes out: what needs a
transformer, what will not run, what needs an adapter. The table of countries dates from 2017
and knows sockets in the wall, not the festival's distribution: its electrician decides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import shared
from packer.model.finding import Severity
from packer.model.plugs import adapter, parse_plugs
from packer.model.trip import Gear, Stop
from packer.rules.catalogue import Found, rule
from packer.rules.mains_text import MainsNeed, parse_mains
from packer.rules.scope import Scope, listed
from shared import Mains

CAUTION = "Mains can kill: leave supplies, adapters and earthing to a qualified electrician there."


def _stops(scope: Scope, line: Gear) -> Iterator[tuple[Stop, Mains]]:
    for stop in scope.trip.stops:
        supply = shared.mains(stop.country)
        if stop.name in line.needed_at and supply is not None:
            yield stop, supply


def _powered(scope: Scope) -> Iterator[tuple[Gear, MainsNeed]]:
    for line in scope.lines:
        need = parse_mains(line.mains)
        if need is not None:
            yield line, need


def _where(
    scope: Scope, line: Gear, need: MainsNeed, is_bad: Callable[[MainsNeed, Mains], bool]
) -> list[tuple[Stop, Mains]]:
    return [(stop, supply) for stop, supply in _stops(scope, line) if is_bad(need, supply)]


def _runs_nowhere(need: MainsNeed, supply: Mains) -> bool:
    return not any(need.runs_on_volts(volt) for volt in supply.volts)


def _runs_in_parts(need: MainsNeed, supply: Mains) -> bool:
    return len({need.runs_on_volts(volt) for volt in supply.volts}) > 1


def _lacks_frequency(need: MainsNeed, supply: Mains) -> bool:
    return not all(need.runs_on_hertz(hertz) for hertz in supply.hertz)


def _voltages(bad: list[tuple[Stop, Mains]]) -> str:
    return listed(
        f"{stop.name} ({'/'.join(str(volt) for volt in supply.volts)} V)" for stop, supply in bad
    )


def _frequencies(bad: list[tuple[Stop, Mains]]) -> str:
    return listed(
        f"{stop.name} ({'/'.join(str(each) for each in supply.hertz)} Hz)" for stop, supply in bad
    )


@rule("mains-voltage-mismatch", "mains", Severity.WARNING)
def voltage(scope: Scope) -> Iterator[Found]:
    """A device is not made for the voltage at a stop.

    What: The voltages in Mains against every voltage of the stop's country, with 10 % of
        tolerance; one finding for each line.
    Why: Too high a voltage destroys a device or starts a fire; too low a one will not run it.
    Source: Two lists of 2017 (IEC World Plugs as in benjiao/world-plugs; fluids 1.3.1); tolerance
        of IEC 60038.
    Fails: A `220-240 V 50/60 Hz` amplifier in Japan (100 V).
    Passes: The same in Germany (230 V); a `100-240 V` supply anywhere.
    Limits: Household figures; a festival's distribution may give others.
    Decides: the festival's electrician.
    """
    for line, need in _powered(scope):
        bad = _where(scope, line, need, _runs_nowhere)
        if bad:
            too_high = min(bad[0][1].volts) > max(high for _, high in need.volts)
            what = "a step-down transformer; without it the device is destroyed"
            what = what if too_high else "a step-up transformer; without it the device will not run"
            yield Found(
                f"{line.name}: found {line.mains!r}, not made for {_voltages(bad)}; it "
                f"needs {what}.",
                line.source.cell("mains"),
                line.name,
                f"Hire one there, or bring a transformer of enough power. {CAUTION}",
            )


@rule("mains-voltage-by-region", "mains", Severity.WARNING)
def voltage_region(scope: Scope) -> Iterator[Found]:
    """A stop's country has several voltages, and a device is made for some of them only.

    What: As `mains-voltage-mismatch`, where at least one voltage fits and one does not.
    Why: Which one the venue has, the country does not tell.
    Source: Two lists of 2017 (IEC World Plugs as in benjiao/world-plugs; fluids 1.3.1).
    Fails: A 220 V device in Brazil (127 and 220 V).
    Passes: A `100-240 V` supply there.
    Limits: Household figures; the lists disagree for some countries and both are kept.
    Decides: the festival's electrician.
    """
    for line, need in _powered(scope):
        bad = _where(scope, line, need, _runs_in_parts)
        if bad:
            yield Found(
                f"{line.name}: found {line.mains!r}, made for only some of the voltages of "
                f"{_voltages(bad)}.",
                line.source.cell("mains"),
                line.name,
                f"Ask in the advance which one the venue has. {CAUTION}",
            )


@rule("mains-frequency-mismatch", "mains", Severity.WARNING)
def frequency(scope: Scope) -> Iterator[Found]:
    """A device names a mains frequency that a stop does not have, or not everywhere.

    What: The frequencies in Mains against those of the stop's country; one finding a line.
    Why: Motors, tone wheels, clocks and some transformers run wrong or hot on the other one.
    Source: Two lists of 2017 (IEC World Plugs as in benjiao/world-plugs; fluids 1.3.1); Japan has
        50 and 60 Hz by region.
    Fails: A `100 V 60 Hz` organ in Japan; a `230 V 50 Hz` one in Korea.
    Passes: A `50/60 Hz` device anywhere.
    Limits: A transformer does not change the frequency.
    Decides: the maker of the device, and the festival's electrician.
    """
    for line, need in _powered(scope):
        bad = _where(scope, line, need, _lacks_frequency)
        if bad:
            yield Found(
                f"{line.name}: found {line.mains!r}, but {_frequencies(bad)}.",
                line.source.cell("mains"),
                line.name,
                f"Ask the maker whether it runs there, or hire one there. {CAUTION}",
            )


@rule("mains-frequency-not-stated", "mains", Severity.NOTE)
def frequency_open(scope: Scope) -> Iterator[Found]:
    """A device names no frequency, and a stop has another one than home.

    What: Mains with a voltage and no frequency, at stops whose country has a frequency that the
        home country has not; one finding a line.
    Why: What runs at home may run wrong or hot there: motors, tone wheels, clocks, some
        transformers.
    Source: Two lists of 2017 (IEC World Plugs as in benjiao/world-plugs; fluids 1.3.1).
    Fails: A `230 V` rotary loudspeaker of a German band in Korea (60 Hz).
    Passes: The same in Switzerland (50 Hz); a `230 V 50/60 Hz` one in Korea.
    Limits: Most electronics take both, as their plate then says. Says nothing where the table
        lacks the home country.
    Decides: the maker of the device, by its plate.
    """
    home = shared.mains(scope.trip.home_country)
    if home is None:
        return
    for line, need in _powered(scope):
        bad = [
            (stop, supply)
            for stop, supply in _stops(scope, line)
            if not need.hertz and not set(supply.hertz) <= set(home.hertz)
        ]
        if bad:
            yield Found(
                f"{line.name}: found {line.mains!r} without a frequency, and {_frequencies(bad)}, "
                f"where home has {'/'.join(str(each) for each in home.hertz)} Hz.",
                line.source.cell("mains"),
                line.name,
                f"Copy the frequency from its plate, such as `50/60 Hz`. {CAUTION}",
            )


@rule("plug-needs-adapter", "mains", Severity.NOTE)
def adapters(scope: Scope) -> Iterator[Found]:
    """Plugs do not enter the sockets at a stop.

    What: The letters in Plug against the country's sockets; one finding for each kind of plug,
        with the lines, the stops and the adapter, to an earthed socket where there is one.
    Why: An adapter that is not packed is bought at the airport. An adapter changes no voltage.
    Source: Two lists of 2017 (IEC World Plugs as in benjiao/world-plugs; fluids 1.3.1), letters A
        to O; which plugs enter other sockets: from memory, shared/figures.toml (mains).
    Fails: A `G` plug in Switzerland (C J): a G to J adapter.
    Passes: A `C` plug in Germany (C F).
    Limits: Wall sockets only. A C plug is for small unearthed loads; plain E or F plugs may not
        enter the other's socket.
    Decides: the festival's electrician.
    """
    by_plug: dict[tuple[str, ...], list[Gear]] = {}
    for line in scope.lines:
        plugs = parse_plugs(line.plug)
        if plugs and _misfits(scope, line, plugs):
            by_plug.setdefault(plugs, []).append(line)
    for plugs, lines in by_plug.items():
        bad = {place for line in lines for place in _misfits(scope, line, plugs)}
        yield Found(
            f"Found plug {'/'.join(plugs)} on {listed(line.name for line in lines)}; sockets are "
            f"others at {listed(sorted(bad))}.",
            lines[0].source.cell("plug"),
            lines[0].name,
            f"Pack earthed adapters, or ask for a distribution to match. {CAUTION}",
        )


def _misfits(scope: Scope, line: Gear, plugs: tuple[str, ...]) -> list[str]:
    needed = ((stop, supply, adapter(plugs, supply.plugs)) for stop, supply in _stops(scope, line))
    return [
        f"{stop.name} ({' '.join(supply.plugs)}: {needs} adapter)"
        for stop, supply, needs in needed
        if needs
    ]


@rule("mains-not-understood", "mains", Severity.NOTE)
def not_understood(scope: Scope) -> Iterator[Found]:
    """A Mains or Plug cell is not understood.

    What: Mains without a voltage such as `230 V`, or Plug without a letter A to O.
    Why: What is not understood is not checked, and silence would look like an answer.
    Source: The workbook's own form: `100-240 V 50/60 Hz`; plug letters as in IEC World Plugs.
    Fails: Mains `yes`; Plug `euro`.
    Passes: Mains `230 V`; Plug `E/F`.
    Limits: Connectors on the device itself, such as C13, are no plugs.
    Decides: the plate on the device.
    """
    for line in scope.lines:
        if line.mains.strip() and parse_mains(line.mains) is None:
            yield Found(
                f"{line.name}: found Mains {line.mains!r}, in which no voltage is understood.",
                line.source.cell("mains"),
                line.name,
                "Write it like `100-240 V 50/60 Hz`.",
            )
        if line.plug.strip() and not parse_plugs(line.plug):
            yield Found(
                f"{line.name}: found Plug {line.plug!r}, in which no letter A to O is understood.",
                line.source.cell("plug"),
                line.name,
                "Write the letter of the wall plug, such as G.",
            )


@rule("mains-of-country-unknown", "mains", Severity.NOTE)
def unknown_country(scope: Scope) -> Iterator[Found]:
    """The table has no mains for a stop's country.

    What: Stops in a country that no list read has, where mains gear is needed.
    Why: What is not known is not checked.
    Source: Two lists of 2017 (IEC World Plugs as in benjiao/world-plugs; fluids 1.3.1).
    Fails: A stop in Greenland with an amplifier on the list.
    Passes: A stop in Portugal.
    Limits: None that matters.
    Decides: the festival's electrician.
    """
    needed = {
        name
        for line in scope.lines
        if line.mains.strip() or line.plug.strip()
        for name in line.needed_at
    }
    for stop in scope.trip.stops:
        if stop.name in needed and shared.mains(stop.country) is None:
            yield Found(
                f"{stop.name}: found country {stop.country}, which the mains table has not.",
                stop.source.cell("country"),
                stop.name,
                f"Ask in the advance. {CAUTION}",
            )
