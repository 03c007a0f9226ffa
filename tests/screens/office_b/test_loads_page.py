"""The load worksheet."""

from __future__ import annotations

import pytest
from django.urls import reverse

PUMP = {
    "name": "Well pump",
    "kind": "well_pump",
    "tier": "must_run",
    "count": "1",
    "watts": "1,100",
    "hours_per_day": "1.5",
    "voltage_v": "240.0",
    "locked_rotor_a": "32",
}


def at(name: str, job, *more) -> str:
    return reverse(name, args=[job.number, *more])


@pytest.fixture
def bare(job):
    job.load_lines.all().delete()
    return job


def test_a_pump_starts_at_its_locked_rotor_current_times_its_voltage(office, bare) -> None:
    assert office.post(at("job-load-new", bare), PUMP).status_code == 302
    page = office.get(at("job-loads", bare)).content.decode()
    assert "7,680 W" in page  # 32 A x 240 V
    assert "1.65" in page  # 1100 W x 1.5 h


def test_the_largest_start_comes_on_top_of_everything_else_that_must_run(office, bare) -> None:
    office.post(at("job-load-new", bare), PUMP)
    lights = {
        "name": "Lights",
        "kind": "steady",
        "tier": "must_run",
        "count": "10",
        "watts": "12",
        "hours_per_day": "5",
        "voltage_v": "120.0",
    }
    office.post(at("job-load-new", bare), lights)
    office.post(at("job-load-new", bare), lights | {"name": "Sauna", "tier": "can_wait", "watts": "6000"})
    context = office.get(at("job-loads", bare)).context
    assert context["largest_start_w"] == 7680 + 120
    assert context["must_run_w"] == 1220
    assert context["must_run_kwh"] == pytest.approx(1.65 + 0.6)
    assert context["total_kwh"] == pytest.approx(1.65 + 0.6 + 300)


def test_what_must_run_is_added_from_the_library_once(office, bare) -> None:
    bare.answers.must_run = ["fridge", "well_pump_half_hp", "aquarium"]
    bare.answers.save()
    page = office.get(at("job-loads", bare)).content.decode()
    assert "Add aquarium" in page
    for _ in range(2):
        office.post(at("job-loads-prefill", bare))
    assert bare.load_lines.count() == 2
    assert bare.load_lines.filter(kind="well_pump").exists()


def test_a_line_is_changed_and_taken_off(office, bare) -> None:
    office.post(at("job-load-new", bare), PUMP)
    line = bare.load_lines.get()
    form = office.get(at("job-load", bare, line.pk)).context["form"]
    assert form["watts"].value() == "1100"
    office.post(at("job-load", bare, line.pk), PUMP | {"hours_per_day": "2"})
    line.refresh_from_db()
    assert line.hours_per_day == 2
    office.post(at("job-load-remove", bare, line.pk))
    assert not bare.load_lines.exists()


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("watts", "0"),
        ("watts", "inf"),
        ("hours_per_day", "25"),
        ("count", "0"),
        ("tier", "whenever"),
        ("months", ["13"]),
        ("code_letter", "Q"),
        ("code_letter", "V"),
        ("locked_rotor_a", "-1"),
        ("name", ""),
    ],
)
def test_a_line_that_cannot_be_is_said_at_its_field(office, bare, field: str, typed) -> None:
    answer = office.post(at("job-load-new", bare), PUMP | {"horsepower": "1"} | {field: typed})
    assert answer.status_code == 422 and field in answer.context["form"].errors


def test_a_code_letter_needs_its_horsepower(office, bare) -> None:
    answer = office.post(at("job-load-new", bare), PUMP | {"locked_rotor_a": "", "code_letter": "K"})
    assert "horsepower" in answer.context["form"].errors


def test_the_crew_may_read_nameplates_and_a_stranger_may_not(crew, stranger, bare) -> None:
    assert crew.post(at("job-load-new", bare), PUMP).status_code == 302
    assert stranger.post(at("job-load-new", bare), PUMP | {"name": "Other"}).status_code == 302
    assert bare.load_lines.count() == 1
