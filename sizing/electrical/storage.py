"""Energy storage at a dwelling: listing, size of a unit, and how much may stand where."""

from __future__ import annotations

from sizing.study.request import Battery, StorageLocation
from sizing.study.result import Check

LIMIT_KWH: dict[StorageLocation, float] = {
    "utility_closet": 40.0,
    "attached_garage": 80.0,
    "detached_garage": 80.0,
    "outdoors": 80.0,
}
"""Aggregate per location, each on its own. NFPA 855 (2023) chapter 15, IRC R328.5."""
UNIT_LIMIT_KWH = 20.0
SOURCE = "NFPA 855 (2023) chapter 15, IRC R328"
PLACE = {
    "utility_closet": "in a utility closet or storage space",
    "attached_garage": "in an attached garage",
    "detached_garage": "in a detached garage or accessory building",
    "outdoors": "on an exterior wall or on the ground outside",
}


def storage_checks(battery: Battery) -> tuple[Check, ...]:
    """Listing, unit size and aggregate. Uses the capacity given, which is usable; the rated one is somewhat larger."""
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
    )
