"""A small invented catalogue for tests and benchmarks of the search."""

from __future__ import annotations

from dataclasses import replace

from sizing.search import BatteryOffer, CostRule, InverterOffer, ModuleOffer, Space
from sizing.study.example import example_request


def catalogue(**changes) -> Space:
    base = example_request()
    larger = replace(base.module, name="Piedmont PM-430", power_w=430.0, isc_a=14.2, imp_a=13.4, vmp_v=32.1, voc_v=38.4)
    small = replace(
        base.inverter, name="Tidewater HX-5", ac_power_w=5000.0, mppt_inputs=2, backup_power_w=5000.0, surge_w=9000.0
    )
    plain = replace(base.inverter, name="Tidewater G-8", backup_power_w=0.0, standby_w=5.0)
    space = Space(
        modules=(ModuleOffer(base.module, 140.0), ModuleOffer(larger, 165.0)),
        inverters=(
            InverterOffer(base.inverter, 3_100.0),
            InverterOffer(small, 2_300.0),
            InverterOffer(plain, 1_500.0, takes_battery=False),
        ),
        batteries=(
            BatteryOffer(base.battery, 4_600.0),
            BatteryOffer(replace(base.battery, name="Uwharrie 5", usable_kwh=5.0, max_charge_kw=2.5), 2_600.0),
        ),
        cost=CostRule(fixed_usd=2_500.0, over_equipment=1.6),
    )
    return replace(space, **changes)


def with_own_inverters(**changes) -> Space:
    """The same, with a battery that has an inverter of its own beside those on the DC side."""
    space = catalogue()
    own = replace(
        space.batteries[0].battery, name="Uwharrie 10 A", coupling="ac", max_charge_kw=6.0, max_discharge_kw=6.0
    )
    return replace(space, batteries=(*space.batteries, BatteryOffer(own, 3_000.0)), **changes)
