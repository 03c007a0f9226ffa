"""Requests at and beyond the edge through a whole study: the field is named, or the answer is right.

Every row says which. A study never answers with a number that isn't one, and never fails with anything but InputErrors.
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sizing.climate.shelf import bundled
from sizing.errors import InputErrors
from sizing.study.codec import request_from_dict, request_to_dict
from sizing.study.request import Appliance, Climate, Generator, Obstruction, Site, StudyRequest, Usage
from sizing.study.result import StudyResult
from sizing.study.run import run_study
from tests.sizing.study_builders import GREENSBORO, SOUTH, monthly_climate, plain_request

TREE = Obstruction("tree", 180.0, 15.0, 10.0, 6.0)
LAMP = Appliance("Lamp", "steady", 60.0, 5.0)
SYDNEY = Site(-33.87, 151.21, 20.0, "Australia/Sydney")
TROMSO = Site(69.65, 18.96, 10.0, "Europe/Oslo")
POLE = Site(-89.9, 0.0, 2800.0, "UTC")
SOUTHERN = (6.6, 5.8, 4.8, 3.7, 2.8, 2.4, 2.6, 3.5, 4.6, 5.6, 6.3, 6.8)
NORTHERN_LIGHTS = (0.0, 0.1, 1.0, 3.0, 5.0, 5.5, 5.0, 3.0, 1.2, 0.3, 0.0, 0.0)


def numbers(value: object):
    if isinstance(value, int | float) and not isinstance(value, bool):
        yield float(value)
    elif isinstance(value, tuple):
        for item in value:
            yield from numbers(item)
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from numbers(getattr(value, field.name))


def leaves(value: Any, path: str = ""):
    """Every number of a request as (dotted path, value)."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from leaves(item, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for i, item in enumerate(value):
            yield from leaves(item, f"{path}[{i}]")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path, value


def put(plain: Any, path: str, value: Any) -> None:
    *parents, last = path.replace("[", ".").replace("]", "").split(".")
    for part in parents:
        plain = plain[int(part)] if part.isdigit() else plain[part]
    plain[int(last) if last.isdigit() else last] = value


def crowded() -> StudyRequest:
    """A request with something in every part of it."""
    return plain_request(
        obstructions=(TREE,),
        appliances=(replace(LAMP, horsepower=0.5, code_letter="K", locked_rotor_a=8.0, starting_w=400.0),),
        usage=Usage(monthly_kwh=(900.0,) * 12, yearly_kwh=10_800.0),
        generator=Generator("Standby", 8000.0),
        climate=monthly_climate(ghi=3.0, record_low_c=-15.0, high_2pct_c=32.0),
    )


PATHS = [path for path, _ in leaves(request_to_dict(crowded()))]


def test_the_crowded_request_is_itself_in_order() -> None:
    assert all(math.isfinite(number) for number in numbers(run_study(crowded())))
    assert len(PATHS) > 120


@pytest.mark.parametrize("wrong", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_named_at_every_field(wrong: float) -> None:
    for path in PATHS:
        plain = request_to_dict(crowded())
        put(plain, path, wrong)
        with pytest.raises(InputErrors) as caught:
            run_study(request_from_dict(plain))
        assert path in [problem.field for problem in caught.value.problems], path


MAY_BE_NEGATIVE = (
    "site.", "temp_air_c", "record_low_c", "high_2pct_c", "temp_coeff", ".x_m", ".y_m", "base_height_m", "escalation",
    "discount_rate", "inflation",
)  # fmt: skip


@pytest.mark.parametrize("path", [path for path in PATHS if not any(part in path for part in MAY_BE_NEGATIVE)])
def test_a_negative_is_named_at_every_field_that_has_none(path: str) -> None:
    plain = request_to_dict(crowded())
    put(plain, path, -1)
    with pytest.raises(InputErrors) as caught:
        run_study(request_from_dict(plain))
    named = [problem.field for problem in caught.value.problems]
    whole = path.partition("[")[0] if path.startswith(("backup.tiers",)) else path
    assert whole in named, named


@pytest.mark.parametrize("path", PATHS)
def test_an_absurdly_large_value_is_named_or_answered_with_numbers(path: str) -> None:
    plain = request_to_dict(crowded())
    put(plain, path, 10**12)
    try:
        result = run_study(request_from_dict(plain))
    except InputErrors as errors:
        assert all(problem.field and problem.message for problem in errors.problems)
    else:
        assert all(math.isfinite(number) for number in numbers(result))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"site": replace(GREENSBORO, latitude_deg=90.5)}, "site.latitude_deg"),
        ({"site": replace(GREENSBORO, latitude_deg=-136.0)}, "site.latitude_deg"),
        ({"site": replace(GREENSBORO, latitude_deg=36100.0)}, "site.latitude_deg"),
        ({"site": replace(GREENSBORO, longitude_deg=280.0)}, "site.longitude_deg"),
        ({"site": replace(GREENSBORO, elevation_m=9000.0)}, "site.elevation_m"),
        ({"site": SYDNEY}, "climate.file"),
        ({"site": TROMSO, "climate": monthly_climate(ghi=3.0)}, "climate.ghi_kwh_per_m2_day[0]"),
        ({"planes": ()}, "planes"),
        ({"planes": (replace(SOUTH, modules=0),)}, "planes"),
        ({"planes": (replace(SOUTH, modules=1000),)}, "planes[0].modules"),
        ({"climate": Climate(file="not-there.epw")}, "climate.file"),
    ],
)  # fmt: skip
def test_what_can_not_be_is_refused_by_a_whole_study(changes: dict, field: str) -> None:
    with pytest.raises(InputErrors) as caught:
        run_study(plain_request(**changes))
    assert field in [problem.field for problem in caught.value.problems]


def _weather(tmp_path: Path, change) -> Climate:
    """Greensboro's year with its lines changed."""
    shelf = next(shelf.path for shelf in bundled() if shelf.file == "723170TYA.CSV")
    lines = shelf.read_text(encoding="latin-1").splitlines()
    path = tmp_path / "changed.csv"
    path.write_text("\n".join(change(lines)) + "\n", encoding="latin-1")
    return Climate(file=str(path))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda lines: lines[:4000] + lines[4001:], "8759 hourly rows"),
        (lambda lines: lines[:4000] + lines[4024:], "8736 hourly rows"),
        (lambda lines: [*lines[:4000], lines[4001], lines[4000], *lines[4002:]], "order of hours"),
        (lambda lines: lines[:2], "0 hourly rows"),
    ],
    ids=["an hour is missing", "a day is missing", "two hours change places", "no hours at all"],
)
def test_a_gap_in_a_weather_file_is_named(tmp_path: Path, change, words: str) -> None:
    with pytest.raises(InputErrors) as caught:
        run_study(plain_request(climate=_weather(tmp_path, change)))
    [problem] = caught.value.problems
    assert problem.field == "climate.file"
    assert words in problem.message


def test_a_leap_year_gives_the_year_without_its_29_february(tmp_path: Path) -> None:
    def leap(lines: list[str]) -> list[str]:
        last = max(i for i, line in enumerate(lines) if line.startswith("02/28/"))
        day = [line.replace("02/28/", "02/29/", 1) for line in lines[last - 23 : last + 1]]
        return lines[: last + 1] + day + lines[last + 1 :]

    result = run_study(plain_request(climate=_weather(tmp_path, leap)))
    assert result.production.ac_kwh_year == run_study(plain_request()).production.ac_kwh_year
    assert any("29 February" in warning for warning in result.warnings)


def year(site: Site, ghi: tuple[float, ...], temp: float, **changes: Any) -> StudyResult:
    climate = Climate(kind="monthly_means", ghi_kwh_per_m2_day=ghi, temp_air_c=(temp,) * 12)
    return run_study(plain_request(site=site, climate=climate, **changes))


def test_south_of_the_equator_the_north_roof_wins_and_summer_is_in_december() -> None:
    north = year(SYDNEY, SOUTHERN, 18.0, planes=(replace(SOUTH, azimuth_deg=0.0),))
    south = year(SYDNEY, SOUTHERN, 18.0)
    assert north.production.ac_kwh_year > 1.15 * south.production.ac_kwh_year
    months = north.production.ac_kwh_by_month
    assert months[11] > months[5]
    tree = year(SYDNEY, SOUTHERN, 18.0, planes=(replace(SOUTH, azimuth_deg=0.0),), obstructions=(TREE,))
    # What stands south of the house takes no beam there; a little of the sky it may.
    assert 0.97 < tree.production.ac_kwh_year / north.production.ac_kwh_year <= 1.0


def test_a_polar_night_is_dark_and_the_rest_of_the_year_is_not() -> None:
    result = year(TROMSO, NORTHERN_LIGHTS, 3.0, obstructions=(TREE,))
    months = result.production.ac_kwh_by_month
    assert months[0] == months[11] == 0.0
    assert min(months[3:8]) > 100.0
    assert result.ride_through is not None
    assert result.ride_through.worst_hours <= result.ride_through.median_hours


def test_at_the_pole_half_a_year_is_dark() -> None:
    result = year(POLE, (8.0, 5.0, 0.8, 0.0, 0.0, 0.0, 0.0, 0.0, 0.1, 4.0, 8.0, 9.0), -45.0)
    assert [month for month in range(12) if result.production.ac_kwh_by_month[month] == 0.0] == [3, 4, 5, 6, 7]
    assert all(math.isfinite(number) for number in numbers(result))


@pytest.mark.parametrize("system", ["grid_tied", "hybrid", "off_grid"])
def test_a_house_that_uses_nothing_is_answered(system: str) -> None:
    changes: dict[str, Any] = {"appliances": (), "usage": Usage(yearly_kwh=0.0), "system_type": system}
    result = run_study(plain_request(**changes))
    assert result.loads.use_kwh_year == 0.0
    assert result.ride_through is None
    if result.off_grid is not None:
        assert result.off_grid.loss_of_load_hours == 0
    if result.money is not None:
        fixed = 12 * result.request.tariff.fixed_usd_per_month
        assert result.money.bill_before_year_usd == pytest.approx(fixed)
    assert all(math.isfinite(number) for number in numbers(result))


@pytest.mark.parametrize("modules", [1, 2, 1000])
def test_one_module_and_a_thousand(modules: int) -> None:
    plane = replace(SOUTH, width_m=max(12.0, modules * 0.4), modules=modules)
    result = run_study(plain_request(planes=(plane,)))
    assert result.production.dc_kw == pytest.approx(modules * 0.405)
    one = run_study(plain_request(planes=(replace(plane, modules=1),)))
    open_light = result.production.losses[0].kwh_year_after
    assert open_light == pytest.approx(modules * one.production.losses[0].kwh_year_after)
    if modules < 3:
        # No string of one or two modules reaches the inverter's voltage: the study says so and certifies nothing.
        assert any(not check.passes for check in result.electrical.checks)
    assert all(np.isfinite(number) for number in numbers(result))
