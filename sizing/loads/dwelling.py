"""Service load of one dwelling, for checking whether its service can take what is added.

Floor areas are in square feet and loads in volt-amperes, the units the rules are written in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sizing.electrical.overcurrent import next_rating_a
from sizing.working import Term, Working

LIGHTING_VA_PER_FT2 = 3.0
CIRCUIT_VA = 1500.0
"""Each small-appliance and laundry circuit."""
SMALLEST_SERVICE_A = 100.0
"""One-family dwelling, NEC 230.79(C)."""
NEUTRAL_SHARE = 0.70
"""Of range and dryer, NEC 220.61(B)."""


@dataclass(frozen=True)
class Dwelling:
    """Nameplate loads of a dwelling, VA. ``neutral_va``: those of ``fixed_va`` that use the neutral (120 V)."""

    floor_area_ft2: float
    small_appliance_circuits: int = 2
    laundry_circuits: int = 1
    range_va: float = 0.0
    """One household range; counter-mounted units and ovens go under ``fixed_va`` here."""
    dryer_va: float = 0.0
    fixed_va: tuple[float, ...] = ()
    """Fastened in place: water heater, dishwasher, ovens and so on."""
    neutral_va: float = 0.0
    heat_va: float = 0.0
    heat_units: int = 1
    """Separately controlled."""
    cooling_va: float = 0.0
    heat_pump_va: float = 0.0
    """Compressor of a heat pump that ``heat_va`` supplements; 0 where the two can't run at once."""


@dataclass(frozen=True)
class ServiceLoad:
    total_va: float
    neutral_va: float | None
    current_a: float
    service_a: float
    """Smallest standard service, not below 100 A."""
    working: tuple[Working, ...]


def _lighting_va(dwelling: Dwelling) -> float:
    circuits = dwelling.small_appliance_circuits + dwelling.laundry_circuits
    return LIGHTING_VA_PER_FT2 * dwelling.floor_area_ft2 + CIRCUIT_VA * circuits


def _area(dwelling: Dwelling) -> tuple[tuple[str, float], ...]:
    circuits = dwelling.small_appliance_circuits + dwelling.laundry_circuits
    return (("A", dwelling.floor_area_ft2), ("n", float(circuits)))


def _neutral(lighting_va: float, cooking_va: float, fixed_va: float) -> tuple[tuple[str, float], ...]:
    return (("lighting", lighting_va), ("range and dryer", cooking_va), ("fixed", fixed_va))


def lighting_demand_va(general_va: float) -> float:
    """Demand on general lighting with its circuits: 3 kVA whole, up to 120 kVA at 35 %, the rest at 25 %.

    Source: NEC Table 220.42 (220.45 in 2023).
    """
    return (
        min(general_va, 3000.0)
        + 0.35 * min(max(general_va - 3000.0, 0.0), 117_000.0)
        + 0.25 * max(general_va - 120_000.0, 0.0)
    )


def range_demand_va(range_va: float) -> float:
    """Demand of one range: 8 kW up to 12 kW, 5 % more per kW (or major fraction) above. NEC Table 220.55, column C."""
    if range_va <= 8750:
        # Columns A and B of the table apply to small ranges; the nameplate is never below them.
        return min(range_va, 8000.0)
    over_kw = max(range_va / 1000 - 12, 0.0)
    return 8000.0 * (1 + 0.05 * int(over_kw + 0.5))


def _result(total_va: float, neutral_va: float | None, voltage_v: float, lines: list[Working]) -> ServiceLoad:
    current = total_va / voltage_v
    service = max(next_rating_a(current), SMALLEST_SERVICE_A)
    lines.append(
        Working(
            "service.current",
            "Service current",
            "S / V",
            (Term("S", total_va, "VA"), Term("V", voltage_v, "V")),
            current,
            "A",
            "NEC 230.42, 230.79",
            limit=service,
            passes=current <= service,
        )
    )
    return ServiceLoad(total_va, neutral_va, current, service, tuple(lines))


def _line(
    key: str, label: str, formula: str, terms: Sequence[tuple[str, float]], result: float, source: str
) -> Working:
    units = {"k": "", "A": "ft2", "n": "circuits"}
    named = tuple(Term(symbol, value, units.get(symbol, "VA")) for symbol, value in terms)
    return Working(f"service.{key}", label, formula, named, result, "VA", source)


def standard_method(dwelling: Dwelling, voltage_v: float = 240.0) -> ServiceLoad:
    """The standard method, NEC 220.40 and following, without motors of their own circuit."""
    general = _lighting_va(dwelling)
    lighting = lighting_demand_va(general)
    cooking = range_demand_va(dwelling.range_va)
    dryer = max(dwelling.dryer_va, 5000.0) if dwelling.dryer_va else 0.0
    share = 0.75 if len(dwelling.fixed_va) >= 4 else 1.0
    fixed = sum(dwelling.fixed_va) * share
    climate = max(dwelling.heat_pump_va + dwelling.heat_va, dwelling.cooling_va)
    total = lighting + cooking + dryer + fixed + climate
    neutral = lighting + NEUTRAL_SHARE * (cooking + dryer) + dwelling.neutral_va * share
    lines = [
        _line(
            "general",
            "Lighting and small appliances",
            "3 × A + 1500 × n",
            _area(dwelling),
            general,
            "NEC 220.12, 220.52",
        ),
        _line("lighting", "After demand factors", "3000 + 35 %", (("S", general),), lighting, "NEC Table 220.42"),
        _line("range", "Range", "table", (("nameplate", dwelling.range_va),), cooking, "NEC Table 220.55"),
        _line("dryer", "Dryer", "nameplate, at least 5000", (("nameplate", dwelling.dryer_va),), dryer, "NEC 220.54"),
        _line(
            "fixed",
            "Fastened in place, 75 % of four or more",
            "Σ × k",
            (("Σ", sum(dwelling.fixed_va)), ("k", share)),
            fixed,
            "NEC 220.53",
        ),
        _line(
            "climate",
            "Larger of heating and cooling",
            "max",
            (("heat", dwelling.heat_pump_va + dwelling.heat_va), ("cooling", dwelling.cooling_va)),
            climate,
            "NEC 220.60",
        ),
        _line(
            "neutral",
            "Neutral",
            "lighting + 70 % of range and dryer + fixed",
            _neutral(lighting, cooking + dryer, dwelling.neutral_va * share),
            neutral,
            "NEC 220.61",
        ),
        _line(
            "total",
            "Net calculated load",
            "Σ",
            (("lighting", lighting), ("range", cooking), ("dryer", dryer), ("fixed", fixed), ("climate", climate)),
            total,
            "NEC 220.40",
        ),
    ]
    return _result(total, neutral, voltage_v, lines)


def optional_method(dwelling: Dwelling, voltage_v: float = 240.0) -> ServiceLoad:
    """The optional method for a dwelling with a service of 100 A or more, NEC 220.82. The neutral is the standard one.

    Heating counts at 65 %, at 40 % with four or more separately controlled units; a heat pump's compressor whole, with
    the heat that supplements it at 65 %; cooling whole; the larger of heating and cooling.
    """
    lighting = _lighting_va(dwelling)
    general = lighting + dwelling.range_va + dwelling.dryer_va + sum(dwelling.fixed_va)
    demand = min(general, 10_000.0) + 0.40 * max(general - 10_000.0, 0.0)
    many = dwelling.heat_units >= 4 and not dwelling.heat_pump_va
    heat = dwelling.heat_pump_va + dwelling.heat_va * (0.40 if many else 0.65)
    climate = max(heat, dwelling.cooling_va)
    total = demand + climate
    neutral = standard_method(dwelling, voltage_v).neutral_va
    lines = [
        _line(
            "lighting",
            "Lighting and small appliances",
            "3 × A + 1500 × n",
            _area(dwelling),
            lighting,
            "NEC 220.82(B)(1), (2)",
        ),
        _line(
            "general",
            "General load at nameplate",
            "Σ",
            (
                ("lighting", lighting),
                ("range", dwelling.range_va),
                ("dryer", dwelling.dryer_va),
                ("fixed", sum(dwelling.fixed_va)),
            ),
            general,
            "NEC 220.82(B)",
        ),
        _line(
            "demand",
            "First 10 kVA whole, the rest at 40 %",
            "10 000 + 40 %",
            (("S", general),),
            demand,
            "NEC 220.82(B)",
        ),
        _line(
            "climate",
            "Larger of heating after its factor and cooling",
            "max",
            (("heat", heat), ("cooling", dwelling.cooling_va)),
            climate,
            "NEC 220.82(C)",
        ),
        _line("total", "Net calculated load", "Σ", (("demand", demand), ("climate", climate)), total, "NEC 220.82(A)"),
    ]
    return _result(total, neutral, voltage_v, lines)


def existing_dwelling(connected_va: float, added_climate_va: float = 0.0, voltage_v: float = 240.0) -> ServiceLoad:
    """An existing dwelling that gets more load, NEC 220.83.

    First 8 kVA whole and the rest at 40 %; added heating or cooling counts whole beside it (220.83(B)).
    """
    demand = min(connected_va, 8000.0) + 0.40 * max(connected_va - 8000.0, 0.0)
    total = demand + added_climate_va
    rule = "NEC 220.83(B)" if added_climate_va else "NEC 220.83(A)"
    lines = [
        _line("demand", "First 8 kVA whole, the rest at 40 %", "8000 + 40 %", (("S", connected_va),), demand, rule),
        _line("total", "Net calculated load", "Σ", (("added", added_climate_va),), total, rule),
    ]
    return _result(total, None, voltage_v, lines)


def measured_demand(
    max_demand_va: float, added_va: float, *, added_factor: float = 1.25, voltage_v: float = 240.0
) -> ServiceLoad:
    """An existing service with twelve months of measured maximum demand, NEC 220.87.

    125 % of the measured demand plus the added load (itself x 1.25 where continuous, as a vehicle charger, 625.42).
    """
    total = 1.25 * max_demand_va + added_factor * added_va
    lines = [
        _line(
            "total",
            "Measured demand and added load",
            "1.25 × D + k × S",
            (("D", max_demand_va), ("k", added_factor), ("S", added_va)),
            total,
            "NEC 220.87",
        )
    ]
    return _result(total, None, voltage_v, lines)
