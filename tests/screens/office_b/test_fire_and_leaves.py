"""Sprinklers and the whole roof for the fire code; how much light a tree lets through, and when it is in leaf."""

from __future__ import annotations

import pytest

from projects.models import Obstruction
from projects.models.leaves import ends_of
from projects.studies.request import house_of
from tests.screens.office_b.test_site_assessment import TREE, at

OAK = {name: value for name, value in TREE.items() if name != "evergreen"}
SQUARE_FOOT = 0.3048**2


def test_the_crew_says_what_the_fire_code_asks(crew, job) -> None:
    typed = {"sprinklered": "on", "roof_plan_area_m2": "2,100 sq ft"}
    assert crew.post(at("job-fire-access", job), typed).status_code == 302
    job.site.refresh_from_db()
    assert job.site.sprinklered and job.site.roof_plan_area_m2 == pytest.approx(2100 * SQUARE_FOOT)
    page = crew.get(at("job-site", job)).content.decode()
    assert "For the fire code: sprinklers throughout" in page and "2,100 sq ft" in page
    rows = job.journal.count()
    crew.post(at("job-fire-access", job), typed)
    assert job.journal.count() == rows, "said again the same"
    crew.post(at("job-site-units", job), {"unit": "m"})
    crew.post(at("job-fire-access", job), {"roof_plan_area_m2": "195"})
    job.site.refresh_from_db()
    assert (job.site.sprinklered, job.site.roof_plan_area_m2) == (False, 195)


@pytest.mark.parametrize("typed", ["large", "12", "-200", "9e9", "200 m"])
def test_an_area_that_cannot_be_is_said_at_its_field(crew, job, typed: str) -> None:
    answer = crew.post(at("job-fire-access", job), {"roof_plan_area_m2": typed, "sprinklered": "on"})
    form = answer.context["fire_form"]
    assert answer.status_code == 422 and "roof_plan_area_m2" in form.errors
    assert form["roof_plan_area_m2"].value() == typed and answer.context["fire_open"]
    job.site.refresh_from_db()
    assert not job.site.sprinklered


def asked(job) -> list:
    return list(house_of(job)["obstructions"])


def test_a_tree_as_usual_leaves_the_shares_to_the_study(crew, job) -> None:
    crew.post(at("job-obstruction-new", job), OAK)
    tree = asked(job)[0]
    assert (tree.transmittance_leaf_on, tree.transmittance_leaf_off, tree.leaf_months) == (0.15, 0.55, ())


def test_light_and_months_are_typed_in_per_cent_and_names(crew, job) -> None:
    seen = {"leaf_on_pct": "22.5", "leaf_off_pct": "60", "leaf_from": "5", "leaf_until": "10"}
    assert crew.post(at("job-obstruction-new", job), OAK | seen).status_code == 302
    tree = asked(job)[0]
    assert (tree.transmittance_leaf_on, tree.transmittance_leaf_off) == (0.225, 0.6)
    assert tree.leaf_months == (5, 6, 7, 8, 9, 10)
    page = crew.get(at("job-site", job)).content.decode()
    assert "in leaf May to October" in page
    address = at("job-obstruction", job, Obstruction.objects.get().pk)
    form, rows = crew.get(address).context["form"], job.journal.count()
    crew.post(address, {name: form[name].value() for name in form.fields if form[name].value() not in (None, False)})
    assert job.journal.count() == rows, "opened and saved unchanged"
    crew.post(address, OAK | seen | {"leaf_from": "10", "leaf_until": "3"})
    assert asked(job)[0].leaf_months == (1, 2, 3, 10, 11, 12)


def test_what_keeps_its_leaves_or_has_none_is_asked_nothing_of_them(crew, job) -> None:
    said = {"leaf_on_pct": "10", "leaf_off_pct": "60", "leaf_from": "5", "leaf_until": "10"}
    crew.post(at("job-obstruction-new", job), TREE | said)
    crew.post(at("job-obstruction-new", job), OAK | said | {"kind": "building", "crown_base_m": ""})
    pine, house = Obstruction.objects.order_by("pk")
    assert (pine.transmittance_leaf_on, pine.transmittance_leaf_off, pine.leaf_months) == (0.1, None, [])
    assert (house.transmittance_leaf_on, house.transmittance_leaf_off, house.leaf_months) == (None, None, [])


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"leaf_on_pct": "101"}, "leaf_on_pct"),
        ({"leaf_off_pct": "-1"}, "leaf_off_pct"),
        ({"leaf_on_pct": "much"}, "leaf_on_pct"),
        ({"leaf_from": "5"}, "leaf_until"),
        ({"leaf_until": "5"}, "leaf_from"),
        ({"leaf_from": "13", "leaf_until": "2"}, "leaf_from"),
    ],
)
def test_a_slip_about_leaves_is_said_at_its_field(crew, job, typed: dict, field: str) -> None:
    answer = crew.post(at("job-obstruction-new", job), OAK | typed)
    assert answer.status_code == 422 and field in answer.context["form"].errors
    assert all(answer.context["form"][name].value() == value for name, value in typed.items())


def test_the_ends_of_a_run_of_months() -> None:
    assert ends_of([]) == (None, None)
    assert ends_of([4, 5, 6]) == (4, 6)
    assert ends_of([1, 2, 11, 12]) == (11, 2)
    assert ends_of(list(range(1, 13))) == (1, 12)
