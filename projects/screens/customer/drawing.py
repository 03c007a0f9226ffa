"""The progress drawing in the customer's words and language."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from django.utils.safestring import SafeString, mark_safe

from projects.route.standing_types import Gate, Standing
from projects.screens.customer import words
from projects.screens.oneline import oneline_tall, oneline_wide


def drawing(standing: Standing, language: str, *, off_grid: bool = False) -> SafeString:
    """Wide and tall, as everywhere; each gate says when it was done or that it is the one where the project stands."""
    told = replace(standing, gates=tuple(_told(gate, standing, language, off_grid) for gate in standing.gates))
    end = words.PAGE[language]["in_service"]
    return mark_safe(oneline_wide(told, end=end) + oneline_tall(told, end=end))


def day_in(language: str, day: date) -> str:
    if language == "es":
        return f"{day.day} de {words.MONTHS_ES[day.month - 1]}"
    return f"{day.day} {day:%b}"


def _told(gate: Gate, standing: Standing, language: str, off_grid: bool) -> Gate:
    permit = gate.key.removeprefix("permit_")
    if permit != gate.key:
        title = words.PERMITS[language][permit]
    else:
        title = words.stage_words(gate.key, language, off_grid=off_grid).title
    caption = ""
    if gate.state == "closed":
        done_on = _done_on(gate, standing)
        caption = day_in(language, done_on) if done_on else ""
    elif gate.current:
        caption = words.PAGE[language]["now"]
    elif gate.state in ("live", "waiting"):
        caption = words.PAGE[language]["under_way"]
    return replace(gate, title=title, caption=caption)


def _done_on(gate: Gate, standing: Standing) -> date | None:
    """The day of the last fact behind a closed gate."""
    branch = gate.key.removeprefix("permit_")
    own = [r for r in standing.requirements if (r.branch == branch if branch != gate.key else r.stage == gate.key)]
    return max((r.met_on for r in own if r.met_on), default=None)
