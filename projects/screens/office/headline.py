"""The study's key figures in the words of the job page. Works on the stored result; reads nothing else."""

from __future__ import annotations

from typing import Any

from projects import studies
from projects.models import Design
from projects.route.words import listed

Row = tuple[str, str, bool]
"""Name, value, and whether it is a warning."""

SMALL_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def number_word(n: int) -> str:
    return SMALL_NUMBERS[n] if 0 <= n < len(SMALL_NUMBERS) else str(n)


def duration(hours: float) -> str:
    """ "9 hours", "3 days"."""
    if hours < 48:
        return f"{hours:.0f} hour{'' if round(hours) == 1 else 's'}"
    return f"{hours / 24:.0f} days"


def of_design(design: Design) -> list[Row]:
    rows: list[Row] = [
        (
            "Array",
            f"{design.module_count} × {design.module.power_w:.0f} W, "
            f"{strings_words(design.strings) if design.strings else f'{design.array_kw:.1f} kW'}",
            False,
        ),
        (
            "Inverter",
            design.inverter.name if design.inverter_count == 1 else f"{design.inverter_count} × {design.inverter.name}",
            False,
        ),
    ]
    if design.battery:
        rows.append(("Battery", f"{design.battery_count} × {design.battery.name}, {design.battery_kwh:.1f} kWh", False))
    if design.generator:
        rows.append(("Generator", design.generator.name, False))
    return rows


def of_study(figures: dict[str, Any], inverters: int = 1) -> list[Row]:
    """From the stored figures of ``projects.studies.headline``; each of the ``inverters`` has a breaker of its own."""
    rows: list[Row] = []
    if figures.get("voc_cold_v") and figures.get("voc_limit_v"):
        cold, limit = figures["voc_cold_v"], figures["voc_limit_v"]
        rows.append(("Coldest open-circuit voltage", f"{cold:.0f} V of {limit:.0f} V allowed", cold > limit))
    if figures.get("ac_kwh_year"):
        rows.append(("Made in a typical year", made(figures), False))
    if figures.get("ride_through_words"):
        carried = figures.get("ride_through_median_hours") != 0
        words = figures["ride_through_words"] if carried else studies.NOTHING_CARRIED
        rows.append(("Rides through", words, False))
    if figures.get("pump_name") and figures.get("surge_ok") is not None:
        passes = figures["surge_ok"]
        rows.append((f"{figures['pump_name']} start", "passes" if passes else "too heavy for the inverter", not passes))
    if figures.get("backfeed_breaker_a") and figures.get("busbar_allowed_a") is not None:
        # The rule weighs 125 % of the inverter's current, so that is what is left for a breaker.
        left = 1.25 * figures["busbar_allowed_a"]
        fails = any("usbar" in label for label in figures.get("checks_failing") or ())
        breakers = f"{'' if inverters == 1 else f'{inverters} × '}{figures['backfeed_breaker_a']:.0f} A"
        rows.append(
            ("Busbar", f"{breakers}, {left:.0f} A left" if inverters > 1 else f"{breakers} of {left:.0f} A left", fails)
        )
    rows += money(figures)
    failing = figures.get("checks_failing") or []
    words = f"{len(failing)} of {figures.get('checks', len(failing))} fail" if failing else "all pass"
    return [*rows, ("Design checks", words, bool(failing))]


def made(figures: dict[str, Any]) -> str:
    """ "11,234 kWh, 98 % of the use"."""
    words = f"{figures['ac_kwh_year']:,.0f} kWh"
    use = figures.get("use_kwh_year")
    return f"{words}, {100 * figures['ac_kwh_year'] / use:.0f} % of the use" if use else words


def money(figures: dict[str, Any]) -> list[Row]:
    saved, payment = figures.get("saved_month_usd"), figures.get("loan_payment_usd")
    if saved is None:
        return []
    if payment is None:
        return [("Saved a month", f"${saved:,.0f}", False)]
    covered = figures["saving_covers_payment"]
    words = f"${saved:,.0f} / ${payment:,.0f}, {'covered' if covered else 'not covered'}"
    return [("Saved a month / loan a month", words, not covered)]


def strings_words(strings: list[dict[str, Any]]) -> str:
    """ "two strings of 11", "one string of 9 and one string of 12"."""
    groups: dict[int, int] = {}
    for line in strings:
        groups[line["modules_in_series"]] = groups.get(line["modules_in_series"], 0) + line["strings"]
    return listed([f"{number_word(n)} string{'' if n == 1 else 's'} of {length}" for length, n in groups.items()])
