"""What households usually want to keep running, in the order in which they say it, as keys of the appliance library."""

from __future__ import annotations

from projects import studies

USUAL = (
    ("fridge", "Refrigerator"),
    ("chest_freezer", "Freezer"),
    ("lights", "Lights"),
    ("internet", "Internet and phones"),
    ("well_pump_half_hp", "Well pump"),
    ("sump_pump", "Sump pump"),
    ("central_air_3_ton", "Central air"),
    ("window_air", "Window air conditioner"),
    ("furnace_blower", "Heat (blower or boiler pump)"),
    ("heat_pump_3_ton", "Heat pump"),
    ("microwave", "Cooking (microwave)"),
    ("electric_range", "Cooking (electric range)"),
    ("water_heater", "Hot water (electric)"),
    ("medical", "Medical equipment"),
    ("television", "Television"),
    ("garage_door", "Garage door"),
)


def must_run_choices() -> list[tuple[str, str]]:
    """Only what the library really has: a ticked box must become a line of the load worksheet."""
    known = {entry["key"] for entry in studies.appliance_library()}
    return [(key, words) for key, words in USUAL if key in known]


def split_must_run(must_run: list[str]) -> tuple[list[str], list[str]]:
    """(keys that have a box of their own, everything else as it was said)."""
    boxes = {key for key, _ in must_run_choices()}
    return [key for key in must_run if key in boxes], [words for words in must_run if words not in boxes]


def must_run_words(must_run: list[str]) -> list[str]:
    words = dict(must_run_choices())
    return [words.get(key, key) for key in must_run]
