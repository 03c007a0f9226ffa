"""First look, outage: how long the lights stay on, what must run and whether it starts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.draw.ride_through import out_of_100, ride_through_drawing
from paperwork.spanish_things import appliance
from paperwork.words import MONTHS_EN, carried, clipped, count, duration, short, whole

TIER_WORDS = {"must_run": "must run", "would_like": "would like", "can_wait": "can wait"}


def carries_outages(study: Mapping[str, Any]) -> bool:
    return bool(study.get("ride_through")) and study["request"]["system_type"] != "grid_tied"


def outage_part(facts: Mapping[str, Any], width: float, height: float, drawn: bool = True) -> dict[str, Any]:
    study, language = facts["study"], facts["customer"]["language"]
    if study["request"]["system_type"] == "off_grid":
        return _off_grid(study, width, height, language, drawn)
    if not carries_outages(study):
        return _nothing(study)
    ride = study["ride_through"]
    horizon = ride["horizon_hours"]
    worst_month = min(range(12), key=lambda m: ride["median_by_month_hours"][m])
    rows = [
        ("typically", carried(ride["median_hours"], horizon)),
        (
            f"typically in {MONTHS_EN[worst_month]}, the hardest month",
            carried(ride["median_by_month_hours"][worst_month], horizon),
        ),
        ("worst hour of the year to start", carried(ride["worst_hours"], horizon)),
        ("with no sun at all", carried(ride["battery_only_hours"], horizon)),
    ]
    wanted = ride["wanted_hours"]
    words = (
        f"You asked for {_days(wanted)}: {out_of_100(ride['share_of_starts_meeting_wanted'])} of 100 outages "
        "beginning at any hour of a typical year would be carried that long, starting with a full battery."
        if study["request"]["backup"]["start_state_of_charge"] >= 1
        else f"You asked for {_days(wanted)}: {out_of_100(ride['share_of_starts_meeting_wanted'])} of 100 outages "
        "beginning at any hour of a typical year would be carried that long."
    )
    return {
        "heading": "How long the lights stay on",
        "rows": rows,
        "drawing": _drawing(ride, width, height, language, drawn),
        "drawing_caption": "Of 100 outages, how many are carried to the end, by length",
        "words": words,
    }


def _drawing(ride: Mapping[str, Any], width: float, height: float, language: str, drawn: bool) -> str:
    """A blank where only the room for it is wanted."""
    return ride_through_drawing(ride, width=width, height=height, language=language).picture() if drawn else " "


def _days(hours: float) -> str:
    return count(int(hours // 24), "day") if hours % 24 == 0 else duration(hours)


def _off_grid(study: Mapping[str, Any], width: float, height: float, language: str, drawn: bool) -> dict[str, Any]:
    year = study["off_grid"]
    rows = []
    words = "There is no grid behind this system: what it can't carry stays off."
    if year:
        rows.append(("the whole house from the battery, no sun", duration(year["days_of_autonomy"] * 24)))
        rows.append(("hours short in a typical year", f"{whole(year['loss_of_load_hours'])} of 8,760"))
        words += f" {_typical_year(year, bool(study['request'].get('generator')))}"
    ride = study.get("ride_through")
    if ride and ride["median_hours"] > 0:
        rows.insert(
            0,
            (
                "must-run loads, full battery, no generator: typically",
                carried(ride["median_hours"], ride["horizon_hours"]),
            ),
        )
        rows.insert(
            1, ("the same, worst hour of the year to start", carried(ride["worst_hours"], ride["horizon_hours"]))
        )
    return {
        "heading": "How long the lights stay on",
        "rows": rows,
        "drawing": _drawing(ride, width, height, language, drawn) if ride and ride["median_hours"] > 0 else "",
        "drawing_caption": "Of 100 starts with a full battery, how many carry the must-run loads that long",
        "words": words,
    }


def _typical_year(year: Mapping[str, Any], generator: bool) -> str:
    """The whole house, with the generator where there is one (the study runs it whenever sun and battery go short)."""
    missed, helped = year["loss_of_load_hours"], year.get("generator_kwh_year", 0.0)
    if generator:
        gives = f"In a typical year the generator gives {whole(helped)} kWh"
        if helped <= 0:
            gives = "In a typical year sun and battery are enough; the generator is for harder ones"
        return f"{gives}." if not missed else f"{gives}, and the house still falls short in {count(missed, 'hour')}."
    if missed:
        return f"In a typical year it falls short in {count(missed, 'hour')}, and there is no generator to help out."
    return "In the typical year studied it never falls short; a harder year can."


def _nothing(study: Mapping[str, Any]) -> dict[str, Any]:
    if study["request"]["system_type"] != "grid_tied":
        return {
            "heading": "How long the lights stay on",
            "rows": [],
            "drawing": "",
            "drawing_caption": "",
            "words": "Nothing that must run in an outage is on the list yet, so there is no backup time to show. "
            "Tell us what has to keep running and we work it out.",
        }
    return {
        "heading": "When the power goes out",
        "rows": [("lights stay on", "not at all")],
        "drawing": "",
        "drawing_caption": "",
        "words": "Without a battery the system must switch off the moment the grid fails, even at noon: this protects "
        "the people who repair the lines. If you want lights in an outage, ask us for a hybrid system instead; "
        "it costs more and carries chosen circuits.",
    }


def starts(study: Mapping[str, Any], most_rows: int, language: str = "en") -> dict[str, Any]:
    """The must-run list: how much each takes and whether it starts on backup power. Names in the customer's language,
    since a name is not translated with the rest of the page."""
    listed_loads = [load for load in study["loads"]["appliances"] if load["tier"] == "must_run"]
    backed = carries_outages(study)
    limit_w = surge_limit_w(study) if backed else 0.0
    peak_w = study["loads"]["backup_peak_w"]
    rows = []
    for load in sorted(listed_loads, key=lambda load: (-load["starting_w"], load["name"])):
        motor = load["starting_w"] > load["running_w"] + 0.5
        if not backed:
            answer = "off in an outage"
        elif not motor:
            answer = "runs"
        elif study["ride_through"]["surge_ok"] or peak_w - load["running_w"] + load["starting_w"] <= limit_w:
            answer = "starts"
        else:
            answer = "does not start"
        rows.append(
            {
                "name": clipped(appliance(load["name"], language), 34),
                "watts": _watts(load["running_w"], load["starting_w"] if motor else None),
                "answer": answer,
                "fails": answer == "does not start",
            }
        )
    shown = rows[:most_rows]
    rest = len(rows) - len(shown)
    failing = [row["name"] for row in rows if row["fails"]]
    notes = []
    if failing:
        notes.append(
            "“Does not start” means: its starting surge on top of everything else is more than the "
            f"{_kw(limit_w)} this "
            "inverter gives. A soft starter or a larger inverter can help; we check it on site."
        )
    if backed and not study["ride_through"]["power_limit_ok"]:
        notes.append("Not everything here can run at the same time without sun: it takes turns.")
    return {
        "rows": shown,
        "more": f"and {count(rest, 'more item')}" if rest else "",
        "empty": not rows,
        "notes": notes,
        "total": f"{short(study['loads']['backup_kwh_per_day'])} kWh a day" if backed else "",
    }


def surge_limit_w(study: Mapping[str, Any]) -> float:
    asked = study["request"]
    inverter, number, battery = asked["inverter"], asked["inverter_count"], asked["battery"]
    if battery and battery.get("coupling") == "ac":  # the battery's own inverters carry the house
        return float(max(battery.get("surge_kw") or 0, battery["max_discharge_kw"]) * 1000 * battery["units"])
    return float(max(inverter["surge_w"], inverter["backup_power_w"]) * number)


def _kw(watts: float) -> str:
    return f"{short(watts / 1000)} kW"


def _watts(running: float, starting: float | None) -> str:
    text = f"{whole(running)} W" if running < 1000 else _kw(running)
    if starting is not None:
        text += f", {_kw(starting) if starting >= 1000 else f'{whole(starting)} W'} to start"
    return text
