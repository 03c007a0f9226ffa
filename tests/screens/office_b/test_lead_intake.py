"""The office enters a lead while the caller is on the phone."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.models import Job
from tests import factories

CALLER = {
    "name": "Wren Ottaway",
    "phone": "(252) 555-0163",
    "email": "wren@ottaway.example",
    "preferred_language": "es",
    "street": "9 Saltgrass Way",
    "zip_code": "28557",
    "city": "Morehead City",
    "state": "nc",
    "owns_home": "rent",
    "grid_available": "yes",
    "must_run": ["fridge", "well_pump_half_hp"],
    "must_run_other": "aquarium, workshop lights",
    "goal": "backup",
    "yearly_kwh": "12,400",
    "wants_loan": "yes",
    "warranty_years_wanted": "10",
    "diy_comfort": "some",
    "outage_days_wanted": "2.5",
    "source": "fair",
    "note": "Call after six",
}


def enter(client, **changes):
    return client.post(reverse("lead-new"), CALLER | changes)


def test_a_whole_call_becomes_a_job(office) -> None:
    answer = enter(office)
    job = Job.objects.get()
    assert answer.status_code == 302 and answer.url == reverse("job", args=[job.number])
    assert job.customer.name == "Wren Ottaway" and job.customer.preferred_language == "es"
    assert (job.site.state, job.site.county, job.site.owns_home) == ("NC", "Carteret County", False)
    assert job.source == "fair"
    answers = job.answers
    assert answers.must_run == ["fridge", "well_pump_half_hp", "aquarium", "workshop lights"]
    assert (answers.goal, answers.yearly_kwh, answers.wants_loan) == ("backup", 12400.0, True)
    assert (answers.warranty_years_wanted, answers.diy_comfort, answers.outage_days_wanted) == (10, "some", 2.5)
    assert job.recommended_kind


def test_name_contact_and_address_are_enough_to_begin(office) -> None:
    few = {key: CALLER[key] for key in ("name", "phone", "street", "zip_code", "city", "state")}
    assert office.post(reverse("lead-new"), few).status_code == 302
    assert not Job.objects.get().answers.known


def test_twelve_months_are_taken_january_first(office) -> None:
    enter(office, yearly_kwh="", **{f"kwh_{n}": str(n * 100) for n in range(1, 13)})
    assert Job.objects.get().answers.monthly_kwh == [n * 100.0 for n in range(1, 13)]


def test_eleven_months_point_at_the_missing_one(office) -> None:
    answer = enter(office, **{f"kwh_{n}": "900" for n in range(1, 12)})
    assert answer.status_code == 422
    assert answer.context["form"].errors["kwh_12"] == ["Missing"]
    assert not Job.objects.exists()


def test_nothing_that_was_typed_is_lost_when_something_is_wrong(office) -> None:
    answer = enter(office, zip_code="2855", street="9 Saltgrass <b>Way</b>")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="Wren Ottaway"' in page and "Call after six" in page and "12,400" in page
    assert "9 Saltgrass &lt;b&gt;Way&lt;/b&gt;" in page and "<b>Way" not in page
    assert "A ZIP has five digits." in page


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("email", "no address"),
        ("state", "Carolina"),
        ("state", "C1"),
        ("zip_code", "00000"),
        ("yearly_kwh", "-5"),
        ("yearly_kwh", "nan"),
        ("outage_days_wanted", "900"),
        ("goal", "world peace"),
        ("must_run", ["a_castle"]),
        ("diy_comfort", "all"),
        ("name", "x" * 121),
        ("latitude_deg", "34.7"),
    ],
)
def test_what_cannot_be_is_said_at_its_field(office, field: str, typed) -> None:
    answer = enter(office, **{field: typed})
    assert answer.status_code == 422
    wanted = {"latitude_deg": "longitude_deg"}.get(field, field)
    assert wanted in answer.context["form"].errors
    assert not Job.objects.exists()


def test_somebody_who_cannot_be_reached_is_no_lead(office) -> None:
    assert "phone" in enter(office, phone="", email="").context["form"].errors


def test_typed_coordinates_win_over_the_zip(office) -> None:
    enter(office, latitude_deg="34.81", longitude_deg="-76.9")
    site = Job.objects.get().site
    assert (site.latitude_deg, site.longitude_deg, site.located_from) == (34.81, -76.9, "typed")


def test_a_possible_duplicate_stops_the_entry_until_it_is_called_another_household(office) -> None:
    enter(office)
    again = enter(office, name="W. Ottaway", phone="252.555.0163", email="")
    assert again.status_code == 422 and Job.objects.count() == 1
    assert "in the book already" in again.content.decode()
    assert enter(office, another_household="on").status_code == 302
    assert Job.objects.count() == 2


def test_duplicates_are_shown_as_soon_as_a_field_is_left(office, job) -> None:
    seen = office.post(reverse("lead-duplicates"), {"phone": job.customer.phone})
    assert job.customer.name in seen.content.decode()
    assert office.post(reverse("lead-duplicates"), {"name": ""}).content.strip() == b""


def test_the_place_is_found_from_the_zip_without_a_network(office) -> None:
    found = office.post(reverse("lead-locate"), {"zip_code": "28557"}).content.decode()
    assert 'data-city="Morehead City"' in found and "Carteret County" in found and "New York time" in found
    assert "isn’t in the table" in office.post(reverse("lead-locate"), {"zip_code": "00000"}).content.decode()


def test_answers_are_changed_later_and_unchanged_ones_leave_no_trace(office, job) -> None:
    address = reverse("lead-answers", args=[job.number])
    form = office.get(address).context["form"]
    same = {name: form[name].value() for name in form.fields if form[name].value() not in (None, "")}
    same.pop("another_household", None)
    before = job.journal.count()
    assert office.post(address, same).status_code == 302
    assert job.journal.count() == before
    assert office.post(address, same | {"outage_days_wanted": "5", "phone": "252-555-0999"}).status_code == 302
    job.refresh_from_db()
    assert job.answers.outage_days_wanted == 5 and job.customer.phone_digits == "2525550999"


def test_a_change_that_is_half_wrong_changes_nothing(office, job) -> None:
    address = reverse("lead-answers", args=[job.number])
    form = office.get(address).context["form"]
    same = {name: form[name].value() for name in form.fields if form[name].value() not in (None, "")}
    answer = office.post(address, same | {"name": "Somebody Else", "zip_code": "99999"})
    assert answer.status_code == 422
    job.customer.refresh_from_db()
    assert job.customer.name != "Somebody Else"


def test_a_lead_that_is_the_same_household_is_closed_as_a_duplicate(office, job) -> None:
    twin = factories.lead("hybrid", days_ago=1)
    office.post(reverse("lead-same-household", args=[twin.number]), {"of": str(job.number)})
    twin.refresh_from_db()
    assert twin.duplicate_of == job and twin.outcome == "cancelled"


@pytest.mark.parametrize("of", ["", "x", "999999999999999999999", "0", "-1"])
def test_a_duplicate_of_nothing_is_not_found(office, job, of: str) -> None:
    assert office.post(reverse("lead-same-household", args=[job.number]), {"of": of}).status_code == 404


def test_the_crew_takes_no_leads_and_a_stranger_is_asked_to_sign_in(crew, stranger, job) -> None:
    for name, arguments in (("lead-new", []), ("lead-answers", [job.number]), ("job-kind", [job.number])):
        assert crew.get(reverse(name, args=arguments)).status_code == 403
        assert "/sign-in/" in stranger.get(reverse(name, args=arguments)).url
    assert crew.post(reverse("lead-duplicates"), {"phone": job.customer.phone}).status_code == 403
    assert stranger.post(reverse("lead-duplicates"), {"phone": job.customer.phone}).status_code == 302


def test_the_kind_is_decided_beside_its_recommendation(office, job) -> None:
    address = reverse("job-kind", args=[job.number])
    page = office.get(address).content.decode()
    assert "What each would mean" in page and "Licensed trades" in page
    job.refresh_from_db()
    other = next(kind for kind in ("grid_tied", "hybrid") if kind != job.recommended_kind)
    refused = office.post(address, {"kind": other, "reason": ""})
    assert refused.status_code == 422 and "reason" in refused.context["form"].errors
    assert office.post(address, {"kind": other, "reason": "They asked for it twice"}).status_code == 302
    job.refresh_from_db()
    assert job.system_kind == other
    assert "Against the recommendation, because: They asked for it twice" in office.get(address).content.decode()


def test_an_unknown_job_is_not_found(office) -> None:
    assert office.get(reverse("lead-answers", args=[99999])).status_code == 404
