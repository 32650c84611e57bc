"""Every code of a finding that reading can make, with its severity. Codes are never reused."""

from __future__ import annotations

from packer.model.finding import Finding, Severity
from packer.model.source import Cell

_ERRORS = """
file-missing file-not-workbook file-encrypted file-old-format file-damaged file-too-large
file-xml-entities
sheet-missing sheet-duplicate sheet-empty heading-row-missing heading-duplicate column-missing
unit-unknown
cell-missing cell-error formula-uncalculated control-character text-too-long name-character
number-expected number-ambiguous number-negative number-not-above-zero number-absurd
number-not-whole number-not-half choice-unknown date-unreadable date-ambiguous date-impossible
date-absurd country-unknown currency-unknown currency-conflict rate-missing rate-of-own-currency
trip-several range-malformed bands-malformed bands-overlap
name-duplicate case-run-duplicate offer-duplicate delivery-duplicate freight-several
rule-unknown stop-unknown case-unknown offer-target-unknown offer-target-ambiguous
gear-rack-and-slot gear-length-missing gear-size-missing battery-kind-missing
case-inside-missing case-rack-incomplete case-slots-incomplete case-inside-larger
case-gross-below-empty rule-extra-missing rule-fee-missing rule-free-missing
leg-pieces-missing
"""

_WARNINGS = """
column-misspelt sheet-misspelt weight-zero role-needs-assumed role-needs-without-role
name-spelling delivery-without-offer rule-free-above-most ticket-is-leg origin-unknown
number-digits-lost serial-count rows-none
"""

_NOTES = """
sheet-unknown sheet-hidden rows-hidden columns-hidden column-unknown column-unnamed
row-without-data gear-quantity-zero case-quantity-zero offer-for-nothing
number-grouped date-from-serial merged-cells-filled reference-spelling rule-field-unused
hs-zero-restored csv-encoding role-needs-differ rate-date-missing trip-name-missing
"""

SEVERITIES: dict[str, Severity] = {
    **dict.fromkeys(_ERRORS.split(), Severity.ERROR),
    **dict.fromkeys(_WARNINGS.split(), Severity.WARNING),
    **dict.fromkeys(_NOTES.split(), Severity.NOTE),
}


def finding(
    code: str, message: str, remedy: str = "", where: Cell | None = None, subject: str = ""
) -> Finding:
    """A finding with the severity of its code; KeyError for a code that is not listed."""
    return Finding(code, SEVERITIES[code], message, where, subject, remedy)
