"""The design page: equipment, modules on the roof, strings, revisions."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects import studies
from projects.models import BatteryModel, InverterModel, ModuleModel
from sizing.electrical.storage import storage_checks
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


PLACE = {"location": "outdoors", "unit_gap_m": "3 ft", "opening_gap_m": "2 ft", "vehicle_guarded": "yes"}


def test_where_the_battery_stands_is_part_of_the_design_and_checked_by_the_study(office, stocked) -> None:
    assert office.post(address(stocked), typed(office, stocked, **PLACE)).status_code == 302
    drawn = stocked.designs.get()
    assert drawn.storage == {
        "location": "outdoors",
        "unit_gap_m": pytest.approx(0.9144),
        "opening_gap_m": pytest.approx(0.6096),
        "vehicle_guarded": True,
    }
    assert drawn.frozen["storage"] == drawn.storage
    office.post(address(stocked), typed(office, stocked))
    assert stocked.designs.count() == 1, "opened and saved unchanged"
    asked = studies.study_request_of(stocked, drawn)
    battery = asked.battery
    assert (battery.location, battery.vehicle_guarded, battery.fire_tested_close) == ("outdoors", True, False)
    checks = {check.key: check.passes for check in storage_checks(battery)}
    assert (checks["storage.spacing"], checks["storage.openings"], checks["storage.impact"]) == (True, False, True)
    office.post(address(stocked), typed(office, stocked, location="utility_closet", unit_gap_m="", opening_gap_m=""))
    page = office.get(address(stocked)).content.decode()
    assert "The battery&#x27;s place: outside wall or on the ground outside" in page
    assert "utility room or storage closet, guarded against vehicles" in page


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"location": "attic"}, "location"),
        ({"location": "outdoors", "unit_gap_m": "wide"}, "unit_gap_m"),
        ({"location": "outdoors", "opening_gap_m": "400 ft"}, "opening_gap_m"),
        ({"location": "outdoors", "vehicle_guarded": "perhaps"}, "vehicle_guarded"),
        ({"unit_gap_m": "3 ft"}, "location"),
    ],
)
def test_a_place_that_cannot_be_is_said_at_its_field(office, stocked, changes: dict, field: str) -> None:
    answer = office.post(address(stocked), typed(office, stocked, **changes))
    assert answer.status_code == 422 and field in answer.context["form"].errors
    assert all(answer.context["form"][name].value() == value for name, value in changes.items())
    assert not stocked.designs.exists()


def test_without_a_battery_nothing_stands_anywhere(office, stocked) -> None:
    stocked.system_kind = "grid_tied"
    stocked.save()
    kept = typed(office, stocked, battery_count=0, **PLACE)
    del kept["battery"]
    assert office.post(address(stocked), kept).status_code == 302
    assert stocked.designs.get().storage == {} and "storage" not in stocked.designs.get().frozen


def test_what_holds_while_the_batterys_place_is_open_is_told_only_then(office, stocked) -> None:
    hint = "Until then reckoned as in an attached garage"
    assert hint in office.get(address(stocked)).content.decode()
    office.post(address(stocked), typed(office, stocked, location="outdoors"))
    assert stocked.designs.get().storage["location"] == "outdoors"
    assert hint not in office.get(address(stocked)).content.decode()


def test_the_two_counts_of_the_equipment_are_told_apart_where_both_are_wrong(office, stocked) -> None:
    answer = office.post(address(stocked), typed(office, stocked, inverter_count="0", battery_count="-1"))
    page = answer.content.decode()
    assert answer.status_code == 422 and "How many inverters" in page and "How many batteries" in page
