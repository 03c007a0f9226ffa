"""Reads issued pages back."""

from __future__ import annotations

import io
import re
import subprocess

from pypdf import PdfReader

from paperwork.pdf import Pdf


def reader(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def text_of(pdf: Pdf | bytes) -> str:
    """All words of all pages, spaces and line ends as single spaces (poppler's pdftotext)."""
    content = pdf.content if isinstance(pdf, Pdf) else bytes(pdf)
    done = subprocess.run(["pdftotext", "-q", "-", "-"], input=content, capture_output=True, check=True)
    return re.sub(r"\s+", " ", done.stdout.decode()).replace("\u00a0", " ")
