"""Reading: a trip workbook or CSV folder in, a validated frozen `Trip` with findings out.

`schema` says what the sheets and columns are; `xlsx` and `csv_folder` give raw cells; `grid` and
`tables` find headings and parse cells by kind; `routes`, `cases`, `gear` and `offers` build and
check the records; `reader.read_trip` names every stage. `template` and `marked` write workbooks
for people.
"""

from packer.reading.reader import Reading, read_trip

__all__ = ["Reading", "read_trip"]
