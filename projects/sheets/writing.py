"""Rows as CSV or XLSX, so that no cell turns into a formula in whatever opens them."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any

BOM = "\ufeff"
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
NOT_IN_XML = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def safe(value: Any) -> str:
    """A cell that no spreadsheet takes for a formula: an apostrophe goes before what could start one."""
    text = "" if value is None else str(value).replace("\x00", "")
    return f"'{text}" if text.lstrip(" ").startswith(FORMULA_STARTS) or text.startswith(FORMULA_STARTS) else text


class _Line:
    """What csv.writer writes to: hands the line straight back."""

    def write(self, line: str) -> str:
        return line


def csv_lines(headings: Sequence[str], rows: Iterable[Sequence[Any]]) -> Iterator[str]:
    writer = csv.writer(_Line())
    # Spreadsheets take a file without the mark for their local encoding and spoil every "ñ".
    yield BOM + writer.writerow([safe(heading) for heading in headings])
    for row in rows:
        yield writer.writerow([safe(value) for value in row])


def xlsx_bytes(title: str, headings: Sequence[str], rows: Iterable[Sequence[Any]]) -> bytes:
    """One sheet: days as days, amounts as numbers, everything else as text that stays text."""
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = Workbook(write_only=True)
    sheet = book.create_sheet(title)
    sheet.freeze_panes = "A2"
    for place, heading in enumerate(headings, start=1):
        sheet.column_dimensions[get_column_letter(place)].width = max(10, min(28, len(heading) + 8))

    def cell(value: Any) -> Any:
        if isinstance(value, datetime):
            return value.replace(tzinfo=None)
        if value is None or isinstance(value, date | Decimal | int | float):
            return value
        text = WriteOnlyCell(sheet, NOT_IN_XML.sub("", str(value)))
        # A formula runs only in a cell of the type formula. The prefix keeps it text when somebody edits the cell.
        text.data_type = "s"
        text.quotePrefix = text.value.lstrip(" ").startswith(FORMULA_STARTS)
        return text

    head = [cell(heading) for heading in headings]
    for heading in head:
        heading.font = Font(bold=True)
    sheet.append(head)
    for row in rows:
        sheet.append([cell(value) for value in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
