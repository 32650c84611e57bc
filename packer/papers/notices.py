"""What a user should know about the papers themselves. Trip in, sentences out."""

from __future__ import annotations

from packer.model.trip import Trip
from packer.papers.pdf.typeset import unprintable


def notices(trip: Trip) -> tuple[str, ...]:
    """What a user should know about the papers: letters that no font here can print."""
    names = [trip.name, *(line.description for line in trip.gear)]
    names += [line.name for line in trip.gear] + [case.name for case in trip.cases]
    names += [case.description for case in trip.cases] + [stop.name for stop in trip.stops]
    missing = sorted({letter for name in names for letter in unprintable(name)})
    if not missing:
        return ()
    codes = ", ".join(f"U+{ord(letter):04X}" for letter in missing)
    return (f"No font here can print {codes}; PDF papers show the code in its place.",)
