"""What is wrong with the equipment of a request and with the way it is wired."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from sizing.errors import InputError
from sizing.study.request import StorageLocation, StudyRequest
from sizing.study.rules import choice, positive, within


def equipment_problems(request: StudyRequest) -> Iterator[InputError]:
    module, inverter = request.module, request.inverter
    for name, high, unit in (
        ("power_w", 2000.0, "W"), ("voc_v", 400.0, "V"), ("isc_a", 50.0, "A"), ("vmp_v", 400.0, "V"),
        ("imp_a", 50.0, "A"), ("length_m", 4.0, "m"), ("width_m", 3.0, "m"), ("max_series_fuse_a", 100.0, "A"),
        ("weight_kg", 100.0, "kg"),
    ):  # fmt: skip
        yield from positive(f"module.{name}", getattr(module, name), high, unit)
    yield from within("module.temp_coeff_pmax_pct_per_c", module.temp_coeff_pmax_pct_per_c, -1.0, 0.0, "%/C")
    yield from within("module.temp_coeff_voc_pct_per_c", module.temp_coeff_voc_pct_per_c, -1.0, 0.0, "%/C")
    yield from within("module.noct_c", module.noct_c, 30.0, 70.0, "C")
    if module.vmp_v >= module.voc_v > 0:
        yield InputError("module.vmp_v", f"{module.vmp_v:g} V is not below the open-circuit {module.voc_v:g} V")
    if module.imp_a >= module.isc_a > 0:
        yield InputError("module.imp_a", f"{module.imp_a:g} A is not below the short-circuit {module.isc_a:g} A")
    product = module.vmp_v * module.imp_a
    if module.power_w > 0 and product > 0 and abs(product / module.power_w - 1.0) > 0.05:
        yield InputError("module.power_w", f"{module.power_w:g} W is not vmp_v times imp_a ({product:.0f} W)")
    for name, high, unit in (
        ("ac_power_w", 500_000.0, "W"), ("ac_voltage_v", 1000.0, "V"), ("max_dc_voltage_v", 1500.0, "V"),
        ("mppt_min_v", 1500.0, "V"), ("mppt_max_v", 1500.0, "V"), ("max_input_current_a", 1000.0, "A"),
        ("max_short_circuit_a", 1000.0, "A"),
    ):  # fmt: skip
        yield from positive(f"inverter.{name}", getattr(inverter, name), high, unit)
    if not 0.5 <= inverter.efficiency <= 1.0:
        yield InputError("inverter.efficiency", f"{inverter.efficiency:g} is a fraction between 0.5 and 1")
    for name in ("mppt_inputs", "strings_per_mppt"):
        yield from within(f"inverter.{name}", getattr(inverter, name), 1, 100)
    for name in ("backup_power_w", "surge_w", "surge_s", "standby_w"):
        yield from within(f"inverter.{name}", getattr(inverter, name), 0.0, 1_000_000.0)
    if inverter.mppt_min_v >= inverter.mppt_max_v > 0:
        yield InputError("inverter.mppt_min_v", "is not below mppt_max_v")
    yield from within("inverter_count", request.inverter_count, 1, 100)
    if request.battery is not None:
        battery = request.battery
        yield from positive("battery.usable_kwh", battery.usable_kwh, 10_000.0, "kWh")
        yield from positive("battery.max_charge_kw", battery.max_charge_kw, 10_000.0, "kW")
        yield from positive("battery.max_discharge_kw", battery.max_discharge_kw, 10_000.0, "kW")
        if not 0.3 <= battery.round_trip_efficiency <= 1.0:
            yield InputError(
                "battery.round_trip_efficiency", f"{battery.round_trip_efficiency:g} is a fraction between 0.3 and 1"
            )
        yield from within("battery.reserve_fraction", battery.reserve_fraction, 0.0, 0.95)
        yield from within("battery.units", battery.units, 1, 100)
        yield from choice("battery.coupling", battery.coupling, ("dc", "ac"))
        yield from choice("battery.location", battery.location, get_args(StorageLocation))
        yield from positive("battery.circuit_voltage_v", battery.circuit_voltage_v, 1500.0, "V")
        yield from within("battery.surge_kw", battery.surge_kw, 0.0, 10_000.0, "kW")
        yield from within("battery.surge_s", battery.surge_s, 0.0, 3600.0, "s")
        yield from within("battery.standby_w", battery.standby_w, 0.0, 10_000.0, "W")
        yield from within("battery.most_pv_kw", battery.most_pv_kw, 0.0, 10_000.0, "kW")
        yield from within("battery.unit_gap_m", battery.unit_gap_m, 0.0, 100.0, "m")
        yield from within("battery.opening_gap_m", battery.opening_gap_m, 0.0, 100.0, "m")
    elif request.system_type == "off_grid":
        yield InputError("battery", "an off-grid system needs a battery")
    if request.generator is not None:
        yield from positive("generator.power_w", request.generator.power_w, 1_000_000.0, "W")
        yield from within("generator.fuel_limited_hours", request.generator.fuel_limited_hours, 0.0, 8760.0, "h")


def string_problems(request: StudyRequest) -> Iterator[InputError]:
    if not request.strings:
        return
    planes = {plane.name: plane for plane in request.planes}
    counted = dict.fromkeys(planes, 0)
    inputs = request.inverter.mppt_inputs * request.inverter_count
    for i, group in enumerate(request.strings):
        path = f"strings[{i}]"
        yield from within(f"{path}.modules_in_series", group.modules_in_series, 1, 1000)
        yield from within(f"{path}.strings", group.strings, 1, 1000)
        if inputs >= 1:
            yield from within(f"{path}.mppt", group.mppt, 1, inputs)
        if group.plane not in planes:
            yield InputError(f"{path}.plane", f"there is no plane named {group.plane!r}")
        else:
            counted[group.plane] += group.modules_in_series * group.strings
    for name, count in counted.items():
        if count != planes[name].modules:
            yield InputError("strings", f"wire {count} modules on {name}, which carries {planes[name].modules}")
