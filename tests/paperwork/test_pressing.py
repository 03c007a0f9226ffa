"""What saves time between a page and its file: labels set whole, parts packed once. Neither may change what is read."""

from __future__ import annotations

import io
import logging
from base64 import b64encode
from itertools import pairwise

import pikepdf
import pydyf
import pytest

from paperwork import pdf
from paperwork.draw.svg import Drawing, thinned
from paperwork.lettering import set_labels_whole
from paperwork.papers import first_look
from paperwork.pressing import press_once
from tests.paperwork import hand_made
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import reader, text_of


def file_of(svg: str) -> bytes:
    from weasyprint import HTML

    set_labels_whole()
    source = b64encode(svg.encode()).decode()
    html = f'<html lang="en"><title>x</title><img alt="a drawing" src="data:image/svg+xml;base64,{source}">'
    document = HTML(string=html, url_fetcher=pdf._fetcher()).render(
        stylesheets=pdf._styles("first_look", "letter", False), font_config=pdf._fonts()
    )
    return bytes(document.write_pdf())


def pieces(content: bytes) -> int:
    """How many times the first page says that letters follow."""
    with pikepdf.open(io.BytesIO(content)) as file:
        return sum(str(operator) in ("Tj", "TJ") for _, operator in pikepdf.parse_content_stream(file.pages[0]))


def test_a_label_is_one_piece_of_text_at_its_place(caplog: pytest.LogCaptureFixture) -> None:
    drawing = Drawing(200, 60, "two labels")
    drawing.text(10, 20, "made by the panels", size=7)
    drawing.text(10, 40, "used by the house", size=7, weight=600)
    with caplog.at_level(logging.ERROR, logger="weasyprint"):
        content = file_of(drawing.svg())
    # The library draws nothing where it fails, and says so in its log alone.
    assert not caplog.records
    assert pieces(content) == 2
    text = reader(content).pages[0].extract_text()
    assert "made by the panels" in text and "used by the house" in text


def test_a_text_that_is_not_plain_is_left_to_the_library() -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 60" width="200pt" height="60pt">'
        '<text x="100 110 120" y="20" font-family="Barlow" font-size="8">abc</text></svg>'
    )
    content = file_of(svg)
    assert pieces(content) == 3


def test_parts_are_made_once_and_say_the_same() -> None:
    made = []

    class Counted(pydyf.Object):
        @property
        def data(self) -> bytes:
            made.append(self.number)
            return b"<</Kind /Counted>>"

    file = pydyf.PDF()
    file.add_object(Counted())
    stream = pydyf.Stream([b"q", "Q"], {"Kind": "/Any"}, compress=True)
    file.add_object(stream)
    reference = stream.reference
    press_once(None, file)
    out = io.BytesIO()
    file.write(out, b"1.7", b"an identifier", compress=True)
    assert len(made) == 1
    with pikepdf.open(io.BytesIO(out.getvalue())) as read:
        assert read.get_object(int(reference.split()[0]), 0).read_bytes() == b"q\nQ"
        assert read.trailer.ID is not None


def test_a_report_reads_as_without_pressing(monkeypatch: pytest.MonkeyPatch) -> None:
    facts = facts_of(hand_made.result("hybrid"))
    pressed = first_look.pages(facts, False)
    monkeypatch.setattr(pdf, "press_once", lambda _document, _file: None)
    plain = first_look.pages(facts, False)
    assert text_of(pressed) == text_of(plain)
    assert len(pressed.content) < 1.03 * len(plain.content)


def test_a_thinned_curve_keeps_its_ends_and_its_shape() -> None:
    curve = [(float(x), (x - 50) ** 2 / 40) for x in range(101)]
    few = thinned(curve, within=0.06)
    assert few[0] == curve[0] and few[-1] == curve[-1] and len(few) < 60
    assert set(few) <= set(curve)
    for (x0, y0), (x1, y1) in pairwise(few):
        for x, y in curve:
            if x0 < x < x1:
                assert abs(y0 + (y1 - y0) * (x - x0) / (x1 - x0) - y) < 0.2
    assert thinned([(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]) == [(0.0, 0.0), (2.0, 2.0)]
    assert thinned([]) == [] and thinned([(1.0, 2.0)]) == [(1.0, 2.0)]
