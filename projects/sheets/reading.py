"""A CSV or XLSX file as a table of text.

Uploads are not trusted: XLSX is XML in a ZIP archive, so its unpacked size is looked at before anything is unpacked,
no part may have a document type, and openpyxl parses through defusedxml, which refuses entities (XML bombs, files of
this machine).
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

MOST_BYTES = 15 * 1024 * 1024
MOST_UNPACKED_BYTES = 200 * 1024 * 1024
MOST_PROLOGUE_BYTES = 64 * 1024
MOST_ROWS = 20_000
MOST_COLUMNS = 80
MOST_LETTERS = 4_000
DELIMITERS = ",;\t|"
FORMULA_MARKS = "=+-@＝＋－＠"


class Unreadable(ValueError):
    """The message is for whoever chose the file."""


@dataclass(frozen=True)
class Table:
    headings: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    """Number of the row as a spreadsheet program counts it, and its cells, as many as headings; empty rows left out."""


def read_table(data: bytes, filename: str) -> Table:
    """The first sheet; its first row that isn't empty holds the headings. Raises Unreadable."""
    if not data:
        raise Unreadable("The file is empty.")
    if len(data) > MOST_BYTES:
        raise Unreadable(f"The file is larger than {MOST_BYTES // 1024 // 1024} MB; split it.")
    if data[:4] == b"PK\x03\x04":
        return _table(_xlsx_rows(data))
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise Unreadable("This is a workbook of the old kind (or one with a password): save it as .xlsx or .csv.")
    if filename.lower().endswith((".xlsx", ".xlsm")):
        raise Unreadable("This is named like a workbook but is none; save it again as .xlsx or .csv.")
    return _table(_csv_rows(data))


def _table(rows: Iterable[list[str]]) -> Table:
    headings: list[str] = []
    found: list[tuple[int, tuple[str, ...]]] = []
    for number, cells in enumerate(rows, start=1):
        while cells and not cells[-1]:
            cells.pop()
        if not cells:
            continue
        if not headings:
            headings = _headings(cells)
            continue
        if len(cells) > len(headings):
            raise Unreadable(f"Row {number} has {len(cells)} cells, but there are {len(headings)} headings.")
        if len(found) == MOST_ROWS:
            raise Unreadable(f"More than {MOST_ROWS:,} rows; split the file.")
        too_long = next((n for n, cell in enumerate(cells) if len(cell) > MOST_LETTERS), None)
        if too_long is not None:
            raise Unreadable(f"Row {number}, “{headings[too_long]}”: a cell of more than {MOST_LETTERS:,} letters.")
        found.append((number, tuple(cells + [""] * (len(headings) - len(cells)))))
    if not headings:
        raise Unreadable("There is nothing in it.")
    if not found:
        raise Unreadable("It has headings but no row below them.")
    return Table(tuple(headings), tuple(found))


def _headings(cells: list[str]) -> list[str]:
    if len(cells) > MOST_COLUMNS:
        raise Unreadable(f"More than {MOST_COLUMNS} columns.")
    named: list[str] = []
    for place, cell in enumerate(cells, start=1):
        heading = " ".join(cell.split())[:80] or f"column {place}"
        named.append(heading if heading not in named else f"{heading} ({place})")
    return named


def _csv_rows(data: bytes) -> Iterator[list[str]]:
    text = _decoded(data)
    if "\x00" in text:
        raise Unreadable("This is no text: save the table as .csv or .xlsx.")
    csv.field_size_limit(max(csv.field_size_limit(), MOST_LETTERS * 4))
    try:
        for cells in csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True):
            yield [_plain(cell) for cell in cells]
    except csv.Error as error:
        raise Unreadable(f"The file can't be read as a table: {error}.") from error


def _decoded(data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # What spreadsheet programs on Windows write where nobody asks for UTF-8.
        return data.decode("cp1252", errors="replace")


def _delimiter(text: str) -> str:
    """Whichever stands most often in the row of headings, outside quotation marks."""
    head = text.lstrip("\ufeff\r\n ").split("\n", 1)[0]
    outside = "".join(head.split('"')[::2])
    return max(DELIMITERS, key=outside.count)


def _xlsx_rows(data: bytes) -> Iterator[list[str]]:
    from openpyxl import load_workbook  # slow to import: not at start-up

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            if sum(part.file_size for part in packed.infolist()) > MOST_UNPACKED_BYTES:
                raise Unreadable("Unpacked, this workbook is larger than any table of jobs.")
            if any(_declares_entities(packed, part) for part in packed.infolist()):
                raise Unreadable("The workbook can't be opened; save it again as .xlsx or .csv.")
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
    except Unreadable:
        raise
    except Exception as error:  # openpyxl raises whatever its parsers raise
        raise Unreadable("The workbook can't be opened; save it again as .xlsx or .csv.") from error
    try:
        if not book.worksheets:
            raise Unreadable("The workbook has no sheet with cells.")
        sheet = book.worksheets[0]
        sheet.reset_dimensions()  # what a file says of its own size need not be true
        for cells in sheet.iter_rows(max_row=MOST_ROWS * 2, values_only=True):
            if len(cells) > MOST_COLUMNS and any(cell is not None for cell in cells[MOST_COLUMNS:]):
                raise Unreadable(f"More than {MOST_COLUMNS} columns.")
            yield [_as_text(cell) for cell in cells[:MOST_COLUMNS]]
    except Unreadable:
        raise
    except Exception as error:
        raise Unreadable("The sheet can't be read; save it again as .xlsx or .csv.") from error
    finally:
        book.close()


def _declares_entities(packed: zipfile.ZipFile, part: zipfile.ZipInfo) -> bool:
    """Whether this part has a document type, which no workbook has. Said before any parser, since which one openpyxl
    takes depends on what else is installed; a NUL byte in two is how UTF-16 looks here."""
    if not part.filename.lower().endswith((".xml", ".rels", ".vml")):
        return False
    with packed.open(part) as opened:
        return b"<!DOCTYPE" in opened.read(MOST_PROLOGUE_BYTES).replace(b"\x00", b"").upper()


def _as_text(cell: Any) -> str:
    """A cell as a person would write it: whole numbers without ".0", days as 2026-11-20."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, datetime):
        return cell.date().isoformat() if cell.time() == time() else cell.isoformat(" ", "minutes")
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    return _plain(str(cell))


def _plain(cell: str) -> str:
    """Without spaces around, and without the apostrophe that ``safe`` sets before what could be a formula."""
    text = cell.strip()
    return text[1:].strip() if text[:1] == "'" and text[1:].lstrip()[:1] in tuple(FORMULA_MARKS) else text
