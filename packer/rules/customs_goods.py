"""What the general list demands of each good: value, origin, description, serial, heading.

What comes in: gear lines that may fly and cases. What goes out: findings at the cell that would
leave a gap in the list. What is missing is said only where a trip leaves its customs territory;
what is wrong in itself (a dropped heading, a serial given twice) is always said.
Customs decide what a list must show.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import shared
from packer.model.finding import Severity
from packer.model.serials import is_electrical, says_no_serial
from packer.model.source import Source
from packer.model.trip import Case, Chemistry, Gear, Price
from packer.rules.catalogue import Found, rule
from packer.rules.customs_route import crosses_customs
from packer.rules.scope import Scope, listed, plural

_HOLDER = re.compile(
    r"\b(bag|case|box|holder|rack|pouch|vault|cutter|machine|lamp|stand)s?\b", re.I
)


@dataclass(frozen=True, slots=True)
class _Good:
    """A row of the Gear or the Cases sheet, as far as a customs list goes."""

    name: str
    description: str
    value: Price | None
    origin: str
    hs: str
    source: Source
    line: Gear | None


def _goods(scope: Scope) -> tuple[_Good, ...]:
    """Every row that may cross a customs border; none where no border is crossed."""
    return _rows(scope) if crosses_customs(scope.trip) else ()


def _rows(scope: Scope) -> tuple[_Good, ...]:
    """Every row of gear that may fly, and of cases."""
    cases = {case.run: case for case in reversed(scope.trip.cases)}
    return (
        *(_good(line, line.name, line) for line in scope.lines),
        *(_good(case, case.run, None) for case in reversed(cases.values())),
    )


def _good(row: Gear | Case, name: str, line: Gear | None) -> _Good:
    return _Good(name, row.description, row.value, row.origin, row.hs, row.source, line)


def _lines(scope: Scope) -> tuple[Gear, ...]:
    return tuple(good.line for good in _goods(scope) if good.line is not None)


@rule("customs-value-missing", "customs", Severity.WARNING)
def value_missing(scope: Scope) -> Iterator[Found]:
    """A good that crosses a customs border has no value.

    What: Value empty or 0 on a gear line that may fly, or on a case.
    Why: No value may be empty on the list; customs work out the security from it.
    Source: businesswest.co.uk guidance on the general list; gov.uk general list of goods (as
        seen 2026).
    Fails: A keyboard without Value on a trip from GB to France.
    Passes: The same with Value 900.
    Limits: Whether the value is the true one, nobody can see here.
    Decides: the customs office at each border.
    """
    for good in _goods(scope):
        if good.value is None or good.value.minor == 0:
            found = "no value" if good.value is None else "a value of 0"
            yield Found(
                f"{good.name}: found {found}; a customs list may not leave it open.",
                good.source.cell("value"),
                good.name,
                "Fill in what it would cost to replace it as it is.",
            )


@rule("customs-origin-missing", "customs", Severity.WARNING)
def origin_missing(scope: Scope) -> Iterator[Found]:
    """A good that crosses a customs border has no origin.

    What: Origin empty on a gear line that may fly or on a case. One that is no ISO 3166-1 code,
        such as `UK`, is found while reading (`origin-unknown`).
    Why: No origin may be empty on the list, and it is written as two letters.
    Source: businesswest.co.uk guidance on the general list (as seen 2026); ISO 3166-1 alpha-2.
    Fails: Origin empty.
    Passes: Origin `GB`.
    Limits: `EU` and other groups are not country codes.
    Decides: the customs office at each border.
    """
    for good in _goods(scope):
        if not good.origin.strip():
            yield Found(
                f"{good.name}: found no origin; a customs list may not leave it open.",
                good.source.cell("origin"),
                good.name,
                "Fill in the country where it was made, such as JP; the United Kingdom is GB.",
            )


@rule("packaging-is-no-description", "customs", Severity.WARNING)
def packaging(scope: Scope) -> Iterator[Found]:
    """A description names the packing, or nothing in particular.

    What: Descriptions that are empty or open with `box of`, `bag of`, `various`, `assorted`.
    Why: An officer must recognise the object; packaging is no trade description.
    Source: gov.uk handbook on carnets; kentinvictachamber.co.uk general list (as seen 2026).
    Fails: `Box of cables`.
    Passes: `Set of cables`; `Microphones, packed in a box`.
    Limits: Knows a few openings in English.
    Decides: the customs office at each border.
    """
    for good in _goods(scope):
        word = _packaging_word(good.description)
        if word is not None:
            yield Found(
                f"{good.name}: found the description {good.description!r}"
                f"{', which names packaging' if word else ', which is empty'}.",
                good.source.cell("description"),
                good.name,
                "Say what it is: `set of cables`, then `packed in a box` if you like.",
            )


def _packaging_word(description: str) -> str | None:
    """The packaging word that a description opens with, '' for an empty one, None if it is fine."""
    text = description.strip().casefold()
    if not text:
        return ""
    plain = re.sub(r"^(a|an|the|\d+\s*x?)\s+", "", text)
    words = shared.carnet_figures().packaging_words
    return next((word for word in words if re.match(rf"{word}\b", plain)), None)


@rule("serial-missing", "customs", Severity.WARNING)
def serial_missing(scope: Scope) -> Iterator[Found]:
    """An electrical good has neither a serial number nor the statement that there is none.

    What: Lines with a battery inside, radio, mains or an electrical heading, not consumable, with
        fewer serials than units; `NSN` or `none` states that there is none. Cables, plugs, loose
        cells, aerials and microphone stands are let pass by their headings.
    Why: Electrical goods, electric instruments included, are told apart by make, model and
        serial.
    Source: gov.uk handbook on carnets; businesswest.co.uk general list (as seen 2026): `S/N ...`
        or `NSN`.
    Fails: An electric guitar of heading 9207.90 with empty Serials.
    Passes: The same with `NSN`; a cymbal without serial.
    Limits: Cannot know that something is electrical where the row names no battery, radio,
        mains or heading.
    Decides: the customs office at each border.
    """
    for line in _lines(scope):
        if line.consumable or not is_electrical(line):
            continue
        missing = line.quantity - len(line.serials)
        if missing > 0 and not any(says_no_serial(serial) for serial in line.serials):
            yield Found(
                f"{line.name}: found {plural(len(line.serials), 'serial')} for "
                f"{plural(line.quantity, 'electrical unit')}.",
                line.source.cell("serials"),
                line.name,
                "Fill in the serials, or `NSN` where there is none.",
            )


@rule("serials-do-not-match-units", "customs", Severity.WARNING)
def serials_match(scope: Scope) -> Iterator[Found]:
    """A line names more serials than it has units, or a serial stands twice.

    What: More serials than Quantity, or one serial on two units or lines.
    Why: Each object keeps its own number on the list; an officer compares them.
    Source: Dutch chamber's instructions for the general list (http://cameraverhuur.com/?page_id=3093,
        as seen 2026): each good keeps its own number.
    Fails: Quantity 2 with three serials.
    Passes: Quantity 2 with two different serials.
    Limits: Two makers may use the same number; then it is a coincidence.
    Decides: the customs office at each border.
    """
    seen: dict[str, str] = {}
    for line in scope.lines:
        own = [serial for serial in line.serials if not says_no_serial(serial)]
        doubled = [
            serial for serial in dict.fromkeys(own) if seen.get(serial) or own.count(serial) > 1
        ]
        seen.update(dict.fromkeys(own, line.name))
        extra = len(own) > line.quantity
        if extra or doubled:
            what = f"{plural(len(own), 'serial')} for {plural(line.quantity, 'unit')}"
            yield Found(
                f"{line.name}: found {what if extra else 'a serial that stands twice'}"
                f"{': ' + listed(doubled) if doubled else ''}.",
                line.source.cell("serials"),
                line.name,
                "Give each unit its own serial.",
            )


@rule("consumable-on-customs-list", "customs", Severity.WARNING)
def consumables(scope: Scope) -> Iterator[Found]:
    """Something that is used up is not marked as consumable.

    What: Descriptions that name used-up goods (strings, drum heads, tape, haze fluid, disposable
        batteries), headings 9209.30 and 8506, and spare alkaline cells, without Consumable `yes`.
    Why: A carnet may not carry goods that do not come back; they need a list of their own.
    Source: kentinvictachamber.co.uk general list; businesswest.co.uk (as seen 2026): consumables
        and disposables are left off. The stage words are judgement.
    Fails: `Disposable batteries AA` with Consumable empty.
    Passes: The same with Consumable `yes`; `Drumstick bag`.
    Limits: Knows a few words in English; what comes back unused is the user's to say.
    Decides: the customs office at each border.
    """
    for line in _lines(scope):
        if not line.consumable and _is_used_up(line):
            yield Found(
                f"{line.name}: found {line.description!r} on the list of goods that come back.",
                line.source.cell("consumable"),
                line.name,
                "Put `yes` in Consumable; it then goes on the proforma instead.",
            )


def _is_used_up(line: Gear) -> bool:
    if line.hs.replace(".", "").startswith(shared.carnet_figures().consumable_headings):
        return True
    battery = line.battery
    if battery is not None and battery.spare and battery.chemistry is Chemistry.ALKALINE:
        return True
    text = line.description.casefold()
    named = any(word in text for word in shared.carnet_figures().consumable_words)
    return named and not _HOLDER.search(text)


@rule("heading-no-longer-exists", "customs", Severity.WARNING)
def heading_gone(scope: Scope) -> Iterator[Found]:
    """A tariff heading is not in the Harmonized System of 2022.

    What: HS of a gear line or a case that is a heading dropped in or before 2022, whether or
        not this trip crosses a customs border.
    Why: A form with it is sent back.
    Source: Harmonized System 2022 texts (harmonized-system.csv of datasets/harmonized-system,
        commit 905e5a0f).
    Fails: HS 8525.80.
    Passes: HS 8525.89.
    Limits: Knows the dropped headings that stage goods used to have; the choice of heading is
        the user's.
    Decides: the customs office at each border.
    """
    for good in _rows(scope):
        gone = removed_heading(good.hs)
        if gone is not None:
            instead = shared.removed_headings()[gone]
            yield Found(
                f"{good.name}: found HS {good.hs}, which HS 2022 does not have.",
                good.source.cell("hs"),
                good.name,
                f"Look at {instead}." if instead else "Look it up in the tariff.",
            )


def removed_heading(hs: str) -> str | None:
    """The dropped heading that a code belongs to, such as `8525.80`; None if it is none."""
    digits = re.sub(r"\D", "", hs)
    dotted = f"{digits[:4]}.{digits[4:6]}"
    return next((code for code in (dotted, digits[:4]) if code in shared.removed_headings()), None)


@rule("heading-badly-written", "customs", Severity.NOTE)
def heading_form(scope: Scope) -> Iterator[Found]:
    """A tariff heading is not written as figures.

    What: HS with fewer than four or more than ten figures, or with letters.
    Why: Headings have four or six figures, national codes up to ten.
    Source: Harmonized System 2022: six-figure subheadings; longer codes are national.
    Fails: HS `8518.1` or `guitar`.
    Passes: HS `8518.10`, `8518`, `8518100090`.
    Limits: Does not know whether a well-written heading exists.
    Decides: the customs office at each border.
    """
    for good in _rows(scope):
        digits = re.sub(r"[.\s]", "", good.hs)
        if good.hs and (not digits.isdecimal() or len(digits) not in (4, 6, 8, 10)):
            yield Found(
                f"{good.name}: found HS {good.hs!r}, which is no heading of 4, 6, 8 or 10 figures.",
                good.source.cell("hs"),
                good.name,
                "Write it like 8518.10.",
            )
