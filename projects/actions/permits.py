"""Permits: submitted, corrected, answered, resubmitted, issued, renewed; void and applied for again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal

from projects.actions.cover import insurance_problems
from projects.actions.findings import in_words
from projects.actions.permit_fees import fee_of_job
from projects.actions.recording import Book, recording, written_once
from projects.actions.redraw import current_design
from projects.actions.roles import OFFICE
from projects.actions.route_checks import follows, must_be_done, must_be_open
from projects.models import Job, Licence, Permit, PermitSubmission, Person, PlanComment
from projects.route.requirements import REQUIREMENT_BY_KEY

TRADE_OF_PERMIT = {
    Permit.Kind.BUILDING: Licence.Trade.CONTRACTOR,
    Permit.Kind.COMBINED: Licence.Trade.CONTRACTOR,
    Permit.Kind.ELECTRICAL: Licence.Trade.ELECTRICIAN,
    Permit.Kind.FIRE: Licence.Trade.CONTRACTOR,
}
WAYS = tuple(key for key, _ in PermitSubmission._meta.get_field("how").choices or ())


def submit_permit(
    *,
    job: Job,
    kind: str,
    actor: Person,
    on: date,
    how: str,
    licence: Licence | None,
    number: str = "",
    fee_usd: Decimal | None = None,
) -> PermitSubmission:
    """Submits the current design, or resubmits it after corrections or a change of the design.

    The design is frozen with the submission: what changes later is compared with it. A permit that was issued for an
    earlier design counts as not issued until the revision is.
    """
    with recording(job, actor, OFFICE) as book:
        findings = book.findings
        permit = _permit(book, kind)
        latest = _latest(permit)
        key = f"permit_{kind}_submitted"
        if findings.happened(job, on):
            follows(book, key, on)
        if must_be_open(book, key, field="kind", again=latest is not None) and latest is not None:
            must_be_done(book, REQUIREMENT_BY_KEY[key].after, field="kind")
        design = current_design(job)
        if design is None or design.preliminary:
            findings.add("kind", "There is no design to submit yet.")
        elif latest is not None:
            _may_resubmit(book, latest, design.fingerprint, on)
        if how not in WAYS:
            findings.add("how", "Choose how it was submitted.")
        if fee_usd is not None and not 0 <= fee_usd < 1_000_000:
            findings.add("fee_usd", "A fee in dollars, 0 or more.")
        if len(number.strip()) > 60:
            findings.add("number", "At most 60 characters.")
        _check_licence(book, kind, licence, on)
        findings.extend("licence", insurance_problems(job, on))
        findings.refuse()
        assert design is not None
        permit = permit or Permit(job=job, kind=kind)
        permit.number = number.strip() or permit.number
        permit.issued_on = None
        permit.expires_on = None
        permit.save()
        rule = fee_of_job(job, kind, design)
        submission = PermitSubmission.objects.create(
            permit=permit,
            round=latest.round + 1 if latest else 1,
            submitted_on=on,
            how=how,
            fee_usd=fee_usd,
            rule_fee_usd=rule.total_usd,
            rule_words=rule.words,
            licence=licence,
            submitted_by=actor,
            design_fingerprint=design.fingerprint,
            design_frozen=design.frozen,
        )
        fee = str(fee_usd) if fee_usd else ""
        book.write("permit_submitted", on, permit=kind, round=submission.round, fee_usd=fee)
    return submission


def record_corrections(*, job: Job, kind: str, actor: Person, on: date, comments: Sequence[str]) -> PermitSubmission:
    """Plan review asks for corrections."""
    with recording(job, actor, OFFICE) as book:
        texts = [text.strip() for text in comments if text.strip()]
        if not texts:
            book.findings.add("comments", "Write down what the reviewer asks for, one comment a line.")
        latest = _in_review(book, kind, on)
        book.findings.refuse()
        assert latest is not None
        written_once(_decide(latest, PermitSubmission.Outcome.CORRECTIONS, on))
        PlanComment.objects.bulk_create([PlanComment(submission=latest, text=text) for text in texts])
        book.write("permit_corrections", on, permit=kind, comments=len(texts), round=latest.round)
    latest.refresh_from_db()
    return latest


def answer_comment(*, comment: PlanComment, actor: Person, answer: str, on: date) -> PlanComment:
    """Says how a reviewer's comment was answered."""
    job = comment.submission.permit.job
    with recording(job, actor, OFFICE) as book:
        comment.refresh_from_db()
        submission = comment.submission
        if book.findings.happened(job, on):
            book.findings.not_before(on, submission.outcome_on, "the corrections came")
        book.findings.need("answer", answer, "Say how it is answered.")
        if comment.answered_on is not None:
            book.findings.add("", f"Already answered on {in_words(comment.answered_on)}.")
        book.findings.refuse()
        unanswered = PlanComment.objects.filter(pk=comment.pk, answered_on=None)
        written_once(unanswered.update(answer=answer.strip(), answered_on=on, answered_by=actor))
        left = submission.comments.filter(answered_on=None).count()
        book.write("comment_answered", on, permit=submission.permit.kind, comment=comment.pk, open=left)
    comment.refresh_from_db()
    return comment


def issue_permit(
    *, job: Job, kind: str, actor: Person, on: date, number: str, expires_on: date | None = None
) -> Permit:
    """The jurisdiction issues the permit; without a date it expires by the jurisdiction's profile."""
    with recording(job, actor, OFFICE) as book:
        book.findings.need("number", number, "Give the permit's number.")
        if len(number.strip()) > 60:
            book.findings.add("number", "At most 60 characters.")
        latest = _in_review(book, kind, on)
        if expires_on is not None and on is not None and expires_on <= on:
            book.findings.add("expires_on", "It expires after the day it is issued.")
        book.findings.refuse()
        assert latest is not None
        if expires_on is None and job.jurisdiction is not None:
            expires_on = on + timedelta(days=job.jurisdiction.permit_valid_days)
        written_once(_decide(latest, PermitSubmission.Outcome.APPROVED, on))
        issued = Permit.objects.filter(pk=latest.permit_id, issued_on=None)
        written_once(issued.update(issued_on=on, number=number.strip(), expires_on=expires_on))
        book.write("permit_issued", on, permit=kind, number=number.strip())
    return Permit.objects.get(pk=latest.permit_id)


def renew_permit(*, job: Job, kind: str, actor: Person, on: date, expires_on: date) -> Permit:
    """An issued permit gets a later last day."""
    with recording(job, actor, OFFICE) as book:
        permit = _permit(book, kind)
        if permit is None or permit.issued_on is None:
            book.findings.add("kind", "This permit is not issued, so it can't be renewed.")
        elif book.findings.happened(job, on):
            book.findings.not_before(on, permit.issued_on, "the permit was issued")
            if expires_on is None or expires_on <= (permit.expires_on or on):
                book.findings.add("expires_on", "The new last day lies after the former one.")
        book.findings.refuse()
        assert permit is not None
        renewed = Permit.objects.filter(pk=permit.pk, expires_on=permit.expires_on)
        written_once(renewed.update(expires_on=expires_on))
        book.write("permit_renewed", on, permit=kind, day=expires_on.isoformat())
    permit.refresh_from_db()
    return permit


def void_permit(*, job: Job, kind: str, actor: Person, on: date, reason: str) -> Permit:
    """The permit ends without its work: withdrawn, revoked or lapsed for good. It stays with its rounds.

    From then on it satisfies nothing: the job asks for a permit as if there had been none, and nobody may install.
    """
    with recording(job, actor, OFFICE) as book:
        permit = _permit(book, kind)
        book.findings.need("reason", reason, "Say why it is void.")
        if permit is None:
            book.findings.add("kind", "There is no such permit to void.")
        elif book.findings.happened(job, on):
            latest = _latest(permit)
            last = permit.issued_on or (latest.outcome_on or latest.submitted_on if latest else None)
            book.findings.not_before(on, last, "its last step")
        if book.standing.in_service or any(r.key == "final_passed" and r.done for r in book.standing.requirements):
            book.findings.add("", "The final inspection has passed under it: it is closed, not void.")
        book.findings.refuse()
        assert permit is not None
        live = Permit.objects.filter(pk=permit.pk, voided_on=None)
        written_once(live.update(voided_on=on, void_reason=reason.strip()))
        number = permit.number or "without a number"
        book.write("permit_voided", on, permit=kind, number=number, reason=reason.strip())
    permit.refresh_from_db()
    return permit


def _permit(book: Book, kind: str) -> Permit | None:
    if kind not in Permit.Kind.values:
        book.findings.add("kind", "Choose a kind of permit.")
        book.findings.refuse()
    return Permit.objects.filter(job=book.job, kind=kind, voided_on=None).first()


def _latest(permit: Permit | None) -> PermitSubmission | None:
    return permit.submissions.order_by("-round").first() if permit else None


def _may_resubmit(book: Book, latest: PermitSubmission, fingerprint: str, on: date | None) -> None:
    findings, outcome = book.findings, PermitSubmission.Outcome
    changed = latest.design_fingerprint != fingerprint
    if latest.outcome == outcome.PENDING and not changed:
        findings.add("kind", f"Submitted on {in_words(latest.submitted_on)} and still in plan review.")
    if latest.outcome == outcome.APPROVED and not changed:
        findings.add("kind", "This permit is issued for the current design.")
    if latest.outcome == outcome.CORRECTIONS:
        for comment in latest.comments.filter(answered_on=None):
            findings.add("kind", f"Not answered yet: {comment.text}")
        last = latest.comments.order_by("-answered_on").values_list("answered_on", flat=True).first()
        findings.not_before(on, last, "the last comment was answered")
    findings.not_before(on, latest.outcome_on or latest.submitted_on, "the round before")


def _in_review(book: Book, kind: str, on: date | None) -> PermitSubmission | None:
    """The submission that plan review decides on, or problems."""
    latest = _latest(_permit(book, kind))
    if book.findings.happened(book.job, on) and latest is not None:
        book.findings.not_before(on, latest.submitted_on, "it was submitted")
    if latest is None:
        book.findings.add("kind", "Nothing is submitted yet.")
    elif latest.outcome == PermitSubmission.Outcome.CORRECTIONS:
        book.findings.add("kind", "Corrections are asked for: resubmit first.")
    elif latest.outcome == PermitSubmission.Outcome.APPROVED:
        book.findings.add("kind", "This permit is issued already.")
    return latest


def _decide(submission: PermitSubmission, outcome: str, on: date) -> int:
    pending = PermitSubmission.objects.filter(pk=submission.pk, outcome=PermitSubmission.Outcome.PENDING)
    return pending.update(outcome=outcome, outcome_on=on)


def _check_licence(book: Book, kind: str, licence: Licence | None, on: date | None) -> None:
    findings = book.findings
    trade = TRADE_OF_PERMIT[Permit.Kind(kind)]
    if licence is None:
        findings.add("licence", f"Choose the {Licence.Trade(trade).label.lower()}'s licence.")
        return
    if licence.trade != trade:
        name = str(Permit.Kind(kind).label).lower()
        findings.add("licence", f"The {name} needs a licensed {Licence.Trade(trade).label.lower()}.")
    if licence.state != book.job.site.state:
        findings.add("licence", f"This licence is for {licence.state}, the house is in {book.job.site.state}.")
    if on is not None and not licence.valid_on(on):
        if licence.valid_from is not None and on < licence.valid_from:
            findings.add("licence", f"This licence is valid from {in_words(licence.valid_from)} on.")
        else:
            findings.add("licence", f"This licence expired on {in_words(licence.expires_on)}.")
