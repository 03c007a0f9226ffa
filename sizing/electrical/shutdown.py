"""Rapid shutdown of PV on or in buildings, in words, by edition."""

from __future__ import annotations

from sizing.electrical.editions import section
from sizing.study.request import CodeEdition, StudyRequest

_OUTSIDE = (
    "Conductors more than 1 ft outside the array's edge, or more than 3 ft from where they enter the building: at most "
    "30 V within 30 s of shutdown."
)
_INSIDE: dict[CodeEdition, str] = {
    "2017": "Inside the array: a listed rapid-shutdown array, or at most 80 V within 30 s, or no exposed wiring or "
    "metal.",
    "2020": "Inside the array: a listed PV hazard control system, or at most 80 V within 30 s, or no exposed wiring or "
    "metal.",
    "2023": "Inside the array: a listed PV hazard control system, or at most 80 V within 30 s, or no exposed wiring or "
    "metal.",
}
_GROUND = {
    "2017": "Not required for ground-mounted arrays whose circuits enter no building but one that only houses PV gear.",
    "2020": "Not required for ground-mounted arrays whose circuits enter no building but one that only houses PV gear.",
    "2023": "Not required for arrays on nonenclosed detached structures (carports, trellises) or for ground-mounted "
    "arrays whose circuits enter no building but one that only houses PV gear.",
}
_DRAWN = (
    "Drawn and labeled all the same: the rule holds where a circuit enters the house, and the jurisdiction decides "
    "whether it may be left out."
)
"""Nothing in a request tells where a ground mount's inverter stands, so that the paper keeps to the safe side."""


def on_or_in_a_building(request: StudyRequest) -> bool:
    """Whether the array's circuits run on or into a building, as far as the design tells: an array on the roof, or a
    battery on the inverter's DC side that stands in a house or garage, and the inverter with it.
    """
    battery = request.battery
    indoors = battery is not None and battery.coupling == "dc" and battery.location != "outdoors"
    return indoors or any(plane.mounting == "roof" for plane in request.planes)


def rapid_shutdown(edition: CodeEdition, on_building: bool) -> str:
    """What the rule asks of this design, for the single-line diagram and the labels.

    Limits of 2017 checked against a public transcript; what 2020 and 2023 changed, against public change summaries.
    """
    rule, label = section("rapid_shutdown", edition), section("rapid_shutdown_label", edition)
    if not on_building:
        return f"{rule}: {_GROUND[edition]} {_DRAWN} The label is that of {label}."
    return (
        f"{rule}: {_OUTSIDE} {_INSIDE[edition]} The initiation device is readily accessible outside the house and "
        f"labeled per {label}."
    )
