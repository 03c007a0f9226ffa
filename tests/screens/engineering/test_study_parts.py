"""The study's page shows all that a study found: outages compared, off grid, years of money, roof, loads."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.urls import reverse

from projects.actions import design, intake
from projects.actions.design_checks import most_modules
from projects.screens.office.study_parts import more_of
from sizing.study.codec import result_to_dict
from sizing.study.example import example_request
from sizing.study.request import Usage
from sizing.study.run import run_study
from tests import factories


@pytest.fixture(scope="module")
def result() -> dict:
    return result_to_dict(run_study(example_request()))


@pytest.fixture(scope="module")
def off_grid() -> dict:
    request = example_request()
    few = tuple(line for line in request.appliances if line.tier == "must_run" and line.kind == "steady")
    request = replace(request, system_type="off_grid", tariff=None, loan=None, appliances=few, usage=Usage())
    return result_to_dict(run_study(request))


def test_every_case_of_outages_stands_in_words_beside_its_own_figures(result) -> None:
    ride, shown = result["ride_through"], more_of(result)["cases"]
    assert len(shown) == len(ride["cases"]) >= 4
    for case, line in zip(ride["cases"], shown, strict=True):
        assert line["share"] == pytest.approx(case["share_of_starts_meeting_wanted"] * 100)
        assert ("no sun" in line["supply"]) != case["sun"]
        assert ("generator" in line["supply"]) == case["generator"]
        assert (line["generator_hours"] is not None) == case["generator"]
        assert ("or more" in line["worst"]) == (case["worst_hours"] >= ride["horizon_hours"])


def test_the_smallest_battery_is_that_of_the_study_and_left_out_where_there_is_none(result) -> None:
    battery, smallest = result["request"]["battery"], more_of(result)["smallest"]
    assert smallest["units"] == result["ride_through"]["smallest_battery_units"]
    assert smallest["kwh"] == pytest.approx(smallest["units"] * battery["usable_kwh"])
    assert more_of({**result, "request": {**result["request"], "battery": None}})["smallest"] is None
    older = {key: value for key, value in result["ride_through"].items() if key != "smallest_battery_units"}
    assert more_of({**result, "ride_through": older})["smallest"] is None


def test_loads_are_grouped_by_tier_and_none_is_lost(result) -> None:
    groups = more_of(result)["load_lines"]
    names = [line["name"] for _, lines, _ in groups for line in lines]
    assert sorted(names) == sorted(line["name"] for line in result["loads"]["appliances"])
    assert next(tier for tier, _, _ in groups) == "Must run"
    total = sum(kwh for _, _, kwh in groups)
    assert total == pytest.approx(sum(line["kwh_year"] for line in result["loads"]["appliances"]))


def test_the_curve_of_an_off_grid_house_holds_every_point_and_the_design(off_grid) -> None:
    shown = more_of(off_grid)
    assert off_grid["off_grid"]["reliability"]
    for point in off_grid["off_grid"]["reliability"]:
        assert f"{point['array_kw']:.1f} kW with {point['battery_kwh']:.1f} kWh" in shown["reliability"]
    assert shown["reliability"].count("<circle") == len(off_grid["off_grid"]["reliability"])
    assert "as drawn" in shown["reliability"]


def test_the_page_shows_each_of_them(office) -> None:
    job = factories.job_at("engineering", monthly_kwh=[900.0] * 12)
    chosen = factories.catalogue("hybrid")
    lines = [{"plane": job.site.roof_planes.first().name, "modules": 12}]
    design.save_design(job=job, actor=factories.office_person(), **{**chosen, "plane_modules": lines})
    office.post(reverse("job-study-run", args=[job.number]))
    page = office.get(reverse("job-study", args=[job.number])).content.decode()
    for words in ("The same outages, otherwise", "no sun at all", "What the house runs", "Room for the modules"):
        assert words in page
    study = job.studies.get().result
    if study["money"] and study["money"]["cash"]:
        assert "Year by year" in page and "net present value" in page
    assert " style=" not in page.split("<main")[1]


def test_modules_that_do_not_fit_are_a_failing_check(office) -> None:
    job = factories.job_at("engineering", monthly_kwh=[900.0] * 12)
    plane = job.site.roof_planes.first()
    bare = most_modules(plane, 1.722, 1.134)
    lines = [{"plane": plane.name, "modules": bare}]
    chosen = factories.catalogue("hybrid")
    design.save_design(job=job, actor=factories.office_person(), **{**chosen, "plane_modules": lines})
    office.post(reverse("job-study-run", args=[job.number]))
    study = job.studies.get()
    [roof] = study.result["roof"]["checks"]
    assert not roof["passes"]
    assert roof["label"] in study.failing_checks
    page = office.get(reverse("job-study", args=[job.number])).content.decode()
    assert "to settle" in page and roof["label"] in page


@pytest.mark.parametrize("use_kwh", [400.0, 900.0, 4000.0])
def test_a_sketch_for_the_first_look_fits_with_what_the_fire_code_keeps_free(db, use_kwh: float) -> None:
    job = factories.lead("hybrid", monthly_kwh=[use_kwh] * 12)
    factories.catalogue("hybrid")
    intake.decide_system_type(job=job, kind="hybrid", actor=factories.office_person(), reason="Asked for.")
    sketch = design.preliminary_design(job=job, actor=factories.office_person())
    study = factories.run_study(job, factories.office_person(), real=True)
    assert all(check["passes"] for check in study.result["roof"]["checks"])
    [plane] = study.result["roof"]["planes"]
    assert sketch.module_count == plane["modules"] <= plane["room_for"]
