"""Inspections: booked, passed or with corrections, corrections fixed, booked again, cancelled."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from projects.actions.appointment_days import changed, day_set, state, write_state
from projects.actions.findings import in_words
from projects.actions.recording import recording, written_once
from projects.actions.roles import FIELD, OFFICE
from projects.actions.route_checks import follows, must_be_open
from projects.models import Inspection, InspectionCorrection, Job, Person
from projects.route.holds import installation_problems

REQUIREMENT_OF_BOOKING = {Inspection.Kind.ROUGH_IN: "rough_in_booked", Inspection.Kind.FINAL: "final_booked"}


def book_inspection(*, job: Job, kind: str, actor: Person, on: date) -> Inspection:
    """Books a first inspection, or after corrections the next one."""
    with recording(job, actor, OFFICE) as book:
        findings = book.findings
        if kind not in Inspection.Kind.values:
            findings.add("kind", "Choose rough-in or final inspection.")
            findings.refuse()
        key = REQUIREMENT_OF_BOOKING[Inspection.Kind(kind)]
        if findings.booking(job, on):
            follows(book, key, on)
        booked = Inspection.objects.filter(job=job, kind=kind, result=Inspection.Result.BOOKED).first()
        if booked is not None:
            findings.add("kind", f"Booked already for {in_words(booked.booked_for)}; cancel that one first.")
        else:
            must_be_open(book, key, field="kind")
            findings.extend("kind", installation_problems(book.facts))
        findings.refuse()
        book.write("inspection_booked", **day_set(job, kind, on))
        return Inspection.objects.get(job=job, kind=kind, result=Inspection.Result.BOOKED)


def record_inspection(
    *,
    inspection: Inspection,
    actor: Person,
    result: str,
    on: date,
    corrections: Sequence[str] = (),
    inspector: str = "",
) -> Inspection:
    """What the inspector said: "passed", or "corrections" with what is to be put right."""
    job = inspection.job
    with recording(job, actor, OFFICE) as book:
        findings = book.findings
        inspection.refresh_from_db()
        texts = [text.strip() for text in corrections if text.strip()]
        passed = result == Inspection.Result.PASSED
        if result not in (Inspection.Result.PASSED, Inspection.Result.CORRECTIONS):
            findings.add("result", "Choose passed or corrections.")
        if result == Inspection.Result.CORRECTIONS and not texts:
            findings.add("corrections", "Write down what is to be corrected, one a line.")
        if passed and texts:
            findings.add("corrections", "A passed inspection has no corrections.")
        if findings.happened(job, on):
            follows(book, REQUIREMENT_OF_BOOKING[Inspection.Kind(inspection.kind)], on)
        if inspection.result != Inspection.Result.BOOKED:
            findings.add("", "This inspection has its result already.")
        if len(inspector.strip()) > 80:
            findings.add("inspector", "At most 80 characters.")
        # An inspector who passes work done without its permits passes something else than what stands there.
        findings.extend("", installation_problems(book.facts) if passed else ())
        findings.refuse()
        booked = Inspection.objects.filter(pk=inspection.pk, result=Inspection.Result.BOOKED)
        written_once(booked.update(result=result, result_on=on, inspector=inspector.strip()))
        rows = [InspectionCorrection(inspection=inspection, text=text) for text in texts]
        InspectionCorrection.objects.bulk_create(rows)
        if passed:
            book.write("inspection_passed", on, inspection=inspection.kind)
        else:
            book.write("inspection_corrections", on, inspection=inspection.kind, corrections=len(texts))
    inspection.refresh_from_db()
    return inspection


def fix_correction(
    *, correction: InspectionCorrection, actor: Person, on: date, note: str = ""
) -> InspectionCorrection:
    """The crew has put right what the inspector found."""
    inspection = correction.inspection
    job = inspection.job
    with recording(job, actor, FIELD) as book:
        correction.refresh_from_db()
        if book.findings.happened(job, on):
            book.findings.not_before(on, inspection.result_on, "the inspector found it")
        if correction.fixed_on is not None:
            book.findings.add("", f"Already fixed on {in_words(correction.fixed_on)}.")
        book.findings.refuse()
        unfixed = InspectionCorrection.objects.filter(pk=correction.pk, fixed_on=None)
        written_once(unfixed.update(fixed_on=on, fixed_by=actor, note=note.strip()))
        left = inspection.corrections.filter(fixed_on=None).count()
        book.write("correction_fixed", on, inspection=inspection.kind, correction=correction.pk, open=left)
    correction.refresh_from_db()
    return correction


def cancel_inspection(*, inspection: Inspection, actor: Person, reason: str) -> Inspection:
    """The booked day falls through."""
    job = inspection.job
    with recording(job, actor, OFFICE) as book:
        inspection.refresh_from_db()
        book.findings.need("reason", reason, "Say why it is cancelled.")
        if inspection.result != Inspection.Result.BOOKED:
            book.findings.add("", "Only a booked inspection can be cancelled.")
        book.findings.refuse()
        before = state(job, inspection.kind)
        after = before | {"on": None}
        write_state(job, inspection.kind, after, reason.strip())
        book.write("inspection_cancelled", **changed(inspection.kind, before, after, reason))
    inspection.refresh_from_db()
    return inspection
