"""What is looked at on inspection day, or at the electrician's final check where no inspector comes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.roof_plan import on_roof
from paperwork.words import count

INSPECTION_DAY = (
    "Inspection day",
    "What inspectors usually look at; this inspector's own list and the adopted code go before it. Distances are "
    "written from memory of the code.",
)
EXEMPT_DAY = (
    "The licensed electrician's final check",
    "No inspector comes where no permit is asked for: the licensed electrician looks at what inspectors usually look "
    "at, and the adopted code goes before this list. Distances are written from memory of the code.",
)


def day_words(facts: Mapping[str, Any]) -> tuple[str, str]:
    """Heading, and what the list is."""
    return EXEMPT_DAY if facts.get("exempt") else INSPECTION_DAY


def has_rapid_shutdown(facts: Mapping[str, Any]) -> bool:
    """As the labels say: an array on the ground has none."""
    return any(label["key"] == "rapid_shutdown" for label in facts["labels"])


def inspector_list(facts: Mapping[str, Any]) -> list[str]:
    """The usual list; the inspector's own goes before it."""
    roof = on_roof(facts["study"])
    exempt = facts.get("exempt")
    papers = "Drawings and this sheet" if exempt else "Permit card, approved plans and this sheet"
    said = [f"{papers} on site{'; ladder set and tied' if roof else ''}"]
    if facts["rough_in"] and not exempt:
        said.append("Rough-in seen and passed before anything was covered")
    said += [
        f"Equipment and conductors as on the {'' if exempt else 'approved '}drawing; listings on the nameplates",
        "Array: attachments into rafters, flashing, modules clamped, wires off the roof and clear of edges"
        if roof
        else "Array: posts and frame as the foundation drawing, modules clamped, wires off the ground and out of reach",
        "Frames and rails bonded; electrode conductor continuous; neutral and ground bonded in one place only",
        "Working space of 30 in by 36 in before panels, inverter and disconnects; nothing stored in it",
        "Disconnects within reach, marked, lockable"
        + ("; rapid shutdown works and is at the marked place" if has_rapid_shutdown(facts) else ""),
        "Breaker at the far end of the busbar, or the supply-side tap as drawn; torque marks made"
        if facts["system_kind"] != "off_grid"
        else "Panel, source breakers and neutral bond as drawn; torque marks made",
        "Labels and directory placed, readable, with the design's figures",
        "Raceways strapped, fittings tight, openings sealed against weather and vermin",
    ]
    if facts["study"]["request"]["battery"]:
        said.append("Battery: place, clearances, protection from vehicles, smoke or heat alarm where the code asks")
    if facts["fire_review"] and not exempt:
        said.append("Pathways and setbacks on the roof as the fire review approved them")
    if not exempt:
        said.append(
            f"Notice to {facts['jurisdiction'] or 'the jurisdiction'}: {count(facts['notice_days'], 'business day')}"
        )
    return said
