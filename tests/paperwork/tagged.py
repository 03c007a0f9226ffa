"""PDF/UA-1 checks that need no validator: what ISO 14289-1 asks of structure, language, title, fonts and content.

Clause numbers from memory of ISO 14289-1:2014 and the Matterhorn protocol's list of failures.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pikepdf

SHOWS = frozenset({"Tj", "TJ", "'", '"', "f", "F", "f*", "S", "s", "B", "B*", "b", "b*", "Do", "sh", "INLINE IMAGE"})
HEADINGS = ("/H1", "/H2", "/H3", "/H4", "/H5", "/H6")


def opened(content: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(content))


def elements(pdf: pikepdf.Pdf) -> Iterator[pikepdf.Dictionary]:
    """Structure elements in reading order."""
    waiting = [pdf.Root.StructTreeRoot.K]
    while waiting:
        node = waiting.pop()
        if isinstance(node, pikepdf.Array):
            waiting.extend(reversed(list(node)))
        elif isinstance(node, pikepdf.Dictionary) and "/S" in node:
            yield node
            if "/K" in node:
                waiting.append(node.K)


def faults(content: bytes, language: str) -> list[str]:
    """What speaks against PDF/UA-1, in words; empty where nothing was found."""
    with opened(content) as pdf:
        return [
            *pdf.check_pdf_syntax(),
            *_about(pdf, language),
            *_fonts(pdf),
            *_pages(pdf),
            *_structure(pdf),
        ]


def _about(pdf: pikepdf.Pdf, language: str) -> Iterator[str]:
    root = pdf.Root
    if not bool(root.get("/MarkInfo", {}).get("/Marked", False)) or bool(root.MarkInfo.get("/Suspects", False)):
        yield "7.1: the file doesn't say that it is marked"
    if str(root.get("/Lang", "")) != language:
        yield f"7.2: the language is {root.get('/Lang', 'not given')}"
    if not bool(root.get("/ViewerPreferences", {}).get("/DisplayDocTitle", False)):
        yield "7.1: readers are not told to show the title"
    with pdf.open_metadata() as metadata:
        if metadata.get("pdfuaid:part") != "1":
            yield "5: no PDF/UA identification"
        if not metadata.get("dc:title"):
            yield "7.1: no title"


def _fonts(pdf: pikepdf.Pdf) -> Iterator[str]:
    for font in pdf.objects:
        if isinstance(font, pikepdf.Dictionary) and font.get("/Type") == "/Font":
            if font.get("/Subtype") == "/Type0" and "/ToUnicode" not in font:
                yield f"7.21.7: {font.BaseFont} has no way back to letters"
            if "/DescendantFonts" not in font and not _embedded(font):
                yield f"7.21.4: {font.get('/BaseFont')} is not in the file"


def _embedded(font: Any) -> bool:
    descriptor = font.get("/FontDescriptor", {})
    return any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))


def _pages(pdf: pikepdf.Pdf) -> Iterator[str]:
    for number, page in enumerate(pdf.pages, start=1):
        if page.obj.get("/Tabs") != "/S" and "/Annots" in page.obj:
            yield f"7.18.3: page {number} doesn't take its links in the order of the structure"
        if "/StructParents" not in page.obj:
            yield f"7.1: page {number} has no way to its structure"
        inside = 0
        for operands, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            if name in ("BDC", "BMC"):
                inside += 1
            elif name == "EMC":
                inside -= 1
            elif name in SHOWS and not inside:
                yield f"7.1: page {number} shows something neither tagged nor an artifact ({name} {operands[:1]})"
                break


def _structure(pdf: pikepdf.Pdf) -> Iterator[str]:
    deepest = 0
    for element in elements(pdf):
        kind = str(element.S)
        if kind in HEADINGS:
            level = HEADINGS.index(kind) + 1
            if level > deepest + 1:
                yield f"7.4.2: a heading of level {level} follows level {deepest}"
            deepest = level
        if kind == "/Figure" and len(str(element.get("/Alt", ""))) < 3:
            yield "7.3: a figure without words for it"
        if kind == "/Table" and "/TH" not in _kinds_below(element):
            yield "7.5: a table without headings"


def _kinds_below(element: pikepdf.Dictionary) -> set[str]:
    found, waiting = set(), [element.get("/K")]
    while waiting:
        node = waiting.pop()
        if isinstance(node, pikepdf.Array):
            waiting.extend(list(node))
        elif isinstance(node, pikepdf.Dictionary) and "/S" in node:
            found.add(str(node.S))
            waiting.append(node.get("/K"))
    return found
