"""What others gave a number or a day to: permits, the utility's application, the lender's."""

from __future__ import annotations

from projects.models import FinancingApplication, Interconnection, Job, Permit
from projects.queries.documents import JobDocuments
from projects.screens.office.documents_line import Line, dated, day_words, told


def permit_lines(found: JobDocuments, job: Job) -> list[Line]:
    lines = [_permit(permit, job) for permit in found.permits]
    if found.interconnection is not None:
        lines += _utility(found.interconnection, job)
    return [*lines, *(_loan(loan) for loan in found.financing)]


def _permit(permit: Permit, job: Job) -> Line:
    rounds = [
        " ".join(
            told(
                f"Round {each.round} submitted {day_words(each.submitted_on)} by {each.submitted_by.name}:",
                f"{each.get_outcome_display().lower()}{f' {day_words(each.outcome_on)}' if each.outcome_on else ''}",
                f"({len(each.comments.all())} to correct)" if each.comments.all() else "",
            )
        )
        for each in permit.submissions.all()
    ]
    void = f"Void since {day_words(permit.voided_on)}: {permit.void_reason}" if permit.voided_on else ""
    return Line(
        title=permit.get_kind_display(),
        number=permit.number,
        day=permit.issued_on,
        who=str(job.jurisdiction or ""),
        words=told(*rounds, "" if permit.issued_on else "Not issued yet", dated("Expires", permit.expires_on)),
        trouble=void,
    )


def _utility(row: Interconnection, job: Job) -> list[Line]:
    utility = str(job.utility or "")
    asked = row.requests.all()
    open_count = sum(1 for each in asked if each.answered_on is None)
    application = Line(
        title="Interconnection application",
        number=row.number,
        day=row.submitted_on,
        who=utility,
        words=told(
            dated("Found complete", row.complete_on),
            dated("Approved", row.approved_on),
            dated("Agreement signed", row.agreement_signed_on),
            dated("Meter set", row.meter_set_on),
            f"{len(asked)} asked for, {open_count} not answered yet" if asked else "",
        ),
    )
    if row.permission_on is None:
        return [application] if row.submitted_on else []
    permission = Line("Permission to operate", row.permission_number, row.permission_on, utility)
    return [application, permission]


def _loan(loan: FinancingApplication) -> Line:
    decided = f"{loan.get_state_display()}{f' {day_words(loan.decided_on)}' if loan.decided_on else ''}"
    amount = f"${loan.amount_usd:,.2f} at {loan.rate_pct.normalize():f} % over {loan.months} months"
    return Line("Loan application", loan.reference, loan.submitted_on, loan.lender, told(amount, decided))
