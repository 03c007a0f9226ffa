"""The weather shelf: what may stand on it, which file serves a site, and what a study makes of it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from projects import studies
from projects.actions import design, study, weather
from projects.actions.problems import NotAllowed, Problems
from projects.models import Job, SiteWeather, WeatherFile
from sizing.climate.reader import read_typical_year
from sizing.climate.shelf import bundled
from tests.factories import catalogue, crew_person, job_at, office_person

pytestmark = pytest.mark.django_db
GREENSBORO, MIAMI = (
    next(file.path for file in bundled() if file.path.name == n) for n in ("723170TYA.CSV", "12839.tm2")
)


@cache
def hours(shift_rows: int, lines: int) -> str:
    """Greensboro's year as the lines of an EPW file."""
    year = read_typical_year(GREENSBORO)
    day, out = np.datetime64("2021-01-01T00"), []
    for n in range(lines):
        at, source = (day + n).astype(object), (n + shift_rows) % 8760
        sun = f"{year.ghi[source]:.0f},{year.dni[source]:.0f},{year.dhi[source]:.0f}"
        out.append(
            f"2001,{at.month},{at.day},{at.hour + 1},0,?9,{year.temp_air_c[source]:.1f},5.0,60,101300,9999,9999,9999,"
            f"{sun},"
            f"999999,999999,999999,9999,180,{year.wind_speed_m_s[source]:.1f},5,5,16.0,77777,9,999999999,20,0.1,0,88,"
            "0.2,0.0,1.0\n"
        )
    return "".join(out)


def epw_near(job: Job, *, shift_rows: int = 0, lines: int = 8760) -> SimpleUploadedFile:
    """Greensboro's year as an EPW file whose head puts it at the job's house."""
    head = f"LOCATION,MARROW POINT,NC,USA,TEST,000001,{job.site.latitude_deg:.2f},{job.site.longitude_deg:.2f},-5.0,3.0"
    text = "\n".join([head, *(f"HEAD {n}" for n in range(2, 9)), hours(shift_rows, lines)])
    return SimpleUploadedFile("marrow point.epw", text.encode())


def upload(path: Path) -> SimpleUploadedFile:
    return SimpleUploadedFile(path.name, path.read_bytes())


def drawn() -> Job:
    job = job_at("engineering", "hybrid")
    design.save_design(
        job=job, actor=office_person(), plane_modules=[{"plane": "South roof", "modules": 16}], **catalogue("hybrid")
    )
    return job


@pytest.mark.parametrize(("path", "kind", "name"), [(GREENSBORO, "TMY3", "Greensboro"), (MIAMI, "TMY2", "Miami")])
def test_a_typical_year_is_read_on_the_way_in(path: Path, kind: str, name: str) -> None:
    row = weather.add_weather_file(actor=office_person(), upload=upload(path), source="the publisher")
    assert row.kind == kind
    assert row.name.startswith(name)
    assert 1200 < row.ghi_kwh_per_m2_year < 2200
    assert row.closure_w_per_m2 < 60
    assert row.file.read() == path.read_bytes()


def test_the_nearest_file_serves_a_site_and_the_study_counts_with_it() -> None:
    job = drawn()
    before = study.run_study(job=job, actor=office_person())
    assert before.result["climate"]["distance_km"] > 50
    assert any("stands in for" in words for words in before.result["warnings"])
    row = weather.add_weather_file(actor=office_person(), upload=epw_near(job), source="made for the test")
    entry = job.journal.last()
    assert (entry.kind, entry.data["weather"]) == ("weather_changed", "Marrow Point, NC")
    assert studies.changed_since(before.request, job, job.designs.get()) == ["the weather or the design temperatures"]
    after = study.run_study(job=job, actor=office_person())
    assert after.result["climate"]["name"] == "Marrow Point, NC, typical year (EPW)"
    assert after.result["climate"]["distance_km"] == pytest.approx(0, abs=2)
    assert not any("stands in for" in words for words in after.result["warnings"])
    # The stored request names the shelf, not a folder of this machine.
    assert after.request["climate"]["file"] == after.result["request"]["climate"]["file"] == row.file.name
    assert not row.file.name.startswith("/")
    assert studies.changed_since(after.request, job, job.designs.get()) == []


def test_a_retired_file_stays_stored_and_serves_no_new_study() -> None:
    job = drawn()
    row = weather.add_weather_file(actor=office_person(), upload=epw_near(job), source="made for the test")
    weather.choose_weather(job=job, actor=office_person(), choice="file", file=row)
    assert job.journal.last().kind == "weather_chosen"
    weather.retire_weather_file(actor=office_person(), weather=row, reason="A newer edition is out.")
    assert SiteWeather.objects.get(site=job.site).choice == "nearest"
    assert studies.study_request_of(job, job.designs.get()).climate.file is None
    assert row.file.storage.exists(row.file.name)
    with pytest.raises(Problems):
        weather.choose_weather(job=job, actor=office_person(), choice="file", file=row)
    again = weather.add_weather_file(actor=office_person(), upload=epw_near(job), source="the same again")
    assert (again.pk, again.retired_at) == (row.pk, None)
    with pytest.raises(Problems, match="already"):
        weather.add_weather_file(actor=office_person(), upload=epw_near(job), source="twice")


def test_what_fails_a_check_does_not_reach_the_shelf() -> None:
    job = drawn()
    cases = [
        (epw_near(job, lines=8759), "8759 hourly rows"),
        (SimpleUploadedFile("year.epw", b"LOCATION,a\n"), "does not read"),
        (SimpleUploadedFile("year.csv", b"\x00\xff\x00"), "does not read"),
        (SimpleUploadedFile("year.xlsx", b"PK"), "ends in .tm2"),
        (SimpleUploadedFile("year.epw", b""), "empty"),
        (None, "Choose a file"),
    ]
    for given, words in cases:
        with pytest.raises(Problems, match=words) as problems:
            weather.add_weather_file(actor=office_person(), upload=given, source="somewhere")
        assert [problem.field for problem in problems.value] == ["upload"]
        assert "/tmp" not in str(problems.value)
    with pytest.raises(Problems) as problems:
        weather.add_weather_file(actor=office_person(), upload=epw_near(job), source="  ")
    assert [problem.field for problem in problems.value] == ["source"]
    assert not WeatherFile.objects.exists()


def test_hours_that_are_off_by_one_are_remarked_upon() -> None:
    job = drawn()
    row = weather.add_weather_file(actor=office_person(), upload=epw_near(job, shift_rows=1), source="a wrong clock")
    assert any("hour labels or its time zone" in words for words in row.remarks)


def test_monthly_means_replace_a_file_and_are_kept_for_later() -> None:
    job = drawn()
    given = {
        "ghi_kwh_per_m2_day": [2.6, 3.4, 4.5, 5.6, 6.1, 6.3, 6.1, 5.5, 4.7, 3.9, 2.9, 2.4],
        "temp_air_c": [7, 8, 12, 16, 20, 24, 26, 26, 23, 18, 13, 9],
        "means_source": "an invented table",
    }
    weather.choose_weather(job=job, actor=office_person(), choice="means", **given)
    run = study.run_study(job=job, actor=office_person())
    assert run.result["climate"]["distance_km"] is None
    # By hand: the means times the days of their months.
    days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    wanted = sum(mean * n for mean, n in zip(given["ghi_kwh_per_m2_day"], days, strict=True))
    assert run.result["climate"]["ghi_kwh_per_m2_year"] == pytest.approx(wanted, rel=0.005)
    weather.choose_weather(job=job, actor=office_person(), choice="nearest")
    assert SiteWeather.objects.get(site=job.site).ghi_kwh_per_m2_day == given["ghi_kwh_per_m2_day"]
    rows = job.journal.count()
    weather.choose_weather(job=job, actor=office_person(), choice="nearest")
    assert job.journal.count() == rows


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"ghi_kwh_per_m2_day": [4.0] * 11}, "ghi_kwh_per_m2_day"),
        ({"ghi_kwh_per_m2_day": [0.0] * 12}, "ghi_kwh_per_m2_day"),
        ({"ghi_kwh_per_m2_day": [4.0] * 11 + [float("nan")]}, "ghi_kwh_per_m2_day"),
        ({"temp_air_c": [70.0] * 12}, "temp_air_c"),
        ({"means_source": ""}, "means_source"),
    ],
)
def test_means_that_make_no_sense_are_refused_at_their_field(changes: dict, field: str) -> None:
    job = drawn()
    given = {"ghi_kwh_per_m2_day": [4.0] * 12, "temp_air_c": [15.0] * 12, "means_source": "a table"} | changes
    with pytest.raises(Problems) as problems:
        weather.choose_weather(job=job, actor=office_person(), choice="means", **given)
    assert {problem.field for problem in problems.value} == {field}
    assert not SiteWeather.objects.exists()


def test_a_file_gone_from_the_data_folder_is_said_in_plain_words() -> None:
    job = drawn()
    row = weather.add_weather_file(actor=office_person(), upload=epw_near(job), source="made for the test")
    row.file.storage.delete(row.file.name)
    with pytest.raises(Problems, match="missing from the data folder"):
        study.run_study(job=job, actor=office_person())
    assert job.studies.get().problem_field == "climate"


def test_the_crew_keeps_no_weather() -> None:
    job = drawn()
    with pytest.raises(NotAllowed):
        weather.add_weather_file(actor=crew_person(), upload=upload(GREENSBORO), source="x")
    with pytest.raises(NotAllowed):
        weather.choose_weather(job=job, actor=crew_person(), choice="nearest")
    assert not WeatherFile.objects.exists()
