"""Packs each part of a file once.

A PDF with an identifier is hashed before its last lines are written, and the library makes every part anew for that:
fonts, pages and tags were packed twice. And its hardest packing takes half as long again as the usual one, for a file
that is a hundredth smaller.
"""

from __future__ import annotations

import zlib
from typing import Any

import pydyf

LEVEL = 6


class Pressed(pydyf.Object):
    """The bytes of a part that is ready."""

    def __init__(self, part: pydyf.Object) -> None:
        super().__init__()
        self.number, self.generation, self.offset, self.free = part.number, part.generation, part.offset, part.free
        self._compressible = part.compressible
        self._data = part.data

    @property
    def data(self) -> bytes:
        return self._data

    @property
    def compressible(self) -> bool:
        return bool(self._compressible)


def press_once(_document: Any, pdf: Any) -> None:
    """For the moment before the file is written, when no part changes any more."""
    pdf.objects[:] = [part if part.free == "f" else Pressed(_packed(part)) for part in pdf.objects]


def _packed(part: pydyf.Object) -> pydyf.Object:
    """A stream packed; anything else, and a stream with more in it than text and bytes, as it is."""
    if not isinstance(part, pydyf.Stream) or not part.compress:
        return part
    if not all(isinstance(item, bytes | str) for item in part.stream):
        return part
    plain = b"\n".join(item if isinstance(item, bytes) else item.encode("ascii") for item in part.stream)
    packed = pydyf.Stream([zlib.compress(plain, LEVEL)], {**part.extra, "Filter": "/FlateDecode"})
    packed.number, packed.generation = part.number, part.generation
    return packed
