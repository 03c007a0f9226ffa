"""Reads issued pages back."""

from __future__ import annotations

import io
import math
import re
import subprocess
from typing import Any

from pypdf import PdfReader

from paperwork.pdf import Pdf


def reader(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def text_of(pdf: Pdf | bytes) -> str:
    """All words of all pages, spaces and line ends as single spaces (poppler's pdftotext)."""
    content = pdf.content if isinstance(pdf, Pdf) else bytes(pdf)
    done = subprocess.run(["pdftotext", "-q", "-", "-"], input=content, capture_output=True, check=True)
    return re.sub(r"\s+", " ", done.stdout.decode()).replace("\u00a0", " ")


def letterings(content: bytes) -> list[dict[float, str]]:
    """Of each page: the sizes of its letters as printed, in points, with what is set in them."""
    found = []
    for page in reader(content).pages:
        sizes: dict[float, str] = {}

        def note(text: str, cm: Any, tm: Any, _: Any, size: float, sizes: dict[float, str] = sizes) -> None:
            if text.strip():
                across, up = tm[0] * cm[0] + tm[1] * cm[2], tm[0] * cm[1] + tm[1] * cm[3]
                printed = round(abs(size) * math.hypot(across, up), 2)
                sizes[printed] = f"{sizes.get(printed, '')} {text.strip()}".strip()

        page.extract_text(visitor_text=note)
        found.append(sizes)
    return found
