"""One module per paper: functions that take a trip and a plan and return typed rows and tables.

Nothing in here formats or draws. The rows are frozen; the same rows go into the workbook, the
PDF, the page and the CSV file. Rows stand in an order that does not depend on the order of rows
in the user's workbook.
"""
