"""Lists, search and duplicates."""

from __future__ import annotations

import pytest
from django.utils import timezone

from projects import queries
from projects.actions import closing, office, permits
from projects.models import Job
from projects.queries.duplicates import plain_street, similar
from tests.factories import job_at, lead, licence, office_person
from tests.queries.crowd import crowd

pytestmark = pytest.mark.django_db


def shown(job: Job) -> str:
    """Everything that a row of a list reads."""
    parts = (job.label, job.customer.name, job.site.address, job.next_step, job.due_on, job.get_stage_display())
    return str((*parts, job.jurisdiction, job.utility, job.assigned_to, job.gates, job.price_usd))


@pytest.mark.parametrize("size", [10, 40])
def test_a_list_is_two_queries_however_long(size: int, django_assert_num_queries) -> None:
    crowd(size)
    with django_assert_num_queries(2):  # what has fallen due, and the list
        rows = [shown(job) for job in queries.job_list(closed_too=True)]
    assert len(rows) == size


def test_the_earliest_due_comes_first_and_closed_ones_are_left_out() -> None:
    late, early, closed = lead(days_ago=2), lead(days_ago=9), lead(days_ago=30)
    closing.close_job(job=closed, actor=office_person(), outcome="lost", reason="They move.")
    assert list(queries.job_list()) == [early, late]
    assert closed in queries.job_list(closed_too=True)
    assert closed in queries.search("harrow")


WORDS = ("harrow", "NELL harrow", "0001", "spartina", "28557", "nell.harrow@", "b-2026-7")
PHONES = ("(252) 555-0117", "+1 252 555 0117", "5550117")


@pytest.mark.parametrize("text", [*WORDS, *PHONES])
def test_a_job_is_found_by_whatever_is_known_of_it(text: str) -> None:
    job = job_at("permits")
    permits.submit_permit(
        job=job, kind="building", actor=office_person(), on=timezone.localdate(), how="online",
        licence=licence("contractor"), number="B-2026-7",
    )  # fmt: skip
    other = lead(name="Bo Lark", phone="(252) 555-0190", email="bo@mail.example", street="4 Reed Row", zip_code="28516")
    assert list(queries.search(text)) == [job]
    assert list(queries.search("lark reed")) == [other]
    assert not queries.search("harrow reed").exists()
    assert queries.search("").count() == 2


@pytest.mark.parametrize(
    "asked",
    [
        {"phone": "1-252-555-0117"},
        {"email": "NELL.HARROW@mail.example"},
        {"street": "12 spartina ln.", "zip_code": "28557-0001"},
        {"name": "Mrs. Harrow Nell", "zip_code": "28557"},
        {"name": "N. Harrow", "zip_code": "28557"},
    ],
)
def test_a_household_that_asked_before_is_noticed(asked: dict) -> None:
    job = lead()
    assert list(queries.duplicates_of(**asked)) == [job]


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {"phone": "0117"},
        {"street": "12 Spartina Lane", "zip_code": "28516"},
        {"street": "120 Spartina Lane", "zip_code": "28557"},
        {"name": "Nell Harrow", "zip_code": "28516"},
        {"name": "Nell Barrow", "zip_code": "28557"},
        {"name": "Ed Harrow", "zip_code": "28557"},
        {"name": "", "zip_code": "28557"},
    ],
)
def test_another_household_is_not(asked: dict) -> None:
    lead()
    assert not queries.duplicates_of(**asked).exists()


def test_streets_and_names_in_any_spelling() -> None:
    assert plain_street("12 North Main Street, Apt. 3") == plain_street("12 N. main st apt 3")
    assert similar(("jose", "nunez"), ("nunez", "jose"))
    assert not similar((), ())


def test_a_link_opens_its_own_job_until_it_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    job, other = lead(), lead()
    token, others = (office.share_link(job=j, actor=office_person()) for j in (job, other))
    assert queries.customer_status(token) == job
    assert queries.customer_status(others) == other
    assert job.customer_links.get().last_seen_at is not None
    for wrong in ("", token[:-1], token.upper(), "' OR 1=1"):
        assert queries.customer_status(wrong) is None
    office.revoke_links(job=job, actor=office_person())
    assert queries.customer_status(token) is None
    other.customer_links.update(expires_at=timezone.now())
    assert queries.customer_status(others) is None


def test_a_link_costs_two_queries(django_assert_num_queries) -> None:
    token = office.share_link(job=lead(), actor=office_person())
    with django_assert_num_queries(2):
        job = queries.customer_status(token)
        assert job is not None
        shown(job)
