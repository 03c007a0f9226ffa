"""Power in an outage: everything at once, and the largest start, against inverter and battery."""

from __future__ import annotations

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
    continuous_w = min(plant.inverter_limit_w, battery_ac_w) if request.battery else plant.inverter_limit_w
    surge_w = plant.inverter_limit_w
    if request.battery is None or request.battery.coupling == "dc":  # a PV inverter that follows lends no surge
        surge_w = max(surge_w, request.inverter.surge_w * request.inverter_count)
    power_ok, surge_ok = peak_w <= continuous_w, start_w <= surge_w
    working = [
        Working(
            key="backup.power_limit",
            label="Everything essential at once against what inverter and battery give without sun",
            formula="P_peak ≤ min(P_inverter, P_battery × η_inv)",
            terms=(
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
            label=f"Largest start against the inverter's surge ({request.inverter.surge_s:g} s)",
            formula="P_start ≤ P_surge",
            terms=(Term("P_surge", surge_w, "W", "surge rating, or the backup rating where none is given"),),
            result=start_w,
            unit="VA",
            source="datasheet of the inverter",
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
            f"{start_w / 1000:.1f} kVA on top of the rest, the inverter surges to {surge_w / 1000:.1f} kVA. "
            "A soft starter or another inverter would settle it."
        )
    return power_ok, surge_ok, working, " ".join(notes)
