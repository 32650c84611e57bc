"""Protected species in instruments: what needs papers, what is exempt as a finished instrument.

What comes in: the Material of each line that may fly, where a border is crossed. What goes out:
findings that always refer to the authority. The table of materials stands in `shared`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from functools import cache, lru_cache

import shared
from packer.model.finding import Severity
from packer.model.trip import Gear, Trip
from packer.rules.carnet import years_after
from packer.rules.catalogue import Found, rule
from packer.rules.customs_route import first_day, last_day
from packer.rules.routes_by_air import country_of_place
from packer.rules.scope import Scope, kg, own_column
from shared.records import Species


def certificate_until(issued: date) -> date:
    """The last day of a musical instrument certificate: three years (CITES Conf. 16.8)."""
    return years_after(issued, shared.species_figures().certificate_years)


_PARTS = re.compile(r"[,;/+&]|\b(?:and|with)\b")


@lru_cache
def all_species(material: str) -> tuple[Species, ...]:
    """Every listed material that a text such as `rosewood body, ivory nut` names, part by part."""
    named = (species_of(part) for part in _PARTS.split(material.casefold()))
    return tuple(dict.fromkeys(held for held in named if held is not None))


def species_of(material: str) -> Species | None:
    """The listed material that one part of a text names, the narrowest; None for none.

    A part that calls it an imitation names none.
    """
    text = material.casefold()
    if _names_any(text, shared.species_figures().imitation_words):
        return None
    return next((held for held in shared.species() if _names_any(text, held.words)), None)


def _names_any(text: str, words: tuple[str, ...]) -> bool:
    return _any_of(words).search(text) is not None


@cache
def _any_of(words: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, words))})\b" if words else "(?!)")


def needs_papers(held: Species, day: date, is_instrument: bool, wood_g: int) -> bool:
    """Whether the table has papers for it on a day, for a move that is no sale.

    `is_instrument`: a finished instrument, part or accessory. `wood_g`: weight of the listed
    wood in the shipment, which counts for other goods under annotation #15.
    """
    figures = shared.species_figures()
    if held.finished_instrument == "papers":
        return True
    if held.finished_instrument == "exempt if not sold":
        return not is_instrument or day < figures.pernambuco_from
    return not is_instrument and wood_g > figures.wood_exempt_most_g


def _crosses(trip: Trip) -> bool:
    """Papers go by countries, not by customs territories."""
    places = (
        country_of_place(trip, end) for leg in trip.legs for end in (leg.origin, leg.destination)
    )
    countries = {trip.home_country, *(stop.country for stop in trip.stops), *places}
    return len(countries - {None, ""}) > 1


def _listed(scope: Scope) -> Iterator[tuple[Gear, Species, bool]]:
    """(line, listed material, whether papers are due) for each material that a line names."""
    if not _crosses(scope.trip):
        return
    day = first_day(scope.trip) or date.max
    for line in scope.lines:
        for held in all_species(line.material):
            weight = line.weight_g * line.quantity
            yield line, held, needs_papers(held, day, _is_instrument(line), weight)


def _is_instrument(line: Gear) -> bool:
    """True unless the heading says otherwise: the exemption reaches parts and accessories too."""
    return not line.hs or line.hs.startswith(shared.species_figures().instrument_chapter)


@rule("species-papers-needed", "species", Severity.WARNING)
def papers_needed(scope: Scope) -> Iterator[Found]:
    """A material is listed and its table row asks for papers at each border.

    What: Material names a species of Appendix I, one outside the instrument exemption, or a wood
        above 10 kg in something that is no instrument.
    Why: Without a permit or a musical instrument certificate (valid three years, many crossings)
        the object can be seized.
    Source: CITES annotations #4, #10, #15 and Resolution Conf. 16.8, as the pages beside each row
        of shared/species.csv report them (after CoP20, 2026).
    Fails: A guitar of Dalbergia nigra; an 11 kg rosewood panel of heading 4420.
    Passes: A finished guitar of another Dalbergia.
    Limits: Reads names in Material only; takes a line without HS for an instrument, and all of
        its weight for the wood.
    Decides: the CITES management authority of each country on the way.
    """
    for line, held, is_due in _listed(scope):
        if is_due:
            yield Found(
                f"{line.name}: found {held.material}, Appendix {held.appendix}"
                f"{' ' + held.annotation if held.annotation else ''}; papers are asked for at "
                f"borders.{_note(held)}",
                line.source.cell("material"),
                line.name,
                "Ask the CITES authority at home about a musical instrument certificate, weeks "
                "ahead; the authority decides.",
            )


def _note(held: Species) -> str:
    return f" {held.note}" if held.note else ""


@rule("species-certificate-expires", "species", Severity.WARNING)
def certificate_expires(scope: Scope) -> Iterator[Found]:
    """A musical instrument certificate ends before the trip does.

    What: A column of your own on the Gear sheet called `Certificate issued`, on lines whose
        material asks for papers: three years from that day, against the last flight or show; a
        text that is no date is named too.
    Why: Without a valid certificate the object can be seized on the way home.
    Source: CITES Resolution Conf. 16.8, as reported by the FIM handbook of 2016
        (https://www.yumpu.com/en/document/view/62141096/fim-cites-handbook-final/2): three years.
    Fails: `Certificate issued` 2023-06-30 and a last show on 2026-07-04.
    Passes: `Certificate issued` 2026-01-10, which is valid to 2029-01-10 at most.
    Limits: Works only where the user keeps the date in that column. A permit for one journey is
        shorter (six months), and the date printed on the paper may be earlier.
    Decides: the CITES management authority of each country on the way.
    """
    last = last_day(scope.trip)
    for line in dict.fromkeys(line for line, _, is_due in _listed(scope) if is_due):
        text = own_column(line, "Certificate issued")
        found = _certificate_words(text, last) if text and last else ""
        if found:
            yield Found(
                f"{line.name}: found {found}.",
                line.source.cell("material"),
                line.name,
                "Ask the CITES authority at home in time; the authority decides.",
            )


def _certificate_words(text: str, last: date) -> str:
    """What is wrong with the day of issue; '' for nothing."""
    try:
        until = certificate_until(date.fromisoformat(text[:10]))
    except ValueError:
        return f"Certificate issued {text!r}, which is no date such as 2026-01-10"
    if last <= until:
        return ""
    return f"a certificate of {text[:10]}, valid to {until} at most, and a trip until {last}"


@rule("species-exempt-instrument", "species", Severity.NOTE)
def exempt(scope: Scope) -> Iterator[Found]:
    """A material is listed, and finished instruments are reported to be exempt.

    What: Material names a wood whose annotation leaves out finished instruments, parts and
        accessories.
    Why: An officer may ask all the same; carry what shows the species and that it is a finished
        instrument.
    Source: CITES annotations #15 (c) and, from 5 March 2026, #10, as the pages beside each row of
        shared/species.csv report them.
    Fails: A finished guitar of Dalbergia latifolia; a pernambuco bow for a paid performance after
        5 March 2026.
    Passes: A guitar of maple.
    Limits: Holds for moves that are no sale; some countries are stricter.
    Decides: the CITES management authority of each country on the way.
    """
    for line, held, is_due in _listed(scope):
        if not is_due:
            yield Found(
                f"{line.name}: found {held.material}, Appendix {held.appendix} "
                f"{held.annotation}.{_note(held)}",
                line.source.cell("material"),
                line.name,
                "Carry proof of the species; the authority decides.",
            )


@rule("material-not-in-table", "species", Severity.NOTE)
def unknown_material(scope: Scope) -> Iterator[Found]:
    """A material is named that the table of listed species does not know.

    What: Material has a text in which no listed name is found.
    Why: Silence would look like an answer, and the table is short.
    Source: shared/species.csv (after CoP20, 2026).
    Fails: Material `sandalwood`.
    Passes: Material empty; Material `rosewood`.
    Limits: The full lists have tens of thousands of species.
    Decides: the CITES management authority of each country on the way.
    """
    if not _crosses(scope.trip):
        return
    for line in scope.lines:
        if line.material.strip() and not all_species(line.material):
            yield Found(
                f"{line.name}: found the material {line.material!r} ({kg(line.weight_g)} each), "
                "which is not in the table here.",
                line.source.cell("material"),
                line.name,
                "Look it up at the authority.",
            )
