"""The first-look report: one page that a homeowner understands, and nothing that the numbers don't carry."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.safestring import SafeString

from paperwork.content.first_look_fit import BARLOW_OVER_SEMI_CONDENSED, POINTS
from paperwork.content.first_look_money import money_part
from paperwork.content.first_look_outage import outage_part, starts
from paperwork.draw.months import months_drawing
from paperwork.draw.sun_path import sun_path_drawing
from paperwork.draw.svg import text_width
from paperwork.spanish import HEADINGS, in_spanish, spanish_change
from paperwork.spanish_things import check_label
from paperwork.words import MONTHS_EN, clipped, count, day, listed, percent, short, usd, whole

KIND_SENTENCES = {
    "hybrid": (
        "A hybrid system",
        "solar panels with a battery: tied to the grid, and able to carry chosen circuits when the grid is down",
    ),
    "grid_tied": (
        "A grid-tied system",
        "solar panels that lower the electric bill; without a battery they switch off when the grid is down",
    ),
    "off_grid": (
        "An off-grid system",
        "solar panels, battery and inverter that power the house on their own, with no utility behind them",
    ),
}
KIND_TITLES = {"hybrid": "Hybrid", "grid_tied": "Grid-tied", "off_grid": "Off-grid"}
LONG_NAME = 42
"""Characters beyond which a name is set smaller."""
DENSITIES = ("roomy", "snug", "tight", "dense", "least")
"""Tried in this order until everything stands on one page."""
SKY = "The sky as the panels see it: the sun runs along the curves, and where a grey shape covers them it is hidden. "
SKY_OPEN = "The sky as the panels see it: the sun runs along the curves, high in June and low in December. "
_REASONS_UNDER_THE_ANSWER = 2
_ROWS = (9, 8, 7, 6, 4)
_CAUTIONS_CHARS = (260, 220, 180, 150, 120)
_ASSUMPTIONS = (6, 5, 4, 3, 2)
DRAWING_HEIGHTS = (112.0, 98.0, 92.0, 80.0, 62.0)
_CHANGED_CHARS = (420, 360, 300, 240, 160)
_REASONS_TO_MIND = (3, 3, 3, 2, 1)


PLACE = SafeString(" ")
"""Where a drawing will stand, while only the room that it takes is wanted."""


def first_look(
    facts: Mapping[str, Any], density: int = 0, width: float = 248.0, *, drawn: bool = True
) -> dict[str, Any]:
    """What the template prints. ``density``: 0 to 4, how hard to shrink; ``width``: of a column's drawings, points.

    ``drawn``: False leaves the drawings out, for an estimate of how full the page will be.
    """
    study = facts["study"]
    height = DRAWING_HEIGHTS[density]
    production, loads = study["production"], study["loads"]
    name = clipped(facts["customer"]["name"], 104)
    language = facts["customer"]["language"]
    spoken = 1 if language == "es" else 0
    content = {
        "facts": facts,
        "density": DENSITIES[density],
        "name": name,
        "long_name": len(name) > LONG_NAME,
        "address": clipped(facts["site"]["address"], 140),
        "issued": day(facts["on"], language),
        "w": {key: pair[spoken] for key, pair in HEADINGS.items()},
        "firm_name": clipped(facts["firm"]["name"], 44),
        "firm_contact": " · ".join(
            part for part in (facts["firm"]["phone"], clipped(facts["firm"]["email"], 48)) if part
        ),
        "recommended": recommended(facts, density),
        "strip": strip(facts),
        "months": months_drawing(
            production["ac_kwh_by_month"], loads["use_kwh_by_month"], width=width, height=height, language=language
        ).picture()
        if drawn
        else PLACE,
        "months_words": months_words(study),
        "sun_path": sun_path_drawing(
            study["sun_path"],
            southern=facts["site"]["latitude_deg"] < 0,
            width=width,
            height=height,
            language=language,
        ).picture()
        if drawn
        else PLACE,
        "shade_words": (SKY if study["sun_path"]["silhouettes"] else SKY_OPEN)
        + shade_words(study, visited=facts["visited"]),
        "outage": outage_part(facts, width, height * 0.72, drawn),
        "starts": starts(study, _ROWS[density], language),
        "money": money_part(facts, width),
        "next_steps": next_steps(facts),
        "meaning": meaning(facts, most=(5, 4, 4, 3, 2)[density]),
        "cautions": _halves(
            [clipped(text, _CAUTIONS_CHARS[density]) for text in cautions(facts, _REASONS_TO_MIND[density])]
        ),
        "changed": clipped(
            " ".join(spanish_change(line) if spoken else line for line in facts.get("changes", [])),
            _CHANGED_CHARS[density],
        ),
        "assumptions": [
            clipped(text, _CAUTIONS_CHARS[density]) for text in assumptions(facts)[: _ASSUMPTIONS[density]]
        ],
    }
    content = in_spanish(content) if spoken else content
    content["outage"]["answers_pt"] = answers_points([value for _, value in content["outage"]["rows"]], density)
    content["starts"]["answers_pt"] = answers_points([row["answer"] for row in content["starts"]["rows"]], density)
    return content


def answers_points(answers: list[str], density: int) -> float:
    """Width of a table's right column, so that the columns need not be found by trying: a twentieth of the time."""
    size = POINTS[DENSITIES[density]][0]
    wide = max((text_width(words, size, 600) for words in answers), default=0.0)
    return round(wide * BARLOW_OVER_SEMI_CONDENSED * 1.04 + 7, 1)


def _halves(texts: list[str]) -> list[list[str]]:
    """In reading order, cut where the two columns come out most alike in length."""
    total = sum(map(len, texts))
    cut = min(range(1, len(texts) + 1), key=lambda n: abs(2 * sum(map(len, texts[:n])) - total))
    return [half for half in (texts[:cut], texts[cut:]) if half]


def recommended(facts: Mapping[str, Any], density: int = 0) -> dict[str, str]:
    kind = facts["system_kind"]
    title, meaning = KIND_SENTENCES[kind]
    reasons = [str(reason).strip() for reason in facts["recommendation"].get("reasons", []) if str(reason).strip()]
    if facts["recommended_kind"] and facts["recommended_kind"] != kind:
        was = KIND_TITLES[facts["recommended_kind"]].lower()
        why = f"Your answers alone would have pointed to {was}."
        if facts["kind_reason"]:
            why += f" We chose otherwise: {_sentence(facts['kind_reason'])}"
    elif reasons:
        why = " ".join(_sentence(reason) for reason in reasons[:_REASONS_UNDER_THE_ANSWER])
    else:
        why = ""
    return {"title": title, "meaning": meaning, "why": clipped(why, (330, 280, 230, 180, 130)[density])}


def meaning(facts: Mapping[str, Any], most: int) -> list[str]:
    """What the chosen kind means beyond backup; a hybrid system's figures leave no room for it."""
    if facts["system_kind"] == "hybrid":
        return []
    about = (facts["recommendation"].get("meanings") or {}).get(facts["system_kind"]) or {}
    keys = ("permits", "licensed_trades", "warranty", "financing", "selling_back")
    return [clipped(str(about[key]), 190) for key in keys if about.get(key)][:most]


def _sentence(text: str) -> str:
    text = text.strip()
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?")) else f"{text}."


def strip(facts: Mapping[str, Any]) -> list[dict[str, str]]:
    """The four figures under the recommendation: what it is made of."""
    asked, study = facts["study"]["request"], facts["study"]
    dc_kw = study["production"]["dc_kw"]
    cells = [
        {
            "label": "solar array",
            "value": f"{short(dc_kw)} kW",
            "note": f"{count(sum(plane['modules'] for plane in asked['planes']), 'panel')}",
        }
    ]
    battery = asked.get("battery")
    if battery:
        usable = battery["usable_kwh"] * battery["units"]
        cells.append(
            {
                "label": "battery",
                "value": f"{short(usable)} kWh",
                "note": f"{count(battery['units'], 'unit')}, {percent(battery['reserve_fraction'])} kept in reserve",
            }
        )
    else:
        cells.append({"label": "battery", "value": "none", "note": "no backup in an outage"})
    made, used = study["production"]["ac_kwh_year"], study["loads"]["use_kwh_year"]
    share = f"{whole(100 * made / used)} % of what the house uses" if used > 0 else "use is not known yet"
    cells.append({"label": "makes in a typical year", "value": f"{whole(made)} kWh", "note": share})
    price, loan = facts["price_usd"], asked.get("loan")
    if not price and loan:
        cells.append(
            {
                "label": "price, assumed",
                "value": usd(loan["principal_usd"]),
                "note": "an estimate, not an offer",
            }
        )
        return cells
    cells.append(
        {
            "label": "price, preliminary",
            "value": usd(price) if price else "to follow",
            "note": "an estimate, not an offer"
            if price
            else ("with the design" if facts["visited"] else "after the site visit"),
        }
    )
    return cells


def months_words(study: Mapping[str, Any]) -> str:
    made, used = study["production"]["ac_kwh_by_month"], study["loads"]["use_kwh_by_month"]
    over = [m for m in range(12) if made[m] > used[m] > 0]
    if not sum(used):
        return "What the house uses is not known yet; the electric bills will show it."
    if not over:
        if study["request"]["system_type"] == "off_grid":
            return (
                "In no month do the panels make as much as the house uses: the generator has to give the rest."
                if study["request"].get("generator")
                else "In no month do the panels make as much as the house uses, and there is nothing to give the rest."
            )
        return "In no month do the panels make as much as the house uses: the rest keeps coming from elsewhere."
    if len(over) == 12:
        return "In every month of a typical year the panels make more than the house uses."
    return f"{_months(over)} the panels make more than the house uses; in the other months less."


def _months(months: list[int]) -> str:
    """[2, 3, 4, 8] -> "From March to May and in September"; runs across New Year stay together."""
    chosen = set(months)
    starts_at = [m for m in months if (m - 1) % 12 not in chosen]
    parts = []
    for first in starts_at:
        last = first
        while (last + 1) % 12 in chosen:
            last = (last + 1) % 12
        if first == last:
            parts.append(f"in {MONTHS_EN[first]}")
        elif (last - first) % 12 == 1:
            parts.append(f"in {MONTHS_EN[first]} and {MONTHS_EN[last]}")
        else:
            parts.append(f"from {MONTHS_EN[first]} to {MONTHS_EN[last]}")
    joined = ", ".join(parts) if any(" and " in part for part in parts) else listed(parts)
    return joined[:1].upper() + joined[1:]


def shade_words(study: Mapping[str, Any], *, visited: bool) -> str:
    """Shade over all planes, weighed by the sunlight each would get in the open."""
    planes = [plane for plane in study["planes"] if plane["modules"] > 0]
    open_kwh = sum(p["poa_unshaded_kwh_per_m2_year"] * p["modules"] for p in planes)
    lost = 1 - sum(p["poa_kwh_per_m2_year"] * p["modules"] for p in planes) / open_kwh if open_kwh else 0.0
    modules = sum(p["modules"] for p in planes) or 1
    access = [sum(p["solar_access_by_month"][m] * p["modules"] for p in planes) / modules for m in range(12)]
    if not study["sun_path"]["silhouettes"]:
        return (
            "Nothing that shades the panels is on record."
            if visited
            else "No trees or buildings are on record yet, so no shade is counted: the site visit measures it."
        )
    worst = min(range(12), key=lambda m: access[m])
    if lost < 0.005:
        return "What stands around the house takes less than 1 % of the year's sunlight from the panels."
    return (
        f"Shade takes {whole(lost * 100)} % of the year's sunlight from the panels; "
        f"most in {MONTHS_EN[worst]}, {whole((1 - access[worst]) * 100)} %."
    )


def next_steps(facts: Mapping[str, Any]) -> list[str]:
    steps = ["You tell us whether to go on. Nothing is owed for this report."]
    if not facts["visited"]:
        steps.append("We visit: electrical panel, roof, attic, everything that casts shade.")
    steps.append("We draw up the design and a firm price; licensed people check it.")
    if facts.get("exempt"):
        steps.append(
            "A local rule asks for no permit; we have that confirmed. Installation, a licensed electrician's final "
            "check."
        )
    else:
        steps.append(
            f"Permits{' from ' + clipped(facts['jurisdiction'], 40) if facts['jurisdiction'] else ''}, "
            "installation, inspection."
        )
    if facts["system_kind"] == "off_grid":
        steps.append("We switch it on with you and show you how to live with it.")
    else:
        utility = clipped(facts["utility"], 40) if facts["utility"] else "the utility"
        steps.append(f"{utility[:1].upper()}{utility[1:]} gives permission to operate; only then is it switched on.")
    return steps


def cautions(facts: Mapping[str, Any], most_reasons: int = 3) -> list[str]:
    climate = facts["study"]["climate"]
    found = ["Preliminary: an estimate, not an offer and not a guarantee of production, savings or backup time."]
    if not facts["visited"]:
        found.append("Nobody has been on site. Roof, panel and shade are as told or assumed; the visit can change it.")
    distance = climate["distance_km"]
    if distance is not None and distance >= 1:
        found.append(
            f"The weather is that of {climate['name']}, {whole(distance)} km away ({whole(distance * 0.621371)} mi); "
            "it stands in for yours."
        )
    if facts["study"]["electrical"]["checks"] and any(not c["passes"] for c in facts["study"]["electrical"]["checks"]):
        language = facts["customer"]["language"]
        failing = [check_label(c["label"], language) for c in facts["study"]["electrical"]["checks"] if not c["passes"]]
        joined = listed(failing[:3], "y" if language == "es" else "and")
        found.append(f"Engineering has still to settle: {joined}.")
    if facts["recommended_kind"] in ("", facts["system_kind"]):
        reasons = facts["recommendation"].get("reasons", [])[_REASONS_UNDER_THE_ANSWER:]
        found.extend(_sentence(str(reason)) for reason in reasons[:most_reasons])
    what = "Battery and panels" if facts["study"]["request"].get("battery") else "Panels"
    found.append(f"{what} stay dangerous when switched off. Leave all work on them to licensed people.")
    return found


def assumptions(facts: Mapping[str, Any]) -> list[str]:
    study = facts["study"]
    found = []
    bills = facts["answers"]["bills"]
    if bills == "year":
        found.append("Use by month is spread from one yearly figure.")
    elif not bills:
        found.append("Use comes from the appliance list, not from bills.")
    found.extend(str(text) for text in facts["design"].get("assumptions", []))
    found.extend(str(text) for text in study["assumptions"])
    return found
