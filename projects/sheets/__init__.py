"""Tables that come from a spreadsheet program or go to one: CSV and XLSX, in and out. Knows nothing of jobs."""

from projects.sheets.reading import Table, Unreadable, read_table
from projects.sheets.writing import csv_lines, safe, xlsx_bytes

__all__ = ["Table", "Unreadable", "csv_lines", "read_table", "safe", "xlsx_bytes"]
