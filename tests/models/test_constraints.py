"""What the database itself refuses, whoever writes."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.db.models import Model, ProtectedError

from projects.models import (
    Customer,
    Design,
    Evidence,
    Inspection,
    Job,
    JobMark,
    Jurisdiction,
    JurisdictionClosure,
    Licence,
    Permit,
    PermitSubmission,
    RoofPlane,
    Waiver,
    Warranty,
)
from tests.factories import JurisdictionFactory, LicenceFactory, job_at, office_person, owner_person

pytestmark = pytest.mark.django_db
DAY = date(2026, 3, 2)


def refused(model: type[Model], **columns) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        model._default_manager.create(**columns)


def test_one_of_a_kind_per_job() -> None:
    job, clerk = job_at("operation"), office_person()
    permit = job.permits.get(kind="building")
    refused(Permit, job=job, kind="building")
    refused(PermitSubmission, permit=permit, round=1, submitted_on=DAY, submitted_by=clerk, design_fingerprint="0" * 64)
    refused(JobMark, job=job, key="go_ahead", on=DAY, recorded_by=clerk)
    design = job.designs.get()
    refused(
        Design,
        job=job,
        revision=design.revision,
        module=design.module,
        inverter=design.inverter,
        fingerprint="0" * 64,
        created_by=clerk,
    )
    refused(RoofPlane, site=job.site, name="South roof", tilt_deg=1, azimuth_deg=1, width_m=1, slope_length_m=1)
    refused(Job, number=job.number, customer=job.customer, site=job.site, received_at=job.received_at)


def test_withdrawn_marks_and_waivers_make_room() -> None:
    job = job_at("lead")
    mark = {"job": job, "key": "go_ahead", "on": DAY, "recorded_by": office_person()}
    waiver = {"job": job, "key": "go_ahead", "reason": "Why.", "on": DAY, "waived_by": owner_person()}
    for model, columns in ((JobMark, mark), (Waiver, waiver)):
        row = model.objects.create(**columns)
        refused(model, **columns)
        model.objects.filter(pk=row.pk).update(withdrawn_at=job.received_at)
        model.objects.create(**columns)


def test_one_booked_inspection_of_a_kind() -> None:
    job = job_at("lead")
    booked = {"job": job, "kind": "final", "booked_for": DAY}
    row = Inspection.objects.create(**booked)
    refused(Inspection, **booked)
    Inspection.objects.filter(pk=row.pk).update(result="cancelled")
    Inspection.objects.create(**booked)


def test_a_photo_is_sent_once_and_keyless_ones_as_often_as_wanted() -> None:
    job = job_at("lead")
    photo = {"job": job, "kind": "panel", "sha256": "0" * 64, "added_by": office_person()}
    for _ in range(2):
        Evidence.objects.create(**photo)
    Evidence.objects.create(**photo, client_key="tablet-1-1")
    refused(Evidence, **photo, client_key="tablet-1-1")


def test_values_that_make_no_sense_are_refused() -> None:
    job = job_at("lead")
    refused(Customer, name="Nobody", email="", phone="")
    refused(Jurisdiction, name="Lax Town", state="NC", off_grid_exempt=True)
    refused(Warranty, job=job, covers="Workmanship", starts_on=DAY, ends_on=DAY)
    Warranty.objects.create(job=job, covers="Workmanship", starts_on=DAY, ends_on=DAY + timedelta(days=365))
    licence = LicenceFactory()
    refused(Licence, holder=licence.holder, trade=licence.trade, number=licence.number, state="NC", expires_on=DAY)
    county = JurisdictionFactory()
    JurisdictionClosure.objects.create(jurisdiction=county, on=DAY)
    refused(JurisdictionClosure, jurisdiction=county, on=DAY)


def test_what_papers_and_permits_name_is_not_deleted() -> None:
    job = job_at("installation")
    licence = job.permits.get(kind="building").submissions.get().licence
    for row in (licence, job.customer, job.site, job.jurisdiction, job.designs.get().module, office_person()):
        with pytest.raises(ProtectedError):
            row.delete()


@pytest.mark.parametrize(
    ("revision", "letter"), [(1, "A"), (26, "Z"), (27, "AA"), (52, "AZ"), (53, "BA"), (703, "AAA")]
)
def test_revisions_are_lettered_like_drawings(revision: int, letter: str) -> None:
    assert Design(revision=revision).revision_letter == letter
