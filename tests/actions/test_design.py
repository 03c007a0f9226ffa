"""Designs: revisions, fingerprints, what is refused, and the proposal for the first look."""

from __future__ import annotations

from copy import deepcopy
from decimal import Decimal
from typing import Any

import pytest

from projects.actions import design, freezing, intake, loads, site, staff
from projects.actions.differences import differences
from projects.actions.facts import ac_kw
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import standing_of
from projects.models import Job
from projects.studies import study_request_of
from tests.factories import (
    BatteryFactory,
    GeneratorFactory,
    InverterFactory,
    ModuleFactory,
    Story,
    catalogue,
    crew_person,
    job_at,
    lead,
    office_person,
    owner_person,
    run_study,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return job_at("engineering")


def save(job: Job, kind: str = "hybrid", **changes: Any):
    given = {"plane_modules": [{"plane": "South roof", "modules": 16}], **catalogue(kind)}
    return design.save_design(job=job, actor=office_person(), **{**given, **changes})


def fields(problems) -> set[str]:
    return {problem.field for problem in problems.value}


def test_the_same_again_makes_no_new_revision(job: Job) -> None:
    first = save(job)
    assert save(job) == first
    assert (first.revision_letter, job.designs.count(), job.journal.filter(kind="design_saved").count()) == ("A", 1, 1)


def test_what_is_not_given_stays(job: Job) -> None:
    save(job)
    second = design.save_design(job=job, actor=office_person(), battery_count=3)
    assert (second.revision_letter, second.battery_count, second.module_count) == ("B", 3, 16)


def test_put_back_is_the_same_fingerprint(job: Job) -> None:
    first = save(job)
    save(job, battery_count=3)
    assert save(job).fingerprint == first.fingerprint


def test_a_change_drops_the_reviews_and_asks_for_a_new_study() -> None:
    job = job_at("permits")
    save(job, battery_count=1)
    states = {r.key: r.state for r in standing_of(job).requirements}
    assert (states["study"], states["electrician_review"], states["contract"]) == ("open", "waiting", "met")
    assert job.journal.last().data["dropped"] == ["electrician_review", "contractor_review"]


def test_loan_terms_are_no_part_of_the_design() -> None:
    job = job_at("permits")
    before = job.designs.get()
    after = design.save_design(job=job, actor=office_person(), loan_months=240, loan_rate_per_year=Decimal("0.0625"))
    assert (after.pk, after.loan_months) == (before.pk, 240)
    assert job.stage == "permits"
    assert job.journal.last().kind == "loan_terms_set"


def test_a_catalogue_edited_later_changes_no_design(job: Job) -> None:
    first = save(job)
    edited = {"power_w": 405.0, "price_usd": Decimal(9)}
    staff.save_equipment(actor=owner_person(), catalogue="module", instance=first.module, **edited)
    assert save(job) == first
    assert save(job, battery_count=3).frozen["module"]["power_w"] == 400


def test_the_fingerprint_does_not_depend_on_how_a_number_is_written(job: Job) -> None:
    assert save(job, dc_run_m=20).fingerprint == save(job, dc_run_m=20.0).fingerprint
    assert freezing.fingerprint({"b": 1, "a": [1.0]}) == freezing.fingerprint({"a": [1], "b": 1.0})
    # Source: SHA-256 of the text {"a":[1],"b":1}, by coreutils' sha256sum.
    assert freezing.fingerprint({"a": [1], "b": 1}).startswith("964ac5a0bb65d615144e0fca569cac7f")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"module": None}, "module"),
        ({"inverter": None}, "inverter"),
        ({"inverter_count": 0}, "inverter_count"),
        ({"battery": None}, "battery"),
        ({"battery_count": 0}, "battery_count"),
        ({"plane_modules": []}, "plane_modules"),
        ({"plane_modules": [{"plane": "Moon", "modules": 3}]}, "plane_modules"),
        ({"plane_modules": [{"plane": "South roof", "modules": 2.5}]}, "plane_modules"),
        ({"plane_modules": [{"plane": "South roof", "modules": 400}]}, "plane_modules"),
        ({"plane_modules": [{"plane": "South roof", "modules": 2}] * 2}, "plane_modules"),
        ({"strings": [{"plane": "South roof", "modules_in_series": 8, "strings": 1, "mppt": 1}]}, "strings"),
        ({"strings": [{"plane": "South roof", "modules_in_series": 8, "strings": 2, "mppt": 7}]}, "strings"),
        ({"strings": [{"plane": "South roof", "modules_in_series": 0, "strings": 2, "mppt": 1}]}, "strings"),
        ({"connection": "glue"}, "connection"),
        ({"dc_run_m": 0}, "dc_run_m"),
        ({"ac_run_m": 900}, "ac_run_m"),
        ({"loan_months": 3}, "loan_months"),
        ({"loan_rate_per_year": Decimal("7.5")}, "loan_rate_per_year"),
    ],
)
def test_what_cannot_be_drawn_names_its_field(job: Job, changes: dict[str, Any], field: str) -> None:
    with pytest.raises(Problems) as problems:
        save(job, **changes)
    assert fields(problems) == {field}
    assert not job.designs.exists()


def test_an_inverter_that_does_not_suit_is_refused(job: Job) -> None:
    wrong = InverterFactory(name="Plain G5", kind="grid_tied")
    with pytest.raises(Problems) as problems:
        save(job, inverter=wrong)
    assert fields(problems) == {"inverter", "battery"}


def test_a_battery_with_an_inverter_of_its_own_lets_a_plain_inverter_follow(job: Job) -> None:
    plain = InverterFactory(name="Plain G5", kind="grid_tied", backup_power_w=0.0)
    own = BatteryFactory(name="Turnstone 13 A", coupling="ac")
    drawn = save(job, inverter=plain, battery=own)
    assert drawn.frozen["battery"]["coupling"] == "ac"
    assert study_request_of(job, drawn).battery.coupling == "ac"
    # Both feed in: what the utility's level is found by counts them together.
    assert ac_kw(drawn.frozen) == pytest.approx(plain.ac_power_w / 1000 + 7.0 * drawn.battery_count)
    assert ac_kw(save(job, battery=BatteryFactory(name="Turnstone 13 D")).frozen) == plain.ac_power_w / 1000


def test_a_grid_tied_job_takes_no_battery_that_forms_a_grid() -> None:
    plain = job_at("engineering", "grid_tied")
    with pytest.raises(Problems) as problems:
        save(plain, "grid_tied", battery=BatteryFactory(name="Turnstone 13 A", coupling="ac"), battery_count=1)
    assert fields(problems) == {"battery"}
    assert "hybrid" in problems.value.problems[0].message


def test_not_before_the_roof_and_the_service_are_measured() -> None:
    with pytest.raises(Problems) as problems:
        save(job_at("site_assessment"))
    assert {"", "plane_modules"} <= fields(problems)


def test_the_crew_designs_nothing(job: Job) -> None:
    with pytest.raises(NotAllowed):
        design.save_design(job=job, actor=crew_person(), battery_count=2)


def test_an_unknown_part_is_a_mistake_of_the_code(job: Job) -> None:
    with pytest.raises(TypeError):
        design.save_design(job=job, actor=office_person(), flux_capacitor=1)


@pytest.mark.parametrize("kind", ["grid_tied", "hybrid", "off_grid"])
def test_a_proposal_can_be_studied_and_is_no_engineering(kind: str) -> None:
    catalogue(kind)
    GeneratorFactory()
    job = lead(kind)
    intake.decide_system_type(job=job, kind=kind, actor=office_person(), reason="Asked for.")
    proposed = design.preliminary_design(job=job, actor=office_person())
    assert proposed.preliminary
    assert proposed.inverter.kind == kind
    assert (proposed.battery_count > 0) == (kind != "grid_tied")
    assert (proposed.generator is not None) == (kind == "off_grid")
    assert any("not measured yet" in line for line in proposed.frozen["assumptions"])
    run = run_study(job, office_person(), real=True)
    assert run.state == "done"
    assert run.headline["use_kwh_year"] == pytest.approx(9600, rel=0.001)
    states = {r.key: r.state for r in standing_of(job).requirements}
    assert states["design"] == "waiting"
    again = design.preliminary_design(job=job, actor=office_person())
    assert again == proposed


def test_a_grid_tied_proposal_makes_about_nine_tenths_of_the_use() -> None:
    catalogue("grid_tied")
    job = lead("grid_tied", yearly_kwh=7000.0)
    intake.decide_system_type(job=job, kind="grid_tied", actor=office_person())
    proposed = design.preliminary_design(job=job, actor=office_person())
    # By hand: 7000 kWh x 0.9 / 1300 kWh/kW = 4.85 kW = 13 modules of 400 W.
    assert proposed.module_count == 13


def test_off_the_grid_the_battery_is_sized_for_the_whole_house() -> None:
    catalogue("off_grid")
    GeneratorFactory()
    job = lead("off_grid", yearly_kwh=9600.0)
    intake.decide_system_type(job=job, kind="off_grid", actor=office_person(), reason="Asked for.")
    proposed = design.preliminary_design(job=job, actor=office_person())
    battery = proposed.battery
    gives = battery.usable_kwh * (1 - battery.reserve_fraction) * battery.round_trip_efficiency**0.5
    # By hand: 9600 kWh / 365 x 1.5 days = 39.5 kWh, in whole batteries.
    assert (proposed.battery_count - 1) * gives < 39.5 <= proposed.battery_count * gives
    assumed = " ".join(proposed.frozen["assumptions"])
    assert "the whole house" in assumed
    assert "house panel" in assumed
    assert "service" not in assumed
    assert "outage" not in assumed


def test_where_no_utility_reaches_the_load_worksheet_stands_for_the_bill() -> None:
    catalogue("off_grid")
    GeneratorFactory()
    job = lead("off_grid", yearly_kwh=None, grid_available=False, must_run=["fridge", "well_pump_half_hp"])
    intake.decide_system_type(job=job, kind="off_grid", actor=office_person(), reason="No utility reaches them.")
    # What must run is not what the house uses: a system drawn up for it alone would promise too much.
    with pytest.raises(Problems, match="list its loads on the worksheet first") as problems:
        design.preliminary_design(job=job, actor=office_person())
    assert fields(problems) == {"loads"}
    for name, watts, hours in (("Refrigerator", 150.0, 10.0), ("Well pump", 1100.0, 1.0), ("Lights", 200.0, 6.0)):
        loads.save_load_line(job=job, actor=office_person(), name=name, watts=watts, hours_per_day=hours)
    assert {r.key: r.state for r in standing_of(job).requirements}["answers"] == "met"
    proposed = design.preliminary_design(job=job, actor=office_person())
    run = run_study(job, office_person(), real=True)
    assert run.state == "done"
    # By hand: 1.5 + 1.1 + 1.2 = 3.8 kWh a day; 3.8 x 365 x 1.6 / 1300 = 1.71 kW, in modules of 400 W.
    assert run.headline["use_kwh_year"] == pytest.approx(3.8 * 365, rel=0.001)
    assert proposed.module_count == 5


def test_with_a_utility_a_use_must_be_told() -> None:
    catalogue("hybrid")
    job = lead("hybrid", yearly_kwh=None)
    intake.decide_system_type(job=job, kind="hybrid", actor=office_person(), reason="Asked for.")
    with pytest.raises(Problems, match="electric use is not known"):
        design.preliminary_design(job=job, actor=office_person())


def test_a_proposal_never_replaces_a_real_design() -> None:
    job = job_at("permits")
    with pytest.raises(Problems, match="engineered design already"):
        design.preliminary_design(job=job, actor=office_person())


def test_a_real_design_follows_a_proposal() -> None:
    catalogue("hybrid")
    job = lead()
    story = Story(job, "hybrid")
    intake.decide_system_type(job=job, kind="hybrid", actor=office_person())
    design.preliminary_design(job=job, actor=office_person())
    story.lead()
    story.site_assessment()
    assert save(job).revision_letter == "B"


def test_an_empty_catalogue_is_told() -> None:
    job = lead()
    with pytest.raises(Problems, match="Decide the kind"):
        design.preliminary_design(job=job, actor=office_person())
    intake.decide_system_type(job=job, kind="hybrid", actor=office_person())
    with pytest.raises(Problems) as problems:
        design.preliminary_design(job=job, actor=office_person())
    assert len(list(problems.value)) == 3


def test_what_differs_is_listed_in_words(job: Job) -> None:
    before = save(job).frozen
    other = ModuleFactory(name="Wader 430", power_w=430.0)
    string = {"plane": "South roof", "modules_in_series": 9, "strings": 2, "mppt": 1}
    after = save(
        job,
        module=other,
        battery=BatteryFactory(name="Turnstone 10", usable_kwh=9.6),
        battery_count=1,
        plane_modules=[{"plane": "South roof", "modules": 18}],
        strings=[string],
        connection="supply_side",
        dc_run_m=25.5,
    ).frozen
    assert differences(before, before) == ()
    assert differences(before, after) == (
        "Module: Wader 400 → Wader 430",
        "Battery: Turnstone 13 → Turnstone 10",
        "Battery units: 2 → 1",
        "Modules on South roof: 16 → 18",
        "Strings: as the study proposes → 2×9 on South roof (input 1)",
        "Connection: breaker at the far end of the busbar → supply side",
        "DC run: 20 m → 25.5 m",
    )


def test_other_ratings_under_the_same_name_are_a_difference() -> None:
    before, after = {"module": {"name": "A", "voc_v": 37}}, {"module": {"name": "A", "voc_v": 38}}
    assert differences(before, after) == ("Module A: other ratings (voc_v)",)


def numbers_of(frozen: Any, path: tuple = ()) -> list[tuple]:
    """Paths to every number in a frozen design."""
    if isinstance(frozen, dict):
        return [found for key, value in frozen.items() for found in numbers_of(value, (*path, key))]
    if isinstance(frozen, list):
        return [found for index, value in enumerate(frozen) for found in numbers_of(value, (*path, index))]
    return [path] if isinstance(frozen, int | float) and not isinstance(frozen, bool) else []


def test_no_number_of_a_design_changes_without_being_named(job: Job) -> None:
    before = save(job, battery=BatteryFactory(name="Turnstone 10", usable_kwh=9.6), battery_count=1).frozen
    paths = numbers_of(before)
    assert len(paths) > 40
    for path in paths:
        after = deepcopy(before)
        place = after
        for step in path[:-1]:
            place = place[step]
        place[path[-1]] += 1
        found = differences(before, after)
        assert len(found) == 1, path
        assert found != ("The design differs",), path


@pytest.mark.parametrize(
    ("storage", "field"),
    [
        ({"location": "attic"}, "location"),
        ({"unit_gap_m": 1.0}, "location"),
        ({"location": "outdoors", "unit_gap_m": -1.0}, "unit_gap_m"),
        ({"location": "outdoors", "opening_gap_m": True}, "opening_gap_m"),
        ({"location": "outdoors", "opening_gap_m": float("nan")}, "opening_gap_m"),
        ({"location": "outdoors", "vehicle_guarded": "yes"}, "vehicle_guarded"),
    ],
)
def test_a_batterys_place_that_cannot_be_is_refused(storage: dict, field: str) -> None:
    job = job_at("permits")
    with pytest.raises(Problems) as problems:
        design.save_design(job=job, actor=office_person(), storage=storage)
    assert {problem.field for problem in problems.value} == {field}
    with pytest.raises(TypeError):
        design.save_design(job=job, actor=office_person(), storage={"shelf": 2})


def test_another_place_of_the_battery_is_another_revision_that_the_site_keeps() -> None:
    job = job_at("permits")
    design.save_design(job=job, actor=office_person(), storage={"location": "detached_garage", "unit_gap_m": 1.0})
    plane = job.site.roof_planes.get()
    site.save_roof_plane(job=job, actor=office_person(), plane_id=plane.pk, tilt_deg=plane.tilt_deg + 1)
    assert [row.revision_letter for row in job.designs.all()] == ["A", "B", "C"]
    assert job.designs.latest("revision").frozen["storage"] == {"location": "detached_garage", "unit_gap_m": 1.0}
    assert "storage" not in job.designs.earliest("revision").frozen
