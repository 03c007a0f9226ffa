"""The catalogue's forms: datasheet values of modules, inverters, batteries and generators."""

from __future__ import annotations

from typing import Any

from projects.models import BatteryModel, GeneratorModel, InverterModel, ModuleModel
from projects.screens.office.forms_register import RegisterForm

IN_MILLIMETRES_FROM = 100.0
LEAST_SIDE_M, MOST_SIDE_M = 0.2, 4.0


class ModuleForm(RegisterForm):
    model = ModuleModel
    groups = (
        ("Module", ("name", "price_usd", "warranty_years", "active")),
        ("At standard test conditions", ("power_w", "voc_v", "isc_a", "vmp_v", "imp_a")),
        ("With temperature", ("temp_coeff_pmax_pct_per_c", "temp_coeff_voc_pct_per_c", "noct_c")),
        ("Body", ("length_m", "width_m", "weight_kg", "max_series_fuse_a")),
    )
    labels = {
        "active": "Offered in new designs",
        "price_usd": "Price",
        "warranty_years": "Warranty",
        "power_w": "Power",
        "voc_v": "Open-circuit voltage",
        "isc_a": "Short-circuit current",
        "vmp_v": "Voltage at full power",
        "imp_a": "Current at full power",
        "temp_coeff_pmax_pct_per_c": "Power, a degree",
        "temp_coeff_voc_pct_per_c": "Open-circuit voltage, a degree",
        "noct_c": "Nominal operating cell temperature",
        "length_m": "Length",
        "width_m": "Width",
        "weight_kg": "Weight",
        "max_series_fuse_a": "Largest series fuse",
    }
    units = {
        "price_usd": "$",
        "warranty_years": "years",
        "power_w": "W",
        "voc_v": "V",
        "isc_a": "A",
        "vmp_v": "V",
        "imp_a": "A",
        "temp_coeff_pmax_pct_per_c": "%/°C",
        "temp_coeff_voc_pct_per_c": "%/°C",
        "noct_c": "°C",
        "length_m": "m",
        "width_m": "m",
        "weight_kg": "kg",
        "max_series_fuse_a": "A",
    }
    helps = {"length_m": "In metres or millimetres: 1.722 or 1722", "width_m": "1.134 or 1134"}

    def clean(self) -> dict[str, Any]:
        """Datasheets give the body in millimetres; what fits neither unit is a slip."""
        cleaned = super().clean()
        for name in ("length_m", "width_m"):
            side = cleaned.get(name)
            if side is None:
                continue
            cleaned[name] = side = side / 1000 if side >= IN_MILLIMETRES_FROM else side
            if not LEAST_SIDE_M <= side <= MOST_SIDE_M:
                self.add_error(name, f"Between {LEAST_SIDE_M:g} and {MOST_SIDE_M:g} m, or the same in millimetres.")
        return cleaned


class InverterForm(RegisterForm):
    model = InverterModel
    groups = (
        ("Inverter", ("name", "kind", "price_usd", "warranty_years", "active")),
        ("AC side", ("ac_power_w", "ac_voltage_v", "efficiency", "standby_w")),
        (
            "DC side",
            (
                "max_dc_voltage_v",
                "mppt_min_v",
                "mppt_max_v",
                "mppt_inputs",
                "strings_per_mppt",
                "max_input_current_a",
                "max_short_circuit_a",
            ),
        ),
        ("On its own, with the grid down", ("backup_power_w", "surge_w", "surge_s")),
    )
    labels = {
        "active": "Offered in new designs",
        "price_usd": "Price",
        "warranty_years": "Warranty",
        "ac_power_w": "Rated power",
        "ac_voltage_v": "Voltage",
        "efficiency": "Weighted efficiency",
        "standby_w": "Standby use",
        "max_dc_voltage_v": "Highest DC voltage",
        "mppt_min_v": "MPPT range from",
        "mppt_max_v": "MPPT range to",
        "mppt_inputs": "MPPT inputs",
        "strings_per_mppt": "Strings per input",
        "max_input_current_a": "Usable current per input",
        "max_short_circuit_a": "Highest short-circuit current",
        "backup_power_w": "Continuous",
        "surge_w": "Surge",
        "surge_s": "Surge lasts",
    }
    units = {
        "price_usd": "$",
        "warranty_years": "years",
        "ac_power_w": "W",
        "ac_voltage_v": "V",
        "standby_w": "W",
        "max_dc_voltage_v": "V",
        "mppt_min_v": "V",
        "mppt_max_v": "V",
        "max_input_current_a": "A",
        "max_short_circuit_a": "A",
        "backup_power_w": "W",
        "surge_w": "W",
        "surge_s": "s",
    }
    fractions = ("efficiency",)
    helps = {"efficiency": "In percent or as a fraction: 97 or 0.97", "backup_power_w": "0 where it can’t form a grid"}


class BatteryForm(RegisterForm):
    model = BatteryModel
    groups = (
        ("Battery", ("name", "coupling", "price_usd", "warranty_years", "active", "listed_ul9540")),
        (
            "One unit",
            ("usable_kwh", "max_charge_kw", "max_discharge_kw", "round_trip_efficiency", "reserve_fraction"),
        ),
        ("With an inverter of its own, one unit", ("surge_kw", "surge_s", "most_pv_kw", "standby_w")),
    )
    labels = {
        "active": "Offered in new designs",
        "price_usd": "Price",
        "warranty_years": "Warranty",
        "listed_ul9540": "Listed to UL 9540",
        "coupling": "Connects",
        "usable_kwh": "Usable energy",
        "max_charge_kw": "Charges at most at",
        "max_discharge_kw": "Discharges at most at",
        "round_trip_efficiency": "Round-trip efficiency",
        "reserve_fraction": "Kept back",
        "surge_kw": "Surge",
        "surge_s": "Surge lasts",
        "most_pv_kw": "PV inverters it can hold in check",
        "standby_w": "Draws while it forms a grid",
    }
    units = {
        "price_usd": "$",
        "warranty_years": "years",
        "usable_kwh": "kWh",
        "max_charge_kw": "kW",
        "max_discharge_kw": "kW",
        "surge_kw": "kW",
        "surge_s": "s",
        "most_pv_kw": "kW",
        "standby_w": "W",
    }
    fractions = ("round_trip_efficiency", "reserve_fraction")
    helps = {
        "round_trip_efficiency": "In percent or as a fraction: 90 or 0.9",
        "reserve_fraction": "In percent or as a fraction: 10 or 0.1",
        "surge_kw": "For starting motors; empty: not stated",
        "most_pv_kw": "In an outage; empty: what it charges at",
        "standby_w": "Empty: 30 W is reckoned with",
    }


class GeneratorForm(RegisterForm):
    model = GeneratorModel
    groups = (("Generator", ("name", "power_w", "price_usd", "warranty_years", "active")),)
    labels = {
        "active": "Offered in new designs",
        "price_usd": "Price",
        "power_w": "Power",
        "warranty_years": "Warranty",
    }
    units = {"power_w": "W", "price_usd": "$", "warranty_years": "years"}
