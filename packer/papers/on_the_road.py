"""Papers that only the road asks for: a proforma of goods not on an issued list, a claim list.

In: a trip, its plan and what happened. Out: file names and bytes, workbook and PDF alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from packer.model.plan import Plan
from packer.model.trip import Trip
from packer.papers.book import write_book
from packer.papers.pdf.sheets import sheets_pdf
from packer.papers.sheets import beyond_sheets, claim_sheets
from packer.papers.stamp import stamp_of
from packer.papers.table import Sheet
from packer.papers.tables.claim import Claimed

PROFORMA = "proforma-not-on-list"
CLAIM = "claim-list"


def beyond_papers(trip: Trip, plan: Plan, beyond: Mapping[str, int]) -> dict[str, bytes]:
    """The proforma for what a plan flies and an issued list does not have, by file name."""
    return _both(PROFORMA, trip, plan, beyond_sheets(trip, plan, beyond))


def claim_papers(trip: Trip, plan: Plan, claim: Claimed, cases: Iterable[str]) -> dict[str, bytes]:
    """The claim list for lost cases, by file name."""
    return _both(CLAIM, trip, plan, claim_sheets(trip, plan, claim, cases))


def _both(name: str, trip: Trip, plan: Plan, sheets: list[Sheet]) -> dict[str, bytes]:
    stamp = stamp_of(trip, plan)
    return {f"{name}.xlsx": write_book(sheets, stamp), f"{name}.pdf": sheets_pdf(sheets, stamp)}
