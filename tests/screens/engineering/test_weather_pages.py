"""The weather shelf in the office's settings, and the weather of one house."""

from __future__ import annotations

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from projects.models import Job, Site, SiteWeather, WeatherFile
from sizing.climate.shelf import bundled
from tests import factories

YEAR = bundled()[0].path


def given() -> dict:
    return {"upload": SimpleUploadedFile(YEAR.name, YEAR.read_bytes()), "source": "The publisher"}


def test_a_file_is_checked_listed_and_taken_out_of_use(office) -> None:
    page = office.get(reverse("weather")).content.decode()
    assert "Nothing of the office’s own yet" in page and "Greensboro" in page
    assert office.post(reverse("weather"), given()).status_code == 302
    row = WeatherFile.objects.get()
    page = office.get(reverse("weather")).content.decode()
    for words in (row.name, "8,760 hours", "The publisher", "sun at mid-hour"):
        assert words in page
    retire = reverse("weather-retire", args=[row.pk])
    assert office.post(retire, {"reason": ""}).status_code == 422
    assert office.post(retire, {"reason": "Too old."}).status_code == 302
    assert "Too old." in office.get(reverse("weather")).content.decode()
    assert office.get(retire).status_code == 404


def test_a_file_that_fails_says_why_where_it_was_chosen(office) -> None:
    answer = office.post(
        reverse("weather"), {"upload": SimpleUploadedFile("my.epw", b"LOCATION,a\n"), "source": "The publisher"}
    )
    page = answer.content.decode()
    assert answer.status_code == 422 and "does not read as a typical-year file" in page
    assert 'value="The publisher"' in page
    answer = office.post(reverse("weather"), {"source": ""})
    assert answer.status_code == 422 and "Choose a file." in answer.content.decode()


def test_a_house_says_which_weather_it_gets_and_how_far_away_it_was_measured(office, job) -> None:
    address = reverse("job-weather", args=[job.number])
    page = office.get(address).content.decode()
    assert "A stand-in." in page and "Greensboro" in page
    means = {f"ghi_{n}": "4" for n in range(1, 13)} | {f"temp_{n}": "15" for n in range(1, 13)}
    answer = office.post(address, {"choice": "means", **means, "ghi_3": ""})
    page = answer.content.decode()
    assert (
        answer.status_code == 422
        and '<ul class="errorlist" id="id_ghi_3_error"><li>Missing' in page
        and "Say where the means come from" in page
    )
    assert office.post(address, {"choice": "means", **means, "ghi_3": "99"}).status_code == 422
    assert office.post(address, {"choice": "means", **means, "means_source": "An atlas"}).status_code == 302
    assert SiteWeather.objects.get(site=job.site).ghi_kwh_per_m2_day == [4.0] * 12
    page = office.get(address).content.decode()
    assert "twelve monthly means" in page and "A stand-in." not in page
    assert office.post(address, {"choice": "file"}).status_code == 422


def test_the_crew_has_no_weather_pages(crew, job) -> None:
    assert crew.get(reverse("weather")).status_code == 403
    assert crew.post(reverse("weather"), given()).status_code == 403
    assert crew.get(reverse("job-weather", args=[job.number])).status_code == 403


def test_a_carried_year_of_another_latitude_is_told_as_of_no_use_before_a_study_refuses_it(office, job) -> None:
    """The nearest carried year lies within the distance that a study takes, and too far south of the house."""
    Site.objects.filter(pk=job.site_id).update(latitude_deg=44.5, longitude_deg=-73.2)
    page = office.get(reverse("job-weather", args=[job.number])).content.decode()
    assert "Too far away to say anything about this house." in page and "too far" in page
    assert "The study counts with" not in page and ">in use<" not in page
    factories.catalogue("hybrid")
    Job.objects.filter(pk=job.pk).update(system_kind="hybrid")
    refused = office.post(reverse("job-first-look", args=[job.number]))
    words = refused.content.decode()
    assert refused.status_code == 422 and "The weather: the nearest carried weather year is" in words
    assert "Climate.file" not in words and reverse("job-weather", args=[job.number]) in words
