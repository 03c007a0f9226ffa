"""The loads part of a study: worksheet and bills in, hourly profiles and surges out."""

from __future__ import annotations

import numpy as np

from sizing.climate.hours import HOURS_PER_YEAR, ClimateHours, Floats, sum_by_month
from sizing.errors import InputError, InputErrors
from sizing.loads.hours import LoadsHours
from sizing.loads.house import house_use
from sizing.loads.profiles import energy_per_day_wh, hourly_w
from sizing.loads.starting import CODE_LETTER_KVA_PER_HP, group_starting_w, start_of
from sizing.study.request import Appliance, StudyRequest, Tier
from sizing.study.result import ApplianceLoad, Loads
from sizing.working import Term, Working

_WORKSHEET = "the load worksheet"


def problems(request: StudyRequest) -> list[InputError]:
    """Everything on the worksheet and the bills that can't be used, in their order."""
    found: list[InputError] = []
    for index, appliance in enumerate(request.appliances):
        where = f"appliances[{index}]"
        if not 0 <= appliance.hours_per_day <= 24:
            found.append(InputError(f"{where}.hours_per_day", "Hours per day must lie between 0 and 24."))
        if appliance.watts < 0:
            found.append(InputError(f"{where}.watts", "Running watts can't be negative."))
        if appliance.count < 0:
            found.append(InputError(f"{where}.count", "The count can't be negative."))
        if any(not 1 <= month <= 12 for month in appliance.months):
            found.append(InputError(f"{where}.months", "Months are numbers from 1 to 12."))
        if appliance.voltage_v <= 0:
            found.append(InputError(f"{where}.voltage_v", "The voltage must be above 0."))
        if appliance.code_letter and appliance.code_letter.upper() not in CODE_LETTER_KVA_PER_HP:
            found.append(
                InputError(f"{where}.code_letter", f"{appliance.code_letter} is no motor code letter we know.")
            )
    usage = request.usage
    if usage.monthly_kwh and len(usage.monthly_kwh) != 12:
        found.append(InputError("usage.monthly_kwh", "Give twelve months of kWh, January first, or a yearly figure."))
    elif any(kwh < 0 for kwh in usage.monthly_kwh):
        found.append(InputError("usage.monthly_kwh", "A month's use can't be negative."))
    if usage.yearly_kwh is not None and usage.yearly_kwh < 0:
        found.append(InputError("usage.yearly_kwh", "A year's use can't be negative."))
    return found


def study_loads(request: StudyRequest, climate_hours: ClimateHours) -> LoadsHours:
    """Hourly loads of the worksheet's backed-up tiers and of the whole house, with peak and largest start.

    Raises InputErrors naming every worksheet line or bill that can't be used.
    """
    if found := problems(request):
        raise InputErrors(found)
    backup_w = np.zeros(HOURS_PER_YEAR)
    worksheet_w = np.zeros(HOURS_PER_YEAR)
    lines: list[ApplianceLoad] = []
    working: list[Working] = []
    warnings: list[str] = []
    backed_up: list[Appliance] = []
    by_tier: dict[Tier, Floats] = {}
    for index, appliance in enumerate(request.appliances):
        profile_w = hourly_w(appliance, climate_hours)
        worksheet_w += profile_w
        by_tier[appliance.tier] = by_tier.get(appliance.tier, 0.0) + profile_w
        if appliance.tier in request.backup.tiers:
            backup_w += profile_w
            backed_up.append(appliance)
        lines.append(_line(appliance, profile_w))
        working.append(_energy_working(index, appliance, profile_w))
        if appliance.count > 0 and appliance.watts > 0:
            warnings += _appliance_warnings(appliance, profile_w)
    house = house_use(request.usage, backup_w, worksheet_w, climate_hours)
    warnings += house.warnings
    if house.source == _WORKSHEET and request.system_type != "off_grid" and request.tariff is not None:
        warnings.append(
            "No electric bills given: the year's use is the load worksheet's, which is rarely the whole house."
        )

    peak_w = sum(appliance.watts * appliance.count for appliance in backed_up)
    largest = max(backed_up, key=_added_by_start, default=None)
    largest_start_w = peak_w + (_added_by_start(largest) if largest else 0.0)
    summary = Loads(
        appliances=tuple(lines),
        use_kwh_by_month=tuple(float(kwh) for kwh in sum_by_month(house.use_w) / 1000),
        use_kwh_year=float(house.use_w.sum() / 1000),
        backup_kwh_per_day=float(backup_w.sum() / 365 / 1000),
        backup_peak_w=peak_w,
        largest_start_w=largest_start_w,
        largest_start_name=largest.name if largest and _added_by_start(largest) > 0 else "",
    )
    working += _summary_working(summary, backed_up, largest, house.source, backup_w)
    return LoadsHours(summary, backup_w, house.use_w, tuple(working), tuple(warnings), tuple(by_tier.items()))


def _added_by_start(appliance: Appliance) -> float:
    return group_starting_w(appliance) - appliance.watts * appliance.count


def _line(appliance: Appliance, profile_w: Floats) -> ApplianceLoad:
    return ApplianceLoad(
        name=appliance.name,
        tier=appliance.tier,
        kwh_per_day=energy_per_day_wh(appliance) / 1000,
        kwh_year=float(profile_w.sum() / 1000),
        running_w=appliance.watts * appliance.count,
        starting_w=group_starting_w(appliance),
    )


def _energy_working(index: int, appliance: Appliance, profile_w: Floats) -> Working:
    per_day_wh = energy_per_day_wh(appliance)
    days = float(profile_w.sum() / per_day_wh) if per_day_wh > 0 else 0.0
    return Working(
        key=f"loads.appliance[{index}].kwh_year",
        label=f"{appliance.name}: energy per year",
        formula="E = P × n × h × d / 1000",
        terms=(
            Term("P", appliance.watts, "W", "running power of one"),
            Term("n", float(appliance.count), "", "how many"),
            Term("h", appliance.hours_per_day, "h/day", "on a day on which it runs"),
            Term("d", round(days, 6), "days", "on which it runs"),
        ),
        result=float(profile_w.sum() / 1000),
        unit="kWh/year",
        source="load worksheet",
    )


def _appliance_warnings(appliance: Appliance, profile_w: Floats) -> list[str]:
    out = []
    if start_of(appliance).assumed:
        out.append(
            f"{appliance.name}: nothing says how it starts, so six times its running power is assumed. "
            "Read the locked-rotor amperes (LRA) or the code letter off its nameplate."
        )
    if appliance.hours_per_day > 0 and profile_w.sum() == 0:
        out.append(f"{appliance.name}: the weather of this site never calls for it in its months, so it draws nothing.")
    return out


def _summary_working(
    summary: Loads, backed_up: list[Appliance], largest: Appliance | None, house_source: str, backup_w: Floats
) -> list[Working]:
    out = [
        Working(
            key="loads.use_year",
            label="Electricity the whole house uses in a year",
            formula="sum of twelve months",
            terms=tuple(
                Term(f"month {month}", kwh, "kWh") for month, kwh in enumerate(summary.use_kwh_by_month, start=1)
            ),
            result=summary.use_kwh_year,
            unit="kWh/year",
            source=house_source,
        ),
        Working(
            key="loads.backup_day",
            label="Essential loads, energy per day, mean of the year",
            formula="E_day = E_year / 365",
            terms=(Term("E_year", float(backup_w.sum() / 1000), "kWh"),),
            result=summary.backup_kwh_per_day,
            unit="kWh/day",
            source="load worksheet",
        ),
        Working(
            key="loads.backup_peak",
            label="Everything essential running at once",
            formula="sum of P × n over the essential loads",
            terms=tuple(Term(item.name, item.watts * item.count, "W") for item in backed_up),
            result=summary.backup_peak_w,
            unit="W",
            source="load worksheet",
        ),
    ]
    if largest is not None and summary.largest_start_name:
        start = start_of(largest)
        out.append(
            Working(
                key="loads.largest_start",
                label=f"Largest start: {largest.name} on top of everything else running",
                formula=f"P_peak − P_run + {start.formula}",
                terms=(
                    Term("P_peak", summary.backup_peak_w, "W"),
                    Term("P_run", largest.watts, "W", "of the one that starts"),
                    *start.terms,
                ),
                result=summary.largest_start_w,
                unit="VA",
                source=start.source,
                remark="Starting volt-amperes are compared with the inverter's surge rating as if they were watts.",
            )
        )
    return out
