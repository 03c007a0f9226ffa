"""PV inverters behind a battery that has an inverter of its own: what it can hold in check while the grid is down."""

from __future__ import annotations

from sizing.study.request import Battery, StudyRequest
from sizing.study.result import Check
from sizing.working import Term, Working


def behind_own_inverter(request: StudyRequest) -> Battery | None:
    """The battery whose own inverters the PV inverters follow in an outage; None where there is none."""
    battery = request.battery
    if battery is None or battery.coupling != "ac" or request.system_type == "grid_tied":
        return None
    return battery


def pv_in_outage(request: StudyRequest) -> tuple[Check, Working] | None:
    """Rated output of all PV inverters against what the batteries can take in; None without an AC-coupled battery.

    When a load goes off at noon, all that the PV inverters make flows into the batteries until they turn the PV down.
    The maker's figure comes first; without one, what the units charge at. Common practice, no source.
    """
    battery = behind_own_inverter(request)
    if battery is None:
        return None
    each = battery.max_charge_kw if battery.most_pv_kw is None else battery.most_pv_kw
    made, most = request.inverter.ac_power_w * request.inverter_count / 1000, each * battery.units
    passes = made <= most + 1e-9
    stated = battery.most_pv_kw is not None
    source = "datasheet of the battery" if stated else "common practice, no source"
    check = Check(
        "storage.pv_in_outage",
        "PV inverters against what the batteries can hold in check in an outage",
        passes,
        f"{made:g} kW",
        f"{battery.units} × {each:g} = {most:g} kW",
        source,
        ""
        if passes
        else "Take more batteries or smaller PV inverters, or put part of the PV on the main panel: with loads off and "
        "the sun high, the batteries could not take what it makes. Both makers' manuals go before this rule.",
    )
    working = Working(
        "storage.pv_in_outage",
        "Rated output of all PV inverters against what the batteries can hold in check in an outage",
        "n_inv × P_pv ≤ n × P_each",
        (
            Term("n_inv", float(request.inverter_count), "inverters"),
            Term("P_pv", request.inverter.ac_power_w / 1000, "kW", "rated output of one"),
            Term("n", float(battery.units), "batteries"),
            Term("P_each", each, "kW", "as its maker states" if stated else "what one charges at"),
        ),
        made,
        "kW",
        source,
        limit=most,
        passes=passes,
        remark="The PV inverters must follow the battery's frequency and turn down: a listed grid-support function in "
        "both, as both makers allow.",
    )
    return check, working
