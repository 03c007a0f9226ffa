"""The design page: equipment, modules on the roof, strings, revisions."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.models import BatteryModel, InverterModel, ModuleModel
from tests import factories


@pytest.fixture
def surveyed(db):
    return factories.job_at("engineering")


def address(job) -> str:
    return reverse("job-design", args=[job.number])


def typed(office, job, **changes) -> dict:
    form = office.get(address(job)).context["form"]
    values = {name: form[name].value() for name in form.fields}
    values |= {
        "module": ModuleModel.objects.get().pk,
        "inverter": InverterModel.objects.get(kind="hybrid").pk,
        "inverter_count": 1,
        "battery": BatteryModel.objects.get().pk,
        "battery_count": 2,
        form.plane_name(form.planes[0]): 12,
    }
    return {name: value for name, value in (values | changes).items() if value not in (None, "")}


@pytest.fixture
def stocked(surveyed):
    factories.catalogue("hybrid")
    return surveyed


def test_a_design_is_drawn_and_a_change_makes_the_next_revision(office, stocked) -> None:
    assert office.post(address(stocked), typed(office, stocked)).status_code == 302
    first = stocked.designs.get()
    assert (first.revision_letter, first.module_count, first.battery_count) == ("A", 12, 2)
    assert office.post(address(stocked), typed(office, stocked)).status_code == 302
    assert stocked.designs.count() == 1
    office.post(address(stocked), typed(office, stocked, battery_count=3))
    assert stocked.designs.order_by("-revision").first().revision_letter == "B"
    assert "Battery units: 2 → 3" in office.get(address(stocked)).content.decode()


def test_lengths_of_runs_are_typed_in_feet_and_the_rate_in_percent(office, stocked) -> None:
    office.post(address(stocked), typed(office, stocked, dc_run_m="60 ft", loan_rate_pct="6.25"))
    design = stocked.designs.get()
    assert design.dc_run_m == pytest.approx(18.288)
    assert float(design.loan_rate_per_year) == 0.0625


def test_how_many_fit_is_shown_and_more_is_refused(office, stocked) -> None:
    plane = stocked.site.roof_planes.first()
    module = ModuleModel.objects.get()
    rows = (
        int(plane.width_m * 1.001 // module.width_m) * int(plane.slope_length_m * 1.001 // module.length_m),
        int(plane.width_m * 1.001 // module.length_m) * int(plane.slope_length_m * 1.001 // module.width_m),
    )
    shown = office.get(address(stocked), {"room": "1", "module": str(module.pk)}, headers={"HX-Request": "true"})
    assert f"room for {max(rows)} at most" in shown.content.decode()
    form = office.get(address(stocked)).context["form"]
    too_many = typed(office, stocked, **{form.plane_name(plane): max(rows) + 1})
    answer = office.post(address(stocked), too_many)
    assert answer.status_code == 422 and f"has room for {max(rows)}" in answer.content.decode()


def test_strings_that_do_not_add_up_are_refused(office, stocked) -> None:
    plane = stocked.site.roof_planes.first()
    line = {
        "string_0_plane": plane.name,
        "string_0_modules_in_series": "5",
        "string_0_strings": "1",
        "string_0_mppt": "1",
    }
    answer = office.post(address(stocked), typed(office, stocked, **line))
    assert answer.status_code == 422 and "5 modules in strings, 12 on the roof" in answer.content.decode()
    good = office.post(address(stocked), typed(office, stocked, **(line | {"string_0_modules_in_series": "12"})))
    assert good.status_code == 302
    assert stocked.designs.get().strings == [{"plane": plane.name, "modules_in_series": 12, "strings": 1, "mppt": 1}]


def test_half_a_string_line_points_at_what_is_missing(office, stocked) -> None:
    plane = stocked.site.roof_planes.first()
    answer = office.post(address(stocked), typed(office, stocked, string_0_plane=plane.name))
    assert "string_0_modules_in_series" in answer.context["form"].errors


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("module", "999999"),
        ("inverter_count", "0"),
        ("dc_run_m", "a mile"),
        ("loan_months", "6"),
        ("connection", "clips"),
    ],
)
def test_what_cannot_be_drawn_is_said_at_its_field(office, stocked, field: str, value: str) -> None:
    answer = office.post(address(stocked), typed(office, stocked, **{field: value}))
    assert answer.status_code == 422 and field in answer.context["form"].errors
    assert not stocked.designs.exists()


def test_a_sketch_for_the_first_look_is_drawn_from_the_answers(office, job) -> None:
    factories.catalogue("hybrid")
    if not job.system_kind:
        office.post(reverse("job-kind", args=[job.number]), {"kind": "hybrid", "reason": "A test"})
    office.post(reverse("job-design-preliminary", args=[job.number]))
    sketch = job.designs.get()
    assert sketch.preliminary
    page = office.get(address(job)).content.decode()
    assert "Assumed in the sketch" in page and "one plane facing south" in page


def test_the_crew_draws_no_designs(crew, stocked) -> None:
    assert crew.get(address(stocked)).status_code == 403
    assert crew.post(reverse("job-design-preliminary", args=[stocked.number])).status_code == 403
