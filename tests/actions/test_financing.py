"""The customer's loan and the lender's conditions: recorded, decided once, and whose turn it is on the route.

The monthly payment is checked in tests/published/test_loans.py.
"""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from projects.actions import financing, marks, office
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import disagreements, standing_of
from projects.models import FinancingApplication, Job, LenderCondition
from tests.factories import crew_person, job_at, office_person

pytestmark = pytest.mark.django_db


def fields(problems: pytest.ExceptionInfo[Problems]) -> set[str]:
    return {problem.field for problem in problems.value}


def apply(job: Job, **changes: object) -> FinancingApplication:
    told = {
        "job": job,
        "actor": office_person(),
        "on": timezone.localdate(),
        "lender": "Pier Bank",
        "amount_usd": Decimal("30000"),
        "rate_per_year": Decimal("0.0749"),
        "months": 180,
    }
    return financing.submit_financing(**{**told, **changes})  # type: ignore[arg-type]


def ask(loan: FinancingApplication, party: str, text: str = "Two pay slips.") -> LenderCondition:
    on = timezone.localdate()
    return financing.ask_condition(application=loan, actor=office_person(), on=on, text=text, party=party)


def decide(loan: FinancingApplication, state: str, note: str = "") -> FinancingApplication:
    on = timezone.localdate()
    return financing.decide_financing(application=loan, actor=office_person(), on=on, state=state, note=note)


def standing_keys(job: Job) -> dict[str, str]:
    job.refresh_from_db()
    assert disagreements([job]) == []
    return {r.key: r.state for r in standing_of(job).requirements}


def test_an_application_asks_for_the_loan_on_the_route_and_its_approval_meets_it() -> None:
    job = job_at("permits")
    assert "financing" not in standing_keys(job)
    loan = apply(job)
    assert standing_keys(job)["financing"] == "open"
    decide(loan, "approved")
    assert standing_keys(job)["financing"] == "met"
    decide(loan, "withdrawn", "They pay in cash.")
    assert "financing" not in standing_keys(job)


def test_a_declined_one_leaves_the_wish_open_and_another_lender_may_be_asked() -> None:
    job = job_at("engineering", wants_loan=True)
    loan = apply(job)
    with pytest.raises(Problems) as problems:
        apply(job, lender="Second Bank")
    assert "with Pier Bank already" in str(problems.value)
    with pytest.raises(Problems) as problems:
        decide(loan, "declined")
    assert fields(problems) == {"note"}
    decide(loan, "declined", "Too little income shown.")
    assert standing_keys(job)["financing"] in ("open", "waiting")
    assert apply(job, lender="Second Bank").living
    with pytest.raises(Problems):
        decide(loan, "approved")


def test_the_plain_fact_still_counts_without_an_application() -> None:
    job = job_at("permits", wants_loan=True)
    assert standing_keys(job)["financing"] == "met"
    marks.withdraw_mark(job=job, key="loan_approved", actor=office_person(), reason="Wrong job.")
    assert standing_keys(job)["financing"] == "open"


@pytest.mark.parametrize("party", ["customer", "office", "lender"])
def test_a_condition_waits_on_its_party_until_it_is_met(party: str) -> None:
    job = job_at("permits")
    loan = apply(job)
    decide(loan, "approved")
    row = ask(loan, party)
    found = next(r for r in standing_of(job).requirements if r.key == f"lender_asks_{party}")
    assert (found.party, found.state, found.detail) == (party, "open", "Two pay slips.")
    job.refresh_from_db()
    assert job.stage == "permits", "no crew is held up by the lender"
    financing.meet_condition(condition=row, actor=office_person(), on=timezone.localdate(), note="By mail.")
    assert f"lender_asks_{party}" not in standing_keys(job)
    with pytest.raises(Problems):
        financing.meet_condition(condition=row, actor=office_person(), on=timezone.localdate())


def test_a_job_is_not_done_while_the_lender_waits() -> None:
    job = job_at("done")
    loan = apply(job)
    decide(loan, "approved")
    row = ask(loan, "office", "The permission to operate.")
    job.refresh_from_db()
    assert (job.stage, job.next_key) == ("operation", "lender_asks_office")
    financing.meet_condition(condition=row, actor=office_person(), on=timezone.localdate())
    job.refresh_from_db()
    assert (job.stage, job.next_key) == ("in_service", "")


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("lender", " "),
        ("amount_usd", Decimal("0")),
        ("amount_usd", Decimal("-1")),
        ("amount_usd", Decimal("38420.01")),
        ("amount_usd", Decimal("NaN")),
        ("rate_per_year", Decimal("-0.01")),
        ("rate_per_year", Decimal("7.49")),
        ("rate_per_year", Decimal("NaN")),
        ("months", 0),
        ("months", 481),
        ("on", timezone.localdate() + timedelta(days=1)),
    ],
)
def test_terms_that_cannot_be_are_refused_where_they_were_typed(field: str, value: object) -> None:
    job = job_at("permits")
    office.set_price(job=job, actor=office_person(), price_usd=Decimal("38420"))
    with pytest.raises(Problems) as problems:
        apply(job, **{field: value})
    assert fields(problems) == {field}
    assert not FinancingApplication.objects.exists()


def test_an_ended_application_takes_no_condition_and_the_crew_records_none() -> None:
    job = job_at("permits")
    loan = apply(job)
    decide(loan, "withdrawn", "They pay in cash.")
    with pytest.raises(Problems, match="has ended"):
        ask(loan, "office")
    with pytest.raises(NotAllowed):
        apply(job, actor=crew_person())
