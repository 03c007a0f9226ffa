"""Words as the search compares them: lower case, without accents, in one spelling whatever was typed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

PHONE = re.compile(r"[\d\s().+-]+")
PHONE_DIGITS = 10
PHONE_LENGTHS = (7, 10, 11)
"""Without and with the area code, and with the country's 1; "2026-0147" is a permit's number."""
EDGES = re.compile(r"^[\W_]+|[\W_]+$")
PART = re.compile(r"(?<=[\W_])[^\W_]")
PART_END = re.compile(r"[^\W_]+$")


def plain(text: str) -> str:
    """ "Señora NÚÑEZ" and "senora nunez" are the same; other scripts stay as they are."""
    apart = unicodedata.normalize("NFKD", text)
    return "".join(letter for letter in apart if not unicodedata.combining(letter)).casefold()


def terms_of(text: str, longest: int) -> set[str]:
    """Every word by which the text is found, each from its beginning on: "bld-2026-0147" as it is, as "2026-0147",
    "0147" and "147", a phone number by its last seven and its last four digits too."""
    found: set[str] = set()
    for token in plain(text).split():
        whole = EDGES.sub("", token) or token
        found.add(whole[:longest])
        for start in PART.finditer(whole):
            found.add(whole[start.start() :][:longest])
        if whole.isdecimal() and len(whole) == PHONE_DIGITS:
            found.update((whole[-7:], whole[-4:]))
        last = PART_END.search(whole)
        if last and last[0].startswith("0"):
            found.add(last[0].lstrip("0")[:longest])
    return found - {""}


def wanted_terms(text: str, longest: int) -> list[str]:
    """What somebody looks for: every one must begin a term. The longest first, since it says most."""
    digits = re.sub(r"\D", "", text)
    if len(digits) in PHONE_LENGTHS and PHONE.fullmatch(text.strip()):
        return [digits[-PHONE_DIGITS:]]
    words: Iterator[str] = (EDGES.sub("", token) or token for token in plain(text).split())
    return sorted({word[:longest] for word in words}, key=lambda word: (-len(word), word))
