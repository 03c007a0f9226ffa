"""The one place where HTML becomes PDF: tagged (PDF/UA-1), fonts embedded, the same bytes for the same input."""

from __future__ import annotations

import atexit
import gc
import hashlib
import json
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.template.loader import render_to_string

from paperwork.content.machine import FILE_NAME
from paperwork.lettering import set_labels_whole
from paperwork.pressing import press_once

STYLES = Path(settings.BASE_DIR) / "templates" / "paperwork"
FONTS = Path(settings.BASE_DIR) / "projects" / "static" / "fonts"
FACES = (
    ("Barlow", 400, "barlow-400.woff2"),
    ("Barlow", 600, "barlow-600.woff2"),
    ("Barlow Semi Condensed", 500, "barlow-sc-500.woff2"),
    ("Barlow Semi Condensed", 600, "barlow-sc-600.woff2"),
)
# Pango's font map and WeasyPrint's font configuration are shared between papers, and neither is made for threads.
_ONE_AT_A_TIME = threading.Lock()


@contextmanager
def _at_the_press() -> Iterator[None]:
    """One paper at a time, the garbage collector waiting outside.

    All boxes live until the paper is written. The collector would walk over them again and again and find nothing:
    that was 10 to 17 % of the time. What the paper leaves behind goes in one pass at its end; a decorator, since within
    the function the pass would find all of it in use and put it by.
    """
    with _ONE_AT_A_TIME:
        paused = gc.isenabled()
        gc.disable()
        try:
            yield
        finally:
            if paused:
                gc.enable()
                gc.collect(0)


class CannotLayOut(Exception):
    """The paper doesn't fit on the pages it may have."""


@dataclass(frozen=True)
class Pdf:
    content: bytes
    pages: int

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.content).hexdigest()


@dataclass(frozen=True)
class About:
    """What the file says about itself."""

    title: str
    author: str
    subject: str
    created_at: datetime
    language: str = "en"
    data: Mapping[str, Any] | None = None
    """The same facts for other programs, attached as JSON."""


@cache
def _fonts() -> Any:
    from weasyprint.text.fonts import FontConfiguration

    set_labels_whole()
    # Let go of before the interpreter takes the library apart; it would complain on the way out.
    atexit.register(_fonts.cache_clear)
    return FontConfiguration()


@cache
def _fetcher() -> Any:
    """Fonts of ours, pictures within the page and nothing else: a paper reads neither the network nor other files."""
    from weasyprint.urls import URLFetcher

    allowed = {(FONTS / file).as_uri() for _, _, file in FACES}

    class OurFonts(URLFetcher):
        def fetch(self, url: str, headers: Any = None) -> Any:
            if url not in allowed and not url.startswith("data:image/svg+xml;"):
                raise ValueError("papers load nothing but their fonts and drawings")
            return super().fetch(url, headers)

    return OurFonts(allowed_protocols=("file", "data"), allow_redirects=False)


def _css(text: str) -> Any:
    from weasyprint import CSS

    return CSS(string=text, font_config=_fonts(), url_fetcher=_fetcher())


@dataclass(frozen=True)
class Sheet:
    """One part of a packet: ``templates/paperwork/{name}.html`` with its style sheets."""

    name: str
    context: Mapping[str, Any]
    bookmark: str
    landscape: bool = False


PAGE = {"en": "page", "es": "página"}
SCHEDULES = frozenset(
    {
        "calculations",
        "labels",
        "packet_cover",
        "equipment_data",
        "structural",
        "interconnection",
        "crew_sheet",
        "roof_plan",
        "handover",
        "handover_shutdown",
        "handover_living",
    }
)
"""Papers made of tables on upright sheets: they share ``schedules.css`` and its title block."""


@cache
def _styles(name: str, paper_size: str, landscape: bool) -> tuple[Any, ...]:
    faces = "".join(
        f'@font-face{{font-family:"{family}";font-weight:{weight};src:url("{(FONTS / file).as_uri()}")}}'
        for family, weight, file in FACES
    )
    size = f"@page{{size:{paper_size} {'landscape' if landscape else 'portrait'}}}"
    sheets = [_css(size)]
    for file in ("paper.css", *(["schedules.css"] if name in SCHEDULES else []), f"{name}.css"):
        sheets.append(_css((STYLES / file).read_text(encoding="utf-8")))
    return (_faces(faces), *sheets)


@cache
def _faces(text: str) -> Any:
    return _css(text)


@atexit.register
def _let_go() -> None:
    """WeasyPrint tidies its font folder when the configuration goes; at the interpreter's end that comes too late."""
    for kept in (_styles, _faces, _fonts):
        kept.cache_clear()


@_at_the_press()
def lay_out(
    name: str, context: Mapping[str, Any], about: About, *, landscape: bool = False, paper_size: str | None = None
) -> Pdf:
    """``templates/paperwork/{name}.html`` and ``{name}.css`` as a PDF. The same input gives the same bytes."""
    return _finish(*_typeset(name, context, about, landscape, paper_size or settings.PAPER_SIZE), about)


@_at_the_press()
def lay_out_on(
    pages: int,
    name: str,
    contexts: Iterable[Mapping[str, Any]],
    about: About,
    *,
    landscape: bool = False,
    paper_size: str | None = None,
) -> Pdf:
    """The first of the contexts that fits on at most ``pages`` pages. Raises CannotLayOut where none does."""
    for context in contexts:
        html, document = _typeset(name, context, about, landscape, paper_size or settings.PAPER_SIZE)
        if len(document.pages) <= pages:
            return _finish(html, document, about)
    raise CannotLayOut(f"{about.title} doesn't fit on {pages} page{'' if pages == 1 else 's'}")


@_at_the_press()
def lay_out_packet(
    cover: Callable[[Sequence[Part]], Sheet],
    sheets: Sequence[Sheet],
    about: About,
    *,
    number: str,
    paper_size: str | None = None,
) -> Pdf:
    """Cover and sheets as one tagged file with a bookmark for each part; every page carries the packet's page number.

    ``cover`` is told on which page each part begins; it may take more than one page itself.
    """
    size = paper_size or settings.PAPER_SIZE
    # A page number is part of a laid-out page: a cover of more pages than expected moves all that follow.
    for cover_pages in (1, 2, 3, 4):
        parts, laid_out, at = [], [], cover_pages
        for sheet in sheets:
            laid_out.append(_typeset_part(sheet, about, size, number, at))
            parts.append(Part(sheet.bookmark, at + 1, len(laid_out[-1][1].pages)))
            at += parts[-1].pages
        first = _typeset_part(cover(parts), about, size, number, 0)
        if len(first[1].pages) == cover_pages:
            break
    else:
        raise CannotLayOut(f"The cover of {about.title} doesn't fit on 4 pages")
    every = [first, *laid_out]
    whole = first[1].copy([page for _, document in every for page in document.pages])
    return _finish("".join(html for html, _ in every), whole, about)


@dataclass(frozen=True)
class Part:
    """Where a part of a packet stands in it."""

    title: str
    page: int
    pages: int


def _typeset_part(sheet: Sheet, about: About, paper_size: str, number: str, pages_before: int) -> tuple[str, Any]:
    numbered = (
        f"@page{{counter-increment:packet;@top-right{{content:'{number}, {PAGE[about.language]} ' counter(packet);"
        "font:600 7.6pt 'Barlow Semi Condensed';color:#1d2733;vertical-align:bottom;padding-bottom:3pt}}"
        f"@page:first{{counter-reset:packet {pages_before}}}"
    )
    return _typeset(sheet.name, sheet.context, about, sheet.landscape, paper_size, numbered)


def _typeset(
    name: str, context: Mapping[str, Any], about: About, landscape: bool, paper_size: str, more_css: str = ""
) -> tuple[str, Any]:
    from weasyprint import HTML

    html = render_to_string(f"paperwork/{name}.html", {**context, "about": about})
    sheets = list(_styles(name, paper_size, landscape))
    document = HTML(string=html, url_fetcher=_fetcher()).render(
        stylesheets=[*sheets, _css(more_css)] if more_css else sheets, font_config=_fonts()
    )
    return html, document


def _finish(html: str, document: Any, about: About) -> Pdf:
    identifier = hashlib.sha256(f"{about.title}|{about.created_at.isoformat()}|{html}".encode()).digest()[:16]
    content = document.write_pdf(
        pdf_variant="pdf/ua-1",
        pdf_identifier=identifier,
        attachments=_attached(about) if about.data else None,
        finisher=press_once,
    )
    return Pdf(content=content, pages=len(document.pages))


def _attached(about: About) -> list[Any]:
    from weasyprint import Attachment

    made = about.created_at.astimezone(UTC)
    text = json.dumps(about.data, indent=1, ensure_ascii=False, sort_keys=True)
    description = f"{about.title}: its facts as data"
    return [
        Attachment(
            string=text,
            name=FILE_NAME,
            description=description,
            created=made,
            modified=made,
            relationship="Data",
        )
    ]
