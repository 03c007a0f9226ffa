"""The files themselves: tagged, described, fonts inside, the same bytes for the same input, nothing from outside."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from paperwork.papers import checklist, first_look, single_line
from paperwork.pdf import About, CannotLayOut, Pdf, _fetcher, lay_out_on
from tests.paperwork import hand_made
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import reader
from tests.paperwork.test_checklist import facts as checklist_facts

PAPERS: dict[str, Callable[[], Pdf]] = {
    "first_look": lambda: first_look.pages(facts_of(hand_made.result("hybrid")), False),
    "single_line": lambda: single_line.pages(facts_of(hand_made.result("hybrid")), False),
    "checklist": lambda: checklist.pages(checklist_facts("permits", "en"), False),
}


def walk(node: Any) -> list[Any]:
    node = node.get_object()
    found = [node] if isinstance(node, dict) else []
    kids = node.get("/K") if isinstance(node, dict) else node if isinstance(node, list) else None
    if kids is not None:
        kids = kids.get_object()
        for kid in kids if isinstance(kids, list) else [kids]:
            if hasattr(kid, "get_object") and not isinstance(kid.get_object(), int):
                found += walk(kid)
    return found


@pytest.mark.parametrize("name", PAPERS)
def test_tagged_titled_and_in_a_language(name: str) -> None:
    root = reader(PAPERS[name]().content).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 - pypdf's own boolean
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()


@pytest.mark.parametrize("name", PAPERS)
def test_headings_tables_and_pictures_are_tagged_and_pictures_are_described(name: str) -> None:
    elements = walk(reader(PAPERS[name]().content).trailer["/Root"]["/StructTreeRoot"])
    kinds = {element.get("/S") for element in elements}
    assert {"/H1", "/H2", "/P", "/Table", "/TH", "/TD", "/Figure"} <= kinds
    figures = [element for element in elements if element.get("/S") == "/Figure"]
    assert figures and all(len(str(figure.get("/Alt", ""))) > 10 for figure in figures)


@pytest.mark.parametrize("name", PAPERS)
def test_every_font_is_embedded_and_ours(name: str) -> None:
    fonts = set()
    for page in reader(PAPERS[name]().content).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            for descendant in font.get_object().get("/DescendantFonts", []):
                descriptor = descendant.get_object()["/FontDescriptor"].get_object()
                assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor)
                fonts.add(str(descriptor["/FontName"]))
    assert fonts and all("Barlow" in font for font in fonts), fonts


@pytest.mark.parametrize("name", PAPERS)
def test_the_same_input_gives_the_same_bytes(name: str) -> None:
    assert PAPERS[name]().sha256 == PAPERS[name]().sha256


def test_the_file_says_what_it_is_and_when_it_was_made() -> None:
    about = reader(PAPERS["first_look"]().content).metadata
    assert about is not None
    assert "0147-FL-1" in str(about.title) and about.author == "Longleaf & Shore Backup Power"
    assert "2026-11-25" in str(about.creation_date)


def test_a_paper_reads_nothing_but_fonts_and_its_own_drawings() -> None:
    for address in ("https://example.org/x.png", "file:///etc/passwd", "data:text/html;base64,AAAA"):
        with pytest.raises(ValueError):
            _fetcher().fetch(address)


def test_pages_that_never_fit_are_refused() -> None:
    facts = facts_of(hand_made.result("hybrid"))
    said = {**first_look.content(facts, 0), "cautions": [["word " * 3000]], "preview": False}
    from datetime import UTC, datetime

    about = About("Too much", "us", "x", datetime(2026, 11, 25, tzinfo=UTC))
    with pytest.raises(CannotLayOut, match="doesn't fit on 1 page"):
        lay_out_on(1, "first_look", [said], about)
