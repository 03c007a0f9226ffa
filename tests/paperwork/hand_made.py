"""Study results written by hand, for drawings and layouts alone: no figure here is an answer of the study."""

from __future__ import annotations

import json
import math
from dataclasses import asdict, replace
from typing import Any

from sizing.study import request as q
from sizing.study import result as r

MADE = (640.0, 702.0, 958.0, 1082.0, 1141.0, 1150.0, 1139.0, 1066.0, 912.0, 820.0, 655.0, 575.0)
USED = (1320.0, 1180.0, 990.0, 860.0, 980.0, 1290.0, 1480.0, 1440.0, 1120.0, 880.0, 950.0, 1240.0)


def arc(declination_deg: float, latitude_deg: float = 35.0) -> tuple[tuple[float, float], ...]:
    points = []
    lat, dec = math.radians(latitude_deg), math.radians(declination_deg)
    for step in range(-96, 97):
        hour = math.radians(step * 1.875)
        sine = math.sin(lat) * math.sin(dec) + math.cos(lat) * math.cos(dec) * math.cos(hour)
        elevation = math.asin(sine)
        azimuth = math.degrees(
            math.atan2(math.sin(hour), math.cos(hour) * math.sin(lat) - math.tan(dec) * math.cos(lat))
        )
        if elevation >= 0:
            points.append(((azimuth + 180) % 360, math.degrees(elevation)))
    return tuple(points)


def hour_mark(hour: int) -> tuple[tuple[float, float], ...]:
    points = []
    for declination in (-23.44, 0.0, 23.44):
        lat, dec, angle = math.radians(35.0), math.radians(declination), math.radians(15 * (hour - 12))
        sine = math.sin(lat) * math.sin(dec) + math.cos(lat) * math.cos(dec) * math.cos(angle)
        azimuth = math.degrees(
            math.atan2(math.sin(angle), math.cos(angle) * math.sin(lat) - math.tan(dec) * math.cos(lat))
        )
        points.append(((azimuth + 180) % 360, math.degrees(math.asin(sine))))
    return tuple(points)


SUN_PATH = r.SunPath(
    arcs=(("21 June", arc(23.44)), ("21 March and 21 September", arc(0.0)), ("21 December", arc(-23.44))),
    silhouettes=(
        (
            "oak in the south-east",
            ((128, 0), (124, 18), (121, 30), (126, 41), (134, 46), (142, 41), (147, 30), (144, 18), (140, 0)),
        ),
        ("neighbour's house", ((228, 0), (228, 17), (246, 24), (262, 17), (262, 0))),
    ),
    hour_marks=tuple((f"{h}:00", hour_mark(h)) for h in range(7, 18)),
)

MODULE = q.Module("Tern 400", 400, 37.1, 13.7, 31.0, 12.9, -0.35, -0.27, 1.72, 1.13)
INVERTER = q.Inverter("Heron Hybrid 7600", 7600, 240, 600, 120, 500, 2, 2, 14.0, 18.0, 0.97, 7600, 11400)
BATTERY = q.Battery("Marsh 13.5", 13.5, 5.0, 5.0, 0.9, units=2)
FOLLOWER = replace(INVERTER, name="Heron 7600", backup_power_w=0.0, surge_w=0.0)
"""A PV inverter that needs a grid to follow; a battery with its own inverter gives it one."""
COUPLED = replace(BATTERY, name="Marsh 13.5 AC", coupling="ac", most_pv_kw=7.6)
GENERATOR = q.Generator("Otter 9 kW", 9000)


def request(system_type: str = "hybrid", **changes: Any) -> q.StudyRequest:
    grid = system_type != "off_grid"
    base = q.StudyRequest(
        system_type=system_type,  # type: ignore[arg-type]
        site=q.Site(34.9, -76.8, 4.0, "America/New_York"),
        climate=q.Climate(),
        planes=(q.RoofPlane("South roof", 26.6, 175, 12.0, 5.2, modules=22),),
        module=MODULE,
        inverter=INVERTER,
        strings=(q.StringGroup("South roof", 11, 1, 1), q.StringGroup("South roof", 11, 1, 2)),
        battery=BATTERY if system_type != "grid_tied" else None,
        generator=GENERATOR if system_type == "off_grid" else None,
        tariff=q.Tariff("net_billing", 0.135, 14.0, 0.04) if grid else None,
        loan=q.Loan(38420, 0.0675, 300) if grid else None,
    )
    return replace(base, **changes)


def circuits(asked: q.StudyRequest) -> tuple[r.Circuit, ...]:
    def one(key: str, label: str, amps: float, breaker: float | None, wire: str, n: int, ground: str, conduit: str):
        return r.Circuit(key, label, amps, amps * 1.25, breaker, wire, n + 1, ground, conduit, 18.0, 1.2)

    out = [
        one("pv_source", "PV source circuit", 17.1, None, "10 AWG Cu PV wire", 2, "10 AWG Cu", "free air"),
        one("inverter_output", "Inverter output circuit", 31.7, 40, "8 AWG Cu THWN-2", 3, "10 AWG Cu", '3/4" EMT'),
    ]
    if any(group.strings > asked.inverter.strings_per_mppt for group in asked.strings):
        out.insert(1, one("pv_output", "PV output circuit", 51.4, None, "6 AWG Cu THWN-2", 2, "8 AWG Cu", '1" EMT'))
    if asked.battery:
        out.append(one("battery", "Battery circuit", 41.7, 60, "6 AWG Cu THWN-2", 2, "10 AWG Cu", '1" EMT'))
    if asked.system_type == "hybrid":
        out.append(one("backup_feeder", "Backup feeder", 31.7, 40, "8 AWG Cu THWN-2", 3, "10 AWG Cu", '3/4" EMT'))
    if asked.generator:
        out.append(one("generator", "Generator circuit", 37.5, 50, "6 AWG Cu THWN-2", 3, "10 AWG Cu", '1" EMT'))
    return tuple(out)


def result(system_type: str = "hybrid", **changes: Any) -> r.StudyResult:
    asked = changes.pop("request", None) or request(system_type)
    before = tuple(kwh * 0.135 + 14 for kwh in USED)
    after = tuple(max(u - m, 0) * 0.135 + 14 + 18 for u, m in zip(USED, MADE, strict=True))
    backed = system_type != "grid_tied"
    base = r.StudyResult(
        request=asked,
        climate=r.ClimateUsed(
            "typical_year",
            "Greensboro Piedmont Triad, typical year (TMY3)",
            187.0,
            1640.0,
            -11.0,
            "nearest station",
            34.0,
            "nearest station",
        ),
        planes=(
            r.PlaneResult(
                "South roof",
                22,
                8.8,
                1612.0,
                1740.0,
                (0.82, 0.88, 0.93, 0.96, 0.97, 0.97, 0.97, 0.96, 0.94, 0.9, 0.84, 0.8),
                0.926,
                0.94,
            ),
        ),
        production=r.Production(8.8, 7.6, MADE, sum(MADE), sum(MADE) / 8.8, (r.LossStep("Shade", 0.07, 12000.0),)),
        sun_path=SUN_PATH,
        loads=r.Loads(
            (
                r.ApplianceLoad("Refrigerator", "must_run", 1.6, 584.0, 150.0, 900.0),
                r.ApplianceLoad("Well pump, half horsepower", "must_run", 1.5, 547.0, 750.0, 3100.0),
                r.ApplianceLoad("Central air, 3 ton", "must_run", 14.0, 1700.0, 3500.0, 13800.0),
                r.ApplianceLoad("Lights and outlets", "must_run", 2.4, 876.0, 400.0, 400.0),
            ),
            USED,
            sum(USED),
            13.2,
            4800.0,
            15100.0,
            "Central air, 3 ton",
        ),
        ride_through=r.RideThrough(
            336,
            72.0,
            0.93,
            151.0,
            19.0,
            336.0,
            74.0,
            (
                (6, 1.0),
                (12, 1.0),
                (24, 0.987),
                (48, 0.955),
                (72, 0.93),
                (120, 0.7),
                (168, 0.46),
                (240, 0.31),
                (336, 0.22),
            ),
            (61.0, 88.0, 150.0, 260.0, 336.0, 180.0, 130.0, 142.0, 240.0, 190.0, 90.0, 53.0),
            43.0,
            (),
            True,
            False,
            "Central air does not start without a soft starter.",
        )
        if backed
        else None,
        off_grid=r.OffGrid(96, 0.011, 1.9, generator_kwh_year=412.0) if system_type == "off_grid" else None,
        money=r.Money(
            before,
            after,
            sum(before),
            sum(after),
            (sum(before) - sum(after)) / 12,
            265.4,
            False,
            5200.0,
            3100.0,
            7700.0,
            24.0,
        )
        if asked.tariff
        else None,
        electrical=r.Electrical(
            False,
            tuple((s.plane, s.modules_in_series, s.strings, s.mppt) for s in asked.strings),
            448.0,
            299.0,
            circuits(asked),
            40.0,
            40.0,
            "Module-level electronics: conductors outside the array drop below 80 V within 30 s.",
            (
                r.Check("string.voc_cold", "Coldest open-circuit voltage", True, "448 V", "600 V", "NEC 690.7 (2020)"),
                r.Check("busbar", "Busbar", True, "40 A", "40 A", "NEC 705.12(B)(3)(2) (2020)"),
            ),
        ),
        working=(),
        warnings=(),
        assumptions=(
            "Weather of a typical year; a given year differs by some 10 %.",
            "Soiling 2 %, mismatch 2 %, wiring 2 %.",
            "Energy price rises 0 % a year.",
        ),
    )
    return replace(base, **changes)


def as_dict(value: r.StudyResult) -> dict[str, Any]:
    return json.loads(json.dumps(asdict(value)))
