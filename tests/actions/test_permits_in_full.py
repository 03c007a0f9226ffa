"""Permits void and applied for again, priced by rule, and the licences and insurance that they are submitted under."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from projects.actions import marks, permit_fees, permits
from projects.actions.problems import Problems
from projects.actions.standing import disagreements, standing_of
from projects.models import Insurance, Job
from tests.factories import JurisdictionFactory, LicenceFactory, Story, job_at, licence, office_person

pytestmark = pytest.mark.django_db


def void(job, kind="building", **changes):
    told = {"on": timezone.localdate(), "reason": "Issued for the wrong lot."}
    return permits.void_permit(job=job, kind=kind, actor=office_person(), **{**told, **changes})


def apply_again(job, kind="building") -> None:
    telling = Story(job, "hybrid")
    telling.day = timezone.localdate()
    telling.submit(kind)


def test_a_void_permit_stays_in_the_file_and_the_job_asks_for_a_new_one() -> None:
    job = job_at("installation")
    old = job.permits.get(kind="building")
    void(job)
    old.refresh_from_db()
    assert (old.voided_on, old.void_reason) == (timezone.localdate(), "Issued for the wrong lot.")
    assert old.submissions.count() == 1
    assert job.stage == "permits"
    assert "permit_building_submitted" in standing_of(job).pressing
    # The hold is there again: nobody may install under a void permit.
    with pytest.raises(Problems, match="building permit is not issued"):
        marks.record_mark(job=job, key="install_started", on=timezone.localdate(), actor=office_person())
    apply_again(job)
    live = job.permits.get(kind="building", voided_on=None)
    assert (live.pk != old.pk, live.submissions.get().round) == (True, 1)
    permits.issue_permit(job=job, kind="building", actor=office_person(), on=timezone.localdate(), number="B-2")
    assert job.stage == "installation"
    assert disagreements(Job.objects.all()) == []


def test_a_job_is_still_found_by_the_number_of_its_void_permit() -> None:
    job = job_at("installation")
    number = job.permits.get(kind="building").number
    void(job)
    apply_again(job)
    assert number and number.lower() in job.search_text


def test_there_must_be_a_permit_to_void_and_a_reason() -> None:
    job = job_at("permits")
    with pytest.raises(Problems) as problems:
        void(job, reason="")
    assert {p.field for p in problems.value} == {"kind", "reason"}
    job = job_at("operation")
    with pytest.raises(Problems, match="closed, not void"):
        void(job)


@pytest.mark.parametrize(
    ("rule", "array_kw", "price", "total", "words"),
    [
        ({"flat_usd": "145"}, None, None, "145.00", "145.00"),
        ({"flat_usd": "60", "per_kw_usd": "6.5"}, "8.8", None, "117.20", "60.00 + 8.80 kW at 6.50 = 117.20"),
        ({"per_thousand_usd": "12"}, None, "38420", "468.00", "39 begun $1,000 at 12.00 = 468.00"),
        ({"per_thousand_usd": "12"}, None, "38000", "456.00", "38 begun $1,000 at 12.00 = 456.00"),
        ({"per_kw_usd": "0.55"}, "7.35", None, "4.04", "7.35 kW at 0.55 = 4.04"),  # 4.0425, half up to the cent
        ({"per_kw_usd": "6"}, None, None, None, "6.00 a kW, and there is no design yet"),
        ({"per_thousand_usd": "6"}, "8", None, None, "6.00 per $1,000 of valuation, and the job has no price yet"),
        ({}, "8", "1000", None, ""),
    ],
)
def test_fees_by_rule(rule, array_kw, price, total, words) -> None:
    """Worked out by hand; each $1,000 begun counts whole, as in Table 1-A of the 1997 UBC (from memory)."""
    given = {key: Decimal(value) for key, value in ({"flat_usd": "0"} | rule).items()}
    found = permit_fees.fee(
        **given,
        array_kw=Decimal(array_kw) if array_kw else None,
        valuation_usd=Decimal(price) if price else None,
    )
    assert (found.total_usd, found.words) == (Decimal(total) if total else None, words)


def test_the_rule_of_the_day_is_kept_beside_what_was_paid() -> None:
    county = JurisdictionFactory(building_fee_usd=Decimal(50), building_fee_per_kw_usd=Decimal(5))
    job = job_at("permits", jurisdiction=county)
    permits.submit_permit(
        job=job, kind="building", actor=office_person(), on=timezone.localdate(), how="online",
        licence=licence("contractor"), fee_usd=Decimal("80"),
    )  # fmt: skip
    county.building_fee_per_kw_usd = Decimal(9)
    county.save()
    row = job.permits.get(kind="building").submissions.get()
    # Sixteen modules of 400 W: 6.4 kW.
    assert (row.fee_usd, row.rule_fee_usd, row.rule_words) == (80, 82, "50.00 + 6.40 kW at 5.00 = 82.00")


def submit(job, given, on=None):
    return permits.submit_permit(
        job=job, kind="building", actor=office_person(), on=on or timezone.localdate(), how="online", licence=given
    )


def test_a_licence_must_be_for_the_trade_the_state_and_the_day() -> None:
    job, today = job_at("permits"), timezone.localdate()
    wrong = {
        "needs a licensed contractor": LicenceFactory(trade="electrician"),
        "is for SC": LicenceFactory(state="SC"),
        "expired on": LicenceFactory(expires_on=today - timedelta(days=1)),
        "valid from": LicenceFactory(valid_from=today + timedelta(days=1)),
    }
    for words, given in wrong.items():
        with pytest.raises(Problems, match=words) as problems:
            submit(job, given)
        assert {p.field for p in problems.value} == {"licence"}
    submit(job, LicenceFactory(valid_from=today, expires_on=today))


def test_no_permit_is_submitted_without_the_insurance_that_the_firm_keeps() -> None:
    job, today = job_at("permits"), timezone.localdate()
    cover = {"kind": "liability", "insurer": "Harbour Mutual"}
    Insurance.objects.create(
        number="1", starts_on=today - timedelta(days=400), expires_on=today - timedelta(days=35), **cover
    )
    with pytest.raises(Problems, match="General liability insurance ended on"):
        submit(job, licence("contractor"))
    ahead = Insurance.objects.create(
        number="2", starts_on=today + timedelta(days=1), expires_on=today + timedelta(days=366), **cover
    )
    with pytest.raises(Problems, match="insurance ended on"):
        submit(job, licence("contractor"))
    ahead.starts_on = today
    ahead.save()
    submit(job, licence("contractor"))


def test_a_jurisdiction_may_ask_for_insurance_where_none_is_recorded() -> None:
    job = job_at("permits", jurisdiction=JurisdictionFactory(asks_insurance=True))
    with pytest.raises(Problems, match="asks for general liability insurance, and none is recorded"):
        submit(job, licence("contractor"))
