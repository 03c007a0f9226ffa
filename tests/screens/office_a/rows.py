"""One job with a row of every kind that a form can be about, each made by its action."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from projects.actions import (
    change_orders,
    claims,
    costs,
    customer_pictures,
    financing,
    inspections,
    interconnection,
    office,
    payments,
    permits,
    service_visits,
)
from projects.models import Job, UtilityRequest
from tests.factories import Story, job_at, office_person, photo


def job_with_every_row() -> tuple[Job, dict[str, int]]:
    """The job, and for each fact the row that its form is about."""
    job, clerk = job_at("done"), office_person()
    told = {"actor": clerk, "on": timezone.localdate()}
    office.set_price(job=job, actor=clerk, price_usd=Decimal(30000))
    change = change_orders.propose_change(job=job, **told, reason="A larger array.", amount_usd=Decimal(900))
    paid = payments.record_payment(job=job, **told, method="check", amount_usd=Decimal(400))
    cost = costs.record_cost(job=job, **told, kind="labor", what="Crew", hours=Decimal(16))
    loan = financing.submit_financing(
        job=job, **told, lender="Pier Bank", amount_usd=Decimal(20000), rate_per_year=Decimal("0.075"), months=120
    )
    condition = financing.ask_condition(application=loan, **told, text="A signed contract.", party="office")
    claim = claims.report_claim(job=job, **told, warranty=job.warranties.first(), trouble="The display is dark.")
    visit = service_visits.plan_service_visit(job=job, **told, claim=claim)
    ask = customer_pictures.ask_customer(job=job, actor=clerk, kind="panel")
    upload = customer_pictures.send_picture(ask=ask, actor=None, upload=photo(41))
    return job, {
        "change-approved": change.pk,
        "change-dropped": change.pk,
        "payment-back": paid.pk,
        "cost-back": cost.pk,
        "financing-decided": loan.pk,
        "lender-asks": loan.pk,
        "lender-condition-met": condition.pk,
        "claim-settled": claim.pk,
        "service-visit-made": visit.pk,
        "service-visit-moved": visit.pk,
        "service-visit-cancelled": visit.pk,
        "ask-closed": ask.pk,
        "picture-accepted": upload.pk,
        "picture-refused": upload.pk,
    }


def job_in_review() -> tuple[Job, dict[str, int]]:
    """With a plan reviewer's comment and a question of the utility."""
    job, clerk = job_at("permits"), office_person()
    told = {"job": job, "actor": clerk, "on": timezone.localdate()}
    story = Story(job, "hybrid")
    story.day = timezone.localdate()
    story.submit("building")
    permits.record_corrections(**told, kind="building", comments=["Show it."])
    interconnection.submit_application(**told)
    interconnection.record_utility_request(**told, text="A photo.")
    comment = job.permits.get().submissions.get().comments.get()
    return job, {"comment-answer": comment.pk, "utility-answer": UtilityRequest.objects.latest("pk").pk}


def job_inspected() -> tuple[Job, dict[str, int]]:
    """With a correction that is open, and another inspection that is booked."""
    job, clerk = job_at("inspection"), office_person()
    today = timezone.localdate()
    booked = inspections.book_inspection(job=job, actor=clerk, kind="final", on=today)
    inspections.record_inspection(
        inspection=booked, actor=clerk, result="corrections", on=today, corrections=["Bond it.", "Label it."]
    )
    first, second = booked.corrections.all()
    inspections.fix_correction(correction=first, actor=clerk, on=today)
    inspections.fix_correction(correction=second, actor=clerk, on=today)
    again = inspections.book_inspection(job=job, actor=clerk, kind="final", on=today + timedelta(days=1))
    return job, {"inspection-result": again.pk, "inspection-cancelled": again.pk, "correction-fixed": first.pk}
