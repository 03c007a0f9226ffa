"""The title block of upright sheets, clipped to what it has room for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.draw.qr import qr_drawing
from paperwork.words import clipped, short_day

FROM_MEMORY = (
    "Section and table numbers, ampacities and the like are written from memory of the codes: look them up in the "
    "adopted edition before relying on them."
)
"""What every paper that quotes a code says of its quotations: no text of a code stood beside them."""
FOR_REVIEW = ("for review by the licensed", "electrician/engineer; not certified")


def title_block(facts: Mapping[str, Any], standing: tuple[str, str] = FOR_REVIEW) -> dict[str, Any]:
    design = facts.get("design") or {}
    return {
        "firm": clipped(facts["firm"]["name"], 30),
        "licence": clipped(facts["firm"]["licence_line"] or facts["firm"]["phone"], 30),
        "customer": clipped(facts["customer"]["name"], 38),
        "address": clipped(facts["site"]["address"], 44),
        "number": facts["number"],
        "issued": short_day(facts["on"]),
        "revision": design.get("revision", ""),
        "designed": short_day(design["designed_on"]) if design else "",
        "standing": standing,
    }


def job_code(facts: Mapping[str, Any]) -> str:
    """A picture of the QR code to the job's page; empty where the office's address is not set."""
    address = facts.get("address")
    return qr_drawing(address).picture() if address else ""
