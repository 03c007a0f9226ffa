"""A study is run, watched and read."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.actions import design
from projects.models import StudyRun
from tests import factories


@pytest.fixture
def drawn(db):
    job = factories.job_at("engineering")
    chosen = factories.catalogue("hybrid")
    plane = job.site.roof_planes.first()
    design.save_design(
        job=job,
        actor=factories.office_person(),
        plane_modules=[{"plane": plane.name, "modules": 12}],
        **{key: value for key, value in chosen.items() if key != "plane_modules"},
    )
    return job


def at(name: str, job) -> str:
    return reverse(name, args=[job.number])


def test_a_study_is_run_and_every_figure_shows_its_working(office, drawn) -> None:
    assert "Not run yet" in office.get(at("job-study", drawn)).content.decode()
    assert office.post(at("job-study-run", drawn)).status_code == 302
    study = drawn.studies.get()
    assert study.state == StudyRun.State.DONE
    page = office.get(at("job-study", drawn)).content.decode()
    for words in ("From sunlight to the meter", "The sky from the array", "Working", "Assumed", "Strings and circuits"):
        assert words in page
    for line in study.result["working"]:
        assert str(line["formula"])[:12].replace("'", "&#x27;").replace("<", "&lt;").replace(">", "&gt;") in page
    for check in study.result["electrical"]["checks"]:
        assert check["label"].replace("'", "&#x27;").replace("<", "&lt;") in page
    # An open circuit of inline style would break the page's policy.
    assert " style=" not in page.split("<main")[1]


def test_a_study_of_yesterdays_loads_says_so(office, drawn) -> None:
    office.post(at("job-study-run", drawn))
    assert "No longer true as it stands" not in office.get(at("job-study", drawn)).content.decode()
    line = {
        "name": "Kiln",
        "kind": "steady",
        "tier": "must_run",
        "count": "1",
        "watts": "900",
        "hours_per_day": "2",
        "voltage_v": "240.0",
    }
    office.post(at("job-load-new", drawn), line)
    page = office.get(at("job-study", drawn)).content.decode()
    assert "No longer true as it stands" in page and "the load worksheet" in page


def running(job, **changes) -> StudyRun:
    now = job.designs.get()
    return StudyRun.objects.create(
        job=job,
        design=now,
        design_fingerprint=now.fingerprint,
        started_by=factories.office_person(),
        progress=0.4,
        progress_words="Working out shade",
        **changes,
    )


def test_progress_is_shown_in_words_and_the_page_comes_back_by_itself(office, drawn) -> None:
    study = running(drawn)
    page = office.get(at("job-study", drawn)).content.decode()
    assert "Working out shade" in page and 'value="0.400"' in page and '<meta http-equiv="refresh"' in page
    watched = office.get(reverse("study-progress", args=[study.pk]))
    assert "Working out shade" in watched.content.decode() and "HX-Redirect" not in watched
    StudyRun.objects.filter(pk=study.pk).update(state=StudyRun.State.DONE)
    assert office.get(reverse("study-progress", args=[study.pk]))["HX-Redirect"] == at("job-study", drawn)


@pytest.mark.parametrize(
    ("field", "problem", "leads_to"),
    [
        ("loads", "Appliances[0].watts: above 0", "/loads/"),
        ("plane_modules", "Planes[0].tilt deg: between 0 and 90", "/site/#roof"),
        ("plane_modules", "Planes[0].modules: too many", "/design/"),
        ("obstructions", "Obstructions[0].height m: above 0", "/site/#sun"),
        ("service", "Service.busbar a: above 0", "/site/#service"),
        ("climate", "Climate.file: there is no weather file", "/weather/"),
        ("climate", "Climate.record low c: between", "/office/#jurisdictions"),
        ("usage", "Usage.yearly kwh: above 0", "/answers/"),
        ("utility", "Tariff.energy usd per kwh: above 0", "/office/#utilities"),
        ("module", "Module.voc v: above 0", "/design/"),
    ],
)
def test_a_study_that_cannot_be_run_leads_to_where_the_value_was_typed(
    office, drawn, field: str, problem: str, leads_to: str
) -> None:
    running(drawn, state=StudyRun.State.FAILED, problem=problem, problem_field=field)
    page = office.get(at("job-study", drawn)).content.decode()
    shown = problem.replace("Climate.file: ", "The weather: ")  # no screen has a field of that name
    assert shown in page and f'{leads_to}"' in page


def test_without_a_design_there_is_nothing_to_study(office, job) -> None:
    assert "Draw up a design" in office.get(at("job-study", job)).content.decode()
    office.post(at("job-study-run", job))
    assert not job.studies.exists()


def test_the_crew_runs_no_studies(crew, drawn) -> None:
    assert crew.get(at("job-study", drawn)).status_code == 403
    assert crew.post(at("job-study-run", drawn)).status_code == 403
    assert crew.get(reverse("study-progress", args=[running(drawn).pk])).status_code == 403
