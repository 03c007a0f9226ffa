"""Power in an outage: everything at once, and the largest start, against inverter and battery."""

from __future__ import annotations

from typing import NamedTuple

from sizing.backup.plant import Plant
from sizing.loads.hours import LoadsHours
from sizing.study.request import StudyRequest
from sizing.working import Term, Working


def power_limits(request: StudyRequest, plant: Plant, loads: LoadsHours) -> tuple[bool, bool, list[Working], str]:
    """(power holds, surge holds, working, what to tell the customer where one does not).

    "Power" is all essential loads together without sun: the smaller of the inverters' backup rating and what the
    battery's discharge limit leaves after the inverter.
    """
    peak_w, start_w = loads.summary.backup_peak_w, loads.summary.largest_start_w
    battery_ac_w = plant.discharge_limit_w * plant.inverter_efficiency
    # What a battery's own inverter gives is an AC rating: nothing is taken off it.
    from_both = request.battery is not None and request.battery.coupling == "dc"
    continuous_w = min(plant.inverter_limit_w, battery_ac_w) if from_both else plant.inverter_limit_w
    own = request.battery is not None and request.battery.coupling == "ac"
    surge = _surge_of(request)
    surge_w = max(plant.inverter_limit_w, surge.total_w)
    power_ok, surge_ok = peak_w <= continuous_w, start_w <= surge_w
    working = [
        Working(
            key="backup.power_limit",
            label="Everything essential at once against what inverter and battery give without sun",
            formula="P_peak ≤ P_battery" if own else "P_peak ≤ min(P_inverter, P_battery × η_inv)",
            terms=(Term("P_battery", continuous_w, "W", "of the batteries' own inverters"),)
            if own
            else (
                Term("P_inverter", plant.inverter_limit_w, "W", "backup rating"),
                Term("P_battery", plant.discharge_limit_w, "W", "discharge limit"),
                Term("η_inv", plant.inverter_efficiency, ""),
            ),
            result=peak_w,
            unit="W",
            source="datasheets of inverter and battery",
            limit=continuous_w,
            passes=power_ok,
        ),
        Working(
            key="backup.surge",
            label=f"Largest start against the {surge.of}'s surge"
            + (f" ({surge.lasts_s:g} s)" if surge.lasts_s else ""),
            formula="P_start ≤ P_surge",
            terms=(Term("P_surge", surge_w, "W", surge.words),),
            result=start_w,
            unit="VA",
            source=f"datasheet of the {surge.of}",
            limit=surge_w,
            passes=surge_ok,
        ),
    ]
    notes = []
    if plant.inverter_limit_w > 0 and not power_ok:
        notes.append(
            f"With everything essential on at once ({peak_w / 1000:.1f} kW) the backup trips: it carries "
            f"{continuous_w / 1000:.1f} kW without sun. Leave something off, or add a unit."
        )
    if plant.inverter_limit_w > 0 and not surge_ok:
        notes.append(
            f"{loads.summary.largest_start_name or 'The largest load'} may not start in an outage: it needs about "
            f"{start_w / 1000:.1f} kVA on top of the rest, the {surge.of} surges to {surge_w / 1000:.1f} kVA. "
            f"A soft starter or another {surge.of} would settle it."
        )
    return power_ok, surge_ok, working, " ".join(notes)


class _Surge(NamedTuple):
    """Whose surge starts the motors with the grid down, and what is stated of it."""

    of: str
    total_w: float
    lasts_s: float | None
    words: str


def _surge_of(request: StudyRequest) -> _Surge:
    """More units add up, as their continuous power does. A PV inverter that follows lends no surge."""
    battery, inverter = request.battery, request.inverter
    if battery is None or battery.coupling == "dc":
        words = "surge rating, or the backup rating where none is given"
        return _Surge("inverter", inverter.surge_w * request.inverter_count, inverter.surge_s, words)
    if battery.surge_kw is None:
        return _Surge("battery", 0.0, None, "no surge rating given: what all units discharge at")
    words = f"{battery.units} × {battery.surge_kw:g} kW"
    return _Surge("battery", battery.surge_kw * 1000 * battery.units, battery.surge_s, words)
