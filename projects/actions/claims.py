"""Claims under the warranties: reported, looked at, settled."""

from __future__ import annotations

from datetime import date

from projects.actions.findings import in_words
from projects.actions.recording import recording, written_once
from projects.actions.roles import OFFICE
from projects.models import Job, Person, Warranty, WarrantyClaim


def report_claim(*, job: Job, actor: Person, warranty: Warranty | None, on: date, trouble: str) -> WarrantyClaim:
    """What the customer says is wrong, under one of the job's warranties. One that has ended may be named all the same:
    whether the office or the maker helps is decided when the claim is settled.
    """
    with recording(job, actor, OFFICE) as book:
        if warranty is None or warranty.job_id != job.pk:
            book.findings.add("warranty", "Choose one of this job's warranties.")
        book.findings.need("trouble", trouble, "Write down what is wrong.")
        if book.findings.happened(job, on) and warranty is not None:
            book.findings.not_before(on, warranty.starts_on, "the warranty began")
        book.findings.refuse()
        assert warranty is not None
        in_time = on <= warranty.ends_on
        claim = WarrantyClaim.objects.create(
            job=job,
            warranty=warranty,
            covers=warranty.covers,
            in_time=in_time,
            reported_on=on,
            trouble=trouble.strip(),
            taken_by=actor,
        )
        late = "" if in_time else f", reported after it ended on {in_words(warranty.ends_on)}"
        book.write("claim_reported", on, claim=claim.pk, covers=warranty.covers, late=late)
    return claim


def settle_claim(*, claim: WarrantyClaim, actor: Person, outcome: str, on: date, note: str) -> WarrantyClaim:
    """How it ended. A visit still planned for it is cancelled with it."""
    job = claim.job
    with recording(job, actor, OFFICE) as book:
        claim.refresh_from_db()
        if outcome not in WarrantyClaim.Outcome.values:
            book.findings.add("outcome", "Choose how it ended.")
        book.findings.need("note", note, "Say what was done, or why nothing was.")
        if book.findings.happened(job, on):
            made = claim.visits.exclude(done_on=None).order_by("-done_on").values_list("done_on", flat=True).first()
            book.findings.not_before(on, made or claim.reported_on, "the last that was recorded of it")
        if claim.settled_on is not None:
            book.findings.add("", f"Already settled on {in_words(claim.settled_on)}.")
        book.findings.refuse()
        open_one = WarrantyClaim.objects.filter(pk=claim.pk, settled_on=None)
        written_once(open_one.update(outcome=outcome, settled_on=on, settled_note=note.strip(), settled_by=actor))
        claim.visits.filter(done_on=None, cancelled_on=None).update(cancelled_on=on)
        label = str(WarrantyClaim.Outcome(outcome).label).lower()
        book.write("claim_settled", on, claim=claim.pk, covers=claim.covers, outcome=label)
    claim.refresh_from_db()
    return claim
