"""The handover packet: cover with permission and warranties, emergency shutdown, living with it, as-built drawing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from paperwork.content import handover_words as said
from paperwork.content.block import job_code
from paperwork.content.checklist import calls
from paperwork.content.roof_plan import on_roof
from paperwork.content.single_line import KIND_WORDS, one_line_of, single_line
from paperwork.draw.one_line import one_line_drawing
from paperwork.draw.one_line_sheet import Label
from paperwork.draw.route_line import warning_drawing
from paperwork.pdf import Part, Sheet
from paperwork.spanish import spanish, spanish_change
from paperwork.spanish_drawing import plan_in_spanish, schedules_in_spanish
from paperwork.spanish_things import appliance, glossary
from paperwork.words import MONTHS_EN, MONTHS_ES, carried, clipped, day, duration, short, short_day, whole

Rows = list[tuple[str, str]]
MOST_LOADS = 16
"""In each list; what is beyond is counted."""


def handover_sheets(facts: Mapping[str, Any], preview: bool) -> list[Sheet]:
    spoken = _spoken(facts)
    common = {**_common(facts), "preview": preview}
    return [
        Sheet("handover_shutdown", {**common, **shutdown(facts)}, said.SHUTDOWN[spoken]),
        Sheet("handover_living", {**common, **living(facts)}, said.LIVING[spoken]),
        as_built(facts, preview),
    ]


def as_built(facts: Mapping[str, Any], preview: bool) -> Sheet:
    """The single-line diagram and its schedules as installed, in the household's language."""
    spoken = _spoken(facts)
    drawing = {**single_line({**facts, "changes": []}), "preview": preview}
    if spoken:
        plan = plan_in_spanish(one_line_of(facts), said.DRAWN)
        drawing |= {**schedules_in_spanish(drawing), "drawing": one_line_drawing(plan).picture()}
        drawing |= {"reader": reader(facts), "designed": day(facts["design"]["designed_on"], "es")}
        drawing["issued"] = day(facts["on"], "es")
    drawing |= {
        "heading": said.AS_BUILT[spoken],
        "notes": [said.AS_BUILT_NOTE[spoken].format(revision=facts["design"]["revision"]), *drawing["notes"]],
    }
    return Sheet("single_line", drawing, said.AS_BUILT[spoken], True)


def reader(facts: Mapping[str, Any]) -> dict[str, Any]:
    """The names that stand on the equipment's labels and on the approved drawing, beside the drawing's own."""
    plan = one_line_of(facts)
    titles = [label.title for label in vars(plan).values() if isinstance(label, Label)]
    return {
        "heading": said.READER,
        "about": said.READER_OF.format(
            kind=spanish(KIND_WORDS[facts["system_kind"]]), revision=facts["design"]["revision"]
        ),
        "note": said.IN_ENGLISH,
        "words": glossary(["PV module", *titles, "Rapid shutdown", "Main breaker"]),
    }


def cover_sheet(facts: Mapping[str, Any], parts: Sequence[Part], preview: bool) -> Sheet:
    context = {**_common(facts), **cover(facts), "parts": parts, "preview": preview}
    return Sheet("handover", context, said.TITLE[_spoken(facts)])


def _spoken(facts: Mapping[str, Any]) -> int:
    return 1 if facts["customer"]["language"] == "es" else 0


def _common(facts: Mapping[str, Any]) -> dict[str, Any]:
    spoken = _spoken(facts)
    return {
        "facts": facts,
        "w": {key: pair[spoken] for key, pair in said.WORDS.items()},
        "head": {
            "firm": clipped(facts["firm"]["name"], 30),
            "phone": clipped(facts["firm"]["phone"], 30),
            "customer": clipped(facts["customer"]["name"], 38),
            "address": clipped(facts["site"]["address"], 44),
            "issued": day(facts["on"], "es") if spoken else short_day(facts["on"]),
        },
        "warning": warning_drawing(said.WORDS["careful"][spoken]).picture(),
    }


def cover(facts: Mapping[str, Any]) -> dict[str, Any]:
    spoken, language = _spoken(facts), facts["customer"]["language"]
    permission = facts["permission"]
    left_out = {*(() if permission else ("letter",)), "inspection" if facts.get("exempt") else "exempt"}
    behind = [key for key in said.BEHIND if key not in left_out]
    return {
        "title": said.TITLE[spoken],
        "code": job_code(facts),
        "issued": day(facts["on"], language),
        "behind": [said.BEHIND[key][spoken] for key in behind],
        "calls": calls(facts),
        "record": record_rows(facts),
        "letter": letter_rows(facts),
        "letter_note": (said.LETTER_NOTE if permission else said.NO_UTILITY)[spoken],
        "warranties": warranty_rows(facts),
        "warranty_note": said.WORDS["registered" if facts["warranties"]["registered"] else "to_register"][spoken],
        "changes": [spanish_change(line) if spoken else line for line in facts.get("changes", [])],
    }


def record_rows(facts: Mapping[str, Any]) -> Rows:
    """Days that the job's record holds: permits, tests, inspection, switching on."""
    spoken, language = _spoken(facts), facts["customer"]["language"]
    rows = [
        (
            f"{said.PERMITS[p['kind']][spoken] if p['kind'] in said.PERMITS else p['kind']} {p['number']}".strip(),
            day(p["issued_on"], language),
        )
        for p in facts["permits"]
    ]
    if exempt := facts.get("exempt"):
        rows.append(
            (said.EXEMPT[spoken].format(rule=exempt["rule"]), day(exempt["on"], language) if exempt["on"] else "")
        )
    rows += [
        (pair[spoken].format(jurisdiction=facts["jurisdiction"]).rstrip(", "), day(facts["days"][key], language))
        for key, pair in said.RECORD.items()
        if facts["days"][key]
    ]
    return rows


def letter_rows(facts: Mapping[str, Any]) -> Rows:
    permission = facts["permission"]
    if not permission:
        return []
    spoken, language = _spoken(facts), facts["customer"]["language"]
    rows = []
    for key, pair in said.LETTER.items():
        value = permission.get(key)
        if key.endswith("_on"):
            value = day(value, language) if value else ""
        if value or key in ("number", "granted_on"):
            rows.append((pair[spoken], value or said.LETTER["not_recorded"][spoken]))
    return rows


def warranty_rows(facts: Mapping[str, Any]) -> list[dict[str, str]]:
    spoken, language = _spoken(facts), facts["customer"]["language"]
    return [
        {
            "covers": said.WORDS["workmanship"][spoken] if row["covers"] == "Workmanship" else row["covers"],
            "years": str(row["years"]),
            "from": day(row["starts_on"], language),
            "until": day(row["ends_on"], language),
        }
        for row in facts["warranties"]["rows"]
    ]


def shutdown(facts: Mapping[str, Any]) -> dict[str, Any]:
    """Steps for the devices that this system has, and no other."""
    spoken = _spoken(facts)
    asked = facts["study"]["request"]
    battery, generator = asked["battery"], asked["generator"]
    on_grid = facts["system_kind"] != "off_grid"
    steps = ["rapid_shutdown"] if "rapid_shutdown" in facts["label_keys"] else []
    steps += ["generator"] if generator else []
    steps.append("ac_disconnect" if on_grid else "output_disconnect")
    steps += ["batteries" if battery["units"] > 1 else "battery"] if battery else []
    steps += ["dc_disconnect", "main", "call"]
    live = [
        "modules" if on_roof(facts["study"]) else "modules_ground",
        *(["battery"] if battery else []),
        "inverter",
        *(["service"] if on_grid else []),
    ]
    filled = {"units": battery["units"] if battery else 0, "phone": facts["firm"]["phone"]}
    return {
        "title": said.SHUTDOWN[spoken],
        "first": said.FIRST[spoken].format(what=(said.WHAT_BATTERY if battery else said.WHAT_PANELS)[spoken]),
        "only_if": said.ONLY_IF[spoken],
        "steps": [said.STEPS[key][spoken].format(**filled) for key in steps],
        "live": [said.LIVE[key][spoken] for key in live],
        "again": said.AGAIN[spoken],
    }


def living(facts: Mapping[str, Any]) -> dict[str, Any]:
    spoken, kind, study = _spoken(facts), facts["system_kind"], facts["study"]
    asked = study["request"]
    runs, runs_not = loads(facts)
    back = (said.BACK_GENERATOR if asked["generator"] else said.BACK)[spoken]
    outage = [pair[spoken].format(back=back) for pair in said.OUTAGE[kind]]
    if asked["generator"]:
        outage.append(said.GENERATOR[spoken])
    if kind != "grid_tied":
        outage.append((said.MEDICAL_ALONE if kind == "off_grid" else said.MEDICAL)[spoken])
    keys = ("all", "free_battery", "battery", "after") if asked["battery"] else ("all", "free", "after")
    days = [pair for key in keys for pair in said.DAYS[key]]
    left_out = {"frame" if on_roof(study) else "roof"}
    left_out |= {"open_no_battery"} if asked["battery"] else {"open", "store"}
    never = [key for key in said.NEVER if key not in left_out]
    return {
        "title": said.LIVING[spoken],
        "runs_title": said.WORDS["runs_off_grid" if kind == "off_grid" else "runs"][spoken],
        "runs": runs,
        "runs_not": runs_not,
        "lasts": lasting(facts),
        "outage_title": said.WORDS["in_dark" if kind == "off_grid" else "in_outage"][spoken],
        "outage": outage,
        "days": [pair[spoken] for pair in days],
        "never": [said.NEVER[key][spoken] for key in never],
    }


def loads(facts: Mapping[str, Any]) -> tuple[Rows, Rows]:
    """What the critical-loads panel carries and what it doesn't, with running power; off-grid carries everything."""
    spoken, kind, study = _spoken(facts), facts["system_kind"], facts["study"]
    if kind == "grid_tied":
        return [], [(said.WORDS["all_off"][spoken], "")]
    tiers = study["request"]["backup"]["tiers"]
    lines = study["loads"]["appliances"]
    carried_ones = [a for a in lines if kind == "off_grid" or a["tier"] in tiers]
    others = [a for a in lines if a not in carried_ones]
    runs = _listed(carried_ones, facts)
    runs_not = _listed(others, facts)
    if kind == "hybrid":
        runs_not.append((said.WORDS["other"][spoken], ""))
    return runs, runs_not


def _listed(lines: Sequence[Mapping[str, Any]], facts: Mapping[str, Any]) -> Rows:
    spoken = _spoken(facts)
    language = facts["customer"]["language"]
    rows = [(clipped(appliance(a["name"], language), 60), f"{whole(a['running_w'])} W") for a in lines[:MOST_LOADS]]
    more = len(lines) - MOST_LOADS
    if more > 0:
        rows.append((f"{more} {'más' if spoken else 'more'}", ""))
    return rows


def lasting(facts: Mapping[str, Any]) -> Rows:
    """How long, and how much at once, as the study found; empty where nothing is backed up."""
    spoken, language = _spoken(facts), facts["customer"]["language"]
    study, words = facts["study"], {key: pair[spoken] for key, pair in said.WORDS.items()}
    ride, inverter = study["ride_through"], study["request"]["inverter"]
    if facts["system_kind"] == "grid_tied":
        return []
    rows = []
    battery = study["request"]["battery"]
    watts = inverter["backup_power_w"] * study["request"]["inverter_count"]
    if battery and battery.get("coupling") == "ac":  # its own inverters carry the house
        watts = battery["max_discharge_kw"] * 1000 * battery["units"]
    if watts:
        rows.append((words["power"], f"{short(watts / 1000)} kW"))
    if ride:
        horizon, months = ride["horizon_hours"], ride["median_by_month_hours"]
        hardest = min(range(12), key=lambda m: months[m])
        month = (MONTHS_ES if spoken else MONTHS_EN)[hardest]
        rows += [
            (words["typically"], carried(ride["median_hours"], horizon, language)),
            (words["hardest"].format(month=month), carried(months[hardest], horizon, language)),
            (words["worst"], carried(ride["worst_hours"], horizon, language)),
            (words["dark"], duration(ride["battery_only_hours"], language)),
        ]
    return rows
