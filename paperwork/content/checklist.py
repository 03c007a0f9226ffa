"""The customer's checklist for the stage the job is in, in the customer's language, from the standing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.checklist_otherwise import dates_note, stage_short, stage_words, step_words
from paperwork.content.checklist_stages import PAGE_WORDS
from paperwork.content.checklist_steps import NAMES_UTILITY, PARTIES, key_of
from paperwork.draw.route_line import route_line_drawing, warning_drawing
from paperwork.words import clipped, day

MOST_STEPS = 9


def checklist(facts: Mapping[str, Any]) -> dict[str, Any]:
    language = facts["customer"]["language"]
    usual = PAGE_WORDS[language]
    words = {**usual, "dates": dates_note(facts, usual["dates"])}
    standing = facts["standing"]
    stage = stage_words(facts)
    steps = steps_of(facts)
    others = [step for step in steps if step["party"] != "customer"]
    route = _route(facts)
    return {
        "facts": facts,
        "w": words,
        "language": language,
        "stage": stage,
        "drawing": route_line_drawing(
            route, ", ".join(f"{name}: {words[state]}" for name, state in route) + "."
        ).picture(),
        "warning": warning_drawing(words["careful"]).picture(),
        "name": clipped(facts["customer"]["name"], 60),
        "address": clipped(facts["site"]["address"], 96),
        "firm_name": clipped(facts["firm"]["name"], 44),
        "issued": day(facts["on"], language),
        "as_of": words["as_of"].format(day=day(facts["on"], language)),
        "yours": [step for step in steps if step["party"] == "customer"],
        "others": others[:MOST_STEPS],
        "more": words["more"].format(n=len(others) - MOST_STEPS) if len(others) > MOST_STEPS else "",
        "in_service": standing["in_service"],
        "booked": [
            {"what": words[row["what"]], "day": day(row["on"], language)}
            for row in facts["booked"]
            if row["on"] >= facts["on"]
        ],
        "calls": calls(facts),
    }


def _route(facts: Mapping[str, Any]) -> list[tuple[str, str]]:
    standing = facts["standing"]
    keys: list[str] = list(standing["stages"])
    current = len(keys) if standing["in_service"] else keys.index(standing["stage"])
    return [
        (stage_short(key, facts), "done" if i < current else "now" if i == current else "later")
        for i, key in enumerate(keys)
    ]


def steps_of(facts: Mapping[str, Any]) -> list[dict[str, str]]:
    """Open requirements in the customer's words, those that read alike once, each with the earliest date."""
    language = facts["customer"]["language"]
    spoken, words = (1 if language == "es" else 0), PAGE_WORDS[language]
    jurisdiction = facts["jurisdiction"] or words["the_jurisdiction"]
    utility = facts["utility"] or words["the_utility"]
    found: dict[tuple[str, str], dict[str, str]] = {}
    for step in facts["standing"]["steps"]:
        key = key_of(step["key"])
        name = utility if key in NAMES_UTILITY else jurisdiction
        text = step_words(key, facts)[spoken].format(name=name)
        party = PARTIES[step["party"]][spoken].format(jurisdiction=jurisdiction, utility=utility)
        entry = found.setdefault(
            (text, step["party"]),
            {"text": text[:1].upper() + text[1:], "party": step["party"], "who": party, "due": step["due_on"] or ""},
        )
        if step["due_on"] and (not entry["due"] or step["due_on"] < entry["due"]):
            entry["due"] = step["due_on"]
    for entry in found.values():
        entry["when"] = _when(entry["due"], facts["on"], words, language)
    return list(found.values())


def _when(due: str, today: str, words: Mapping[str, str], language: str) -> str:
    if not due:
        return words["no_date"]
    return words["by" if due >= today else "overdue"].format(day=day(due, language))


def calls(facts: Mapping[str, Any]) -> list[dict[str, str]]:
    words = PAGE_WORDS[facts["customer"]["language"]]
    firm = facts["firm"]
    rows = [
        {"who": words["emergency"], "how": "911"},
        {"who": words["us"], "how": ", ".join(part for part in (firm["phone"], firm["email"]) if part)},
    ]
    phones = facts["phones"]
    if facts["utility"] and phones["utility"] and facts["system_kind"] != "off_grid":
        rows.append({"who": f"{words['utility']}: {clipped(facts['utility'], 40)}", "how": phones["utility"]})
    if facts["jurisdiction"] and phones["jurisdiction"]:
        rows.append(
            {"who": f"{words['authority']}: {clipped(facts['jurisdiction'], 40)}", "how": phones["jurisdiction"]}
        )
    return rows
