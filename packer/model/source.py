"""Where a value came from: the file, the sheet, the row and, for each field, the column."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Cell:
    """One cell of the user's workbook; `row` counts from 1, `column` is a letter like `D`.

    In a folder of CSV files `file` is the folder's name and rows and columns count the same way.
    """

    file: str
    sheet: str
    row: int
    column: str
    heading: str = ""

    def __str__(self) -> str:
        return f"{self.file}!{self.sheet}!{self.column}{self.row}"


@dataclass(frozen=True, slots=True)
class Source:
    """The row that a record was read from, and the column (letter, heading) of each field read.

    `columns` holds (field name, column letter, heading as the user wrote it) in sheet order.
    `rows` holds (field name, row) for fields that stand in a row of their own (the Trip sheet).
    """

    file: str = ""
    sheet: str = ""
    row: int = 0
    columns: tuple[tuple[str, str, str], ...] = ()
    rows: tuple[tuple[str, int], ...] = ()

    def cell(self, field: str) -> Cell:
        """The cell of a field; where the sheet has no such column, the row's first column."""
        for name, column, heading in self.columns:
            if name == field:
                return Cell(self.file, self.sheet, self._row_of(field), column, heading)
        first = self.columns[0][1] if self.columns else "A"
        return Cell(self.file, self.sheet, self.row, first)

    def _row_of(self, field: str) -> int:
        return next((row for name, row in self.rows if name == field), self.row)


NOWHERE = Source()
