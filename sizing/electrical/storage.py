"""Energy storage at a dwelling: listing, size of a unit, and how much may stand where."""

from __future__ import annotations

from sizing.study.request import Battery, StorageLocation
from sizing.study.result import Check

FEET_PER_M = 1 / 0.3048

LIMIT_KWH: dict[StorageLocation, float] = {
    "utility_closet": 40.0,
    "attached_garage": 80.0,
    "detached_garage": 80.0,
    "outdoors": 80.0,
}
"""Aggregate per location, each on its own. NFPA 855 (2023) chapter 15, IRC R328.5."""
UNIT_LIMIT_KWH = 20.0
SPACING_M = 0.9144
"""3 ft between units, and from a unit outside to a door or window into the dwelling. NFPA 855 (2023) chapter 15."""
SOURCE = "NFPA 855 (2023) chapter 15, IRC R328"
PLACE = {
    "utility_closet": "in a utility closet or storage space",
    "attached_garage": "in an attached garage",
    "detached_garage": "in a detached garage or accessory building",
    "outdoors": "on an exterior wall or on the ground outside",
}


def storage_checks(battery: Battery) -> tuple[Check, ...]:
    """Listing, unit size, aggregate and what was measured of the spacing.

    Uses the capacity given, which is usable; the rated one is somewhat larger.
    """
    aggregate, limit = battery.usable_kwh * battery.units, LIMIT_KWH[battery.location]
    unit_ok, aggregate_ok = battery.usable_kwh <= UNIT_LIMIT_KWH, aggregate <= limit
    return (
        Check(
            "storage.listing",
            "Energy storage system listed to UL 9540",
            battery.listed_ul9540,
            "listed" if battery.listed_ul9540 else "not listed",
            "UL 9540",
            "IRC R328.2, NFPA 855 listing",
            ""
            if battery.listed_ul9540
            else "A UL 1973 battery listing or a UL 9540A test report is not enough: choose one listed to UL 9540.",
        ),
        Check(
            "storage.unit",
            "Size of one storage unit",
            unit_ok,
            f"{battery.usable_kwh:g} kWh",
            f"{UNIT_LIMIT_KWH:g} kWh",
            SOURCE,
            "" if unit_ok else "Above 20 kWh a unit falls outside the residential chapter: commercial rules apply.",
        ),
        Check(
            "storage.aggregate",
            f"All storage {PLACE[battery.location]}",
            aggregate_ok,
            f"{aggregate:g} kWh",
            f"{limit:g} kWh",
            SOURCE,
            "" if aggregate_ok else "Split the storage over several locations, each within its own limit, or use less.",
        ),
        *spacing_checks(battery),
        *impact_checks(battery),
    )


def spacing_checks(battery: Battery) -> tuple[Check, ...]:
    """3 ft between units and to doors and windows, where the distance was measured.

    A large-scale fire test (UL 9540A) lets units stand closer to each other as its report says; it moves no opening.
    """
    out = []
    if battery.units > 1 and battery.unit_gap_m is not None:
        apart = battery.unit_gap_m >= SPACING_M - 1e-9
        out.append(
            Check(
                "storage.spacing",
                "Free space between storage units",
                apart or battery.fire_tested_close,
                _feet(battery.unit_gap_m),
                _feet(SPACING_M),
                SOURCE,
                ""
                if apart
                else "Closer by its large-scale fire test (UL 9540A): keep the report's spacing, and its pages in the "
                "packet."
                if battery.fire_tested_close
                else "Move the units 3 ft apart, or put in the large-scale fire test (UL 9540A) that allows less.",
            )
        )
    if battery.opening_gap_m is not None and battery.location == "outdoors":
        clear = battery.opening_gap_m >= SPACING_M - 1e-9
        out.append(
            Check(
                "storage.openings",
                "From storage outside to the nearest door or window into the dwelling",
                clear,
                _feet(battery.opening_gap_m),
                _feet(SPACING_M),
                SOURCE,
                "" if clear else "Move the storage at least 3 ft from doors and windows into the dwelling.",
            )
        )
    return tuple(out)


def impact_checks(battery: Battery) -> tuple[Check, ...]:
    """Where vehicles can reach the storage a barrier stands before it, wherever somebody looked. From memory."""
    if battery.vehicle_guarded is None:
        return ()
    guarded = battery.vehicle_guarded
    return (
        Check(
            "storage.impact",
            "Storage guarded against vehicles",
            guarded,
            "out of their path or behind a barrier" if guarded else "in their path without a barrier",
            "an approved barrier where vehicles can reach it",
            "IRC R328.8 (from memory)",
            ""
            if guarded
            else "Move it out of the path of vehicles, or put a barrier before it that the official accepts.",
        ),
    )


def _feet(metres: float) -> str:
    return f"{metres * FEET_PER_M:.1f} ft"
