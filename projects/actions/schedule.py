"""The parts in which a job's price is paid: whose turn each is by the facts of the route, and how much it comes to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from projects.actions.ledger import InvoiceLine, Ledger
from projects.models import DefaultMilestone, Job, MilestoneFact, PaymentMilestone
from projects.models.payment import MilestoneTerms
from projects.route.amounts import ZERO, shares
from projects.route.milestones import Reached, missing, reached
from projects.route.standing_types import Standing

USUAL: tuple[tuple[str, str, str], ...] = (
    ("Deposit", MilestoneFact.CONTRACT, "10"),
    ("Permits issued", MilestoneFact.PERMITS, "40"),
    ("Installation complete", MilestoneFact.INSTALLED, "40"),
    ("Permission to operate", MilestoneFact.PERMISSION, "10"),
)
"""Before the office has a schedule of its own: common practice, no source. Some states limit what a contractor may ask
for at signing; the settings page says so."""
BALANCE = 0
"""The part that no milestone asks for: what change orders and credit notes left once every milestone was invoiced."""


@dataclass(frozen=True)
class Part:
    order: int
    title: str
    percent: Decimal | None
    fact: str
    """In words; empty for the balance."""
    fact_key: str
    amount_usd: Decimal
    """What its invoice asks for, or would ask for by today's price; negative: a credit note is due to the customer."""
    reached: Reached | None
    missing: tuple[str, ...]
    invoice: InvoiceLine | None

    @property
    def state(self) -> str:
        """ "paid", "invoiced", "due" (its fact is there: send the invoice), "nothing" (no money left) or "waiting"."""
        if self.invoice is not None:
            return "paid" if self.invoice.paid else "invoiced"
        if self.amount_usd <= 0:
            return "nothing"
        return "due" if self.reached is not None else "waiting"


def usual_terms() -> list[DefaultMilestone]:
    """The office's own schedule, or the usual one where it has none (rows not saved)."""
    rows = list(DefaultMilestone.objects.all())
    if rows:
        return rows
    return [
        DefaultMilestone(order=n, title=title, fact=fact, percent=Decimal(percent))
        for n, (title, fact, percent) in enumerate(USUAL, start=1)
    ]


def fix_terms(job: Job) -> list[PaymentMilestone]:
    """The job's own schedule; the office's usual one becomes it where there is none yet.

    Called when the contract is signed: what the customer agreed to doesn't move with the office's settings.
    """
    own = list(PaymentMilestone.objects.filter(job=job))
    if own:
        return own
    return PaymentMilestone.objects.bulk_create(
        PaymentMilestone(job=job, order=n, title=row.title, fact=row.fact, percent=row.percent)
        for n, row in enumerate(usual_terms(), start=1)
    )


def parts_of(
    price_usd: Decimal | None, terms: Sequence[MilestoneTerms], ledger: Ledger, standing: Standing
) -> list[Part]:
    """What is invoiced keeps its amount; the rest of the price is shared by the percentages of the parts not invoiced
    yet, the last one taking the remainder. All amounts together are the price, to the cent."""
    left = (price_usd or ZERO) - ledger.invoiced_usd
    lines = {row.order: ledger.line_of(row.pk) if isinstance(row, PaymentMilestone) else None for row in terms}
    still = [row for row in terms if lines[row.order] is None]
    amounts = dict(
        zip([row.order for row in still], shares(max(left, ZERO), [row.percent for row in still]), strict=True)
    )
    parts = []
    for row in terms:
        line = lines[row.order]
        parts.append(
            Part(
                order=row.order,
                title=row.title,
                percent=row.percent,
                fact=MilestoneFact(row.fact).label,
                fact_key=row.fact,
                amount_usd=line.net_usd if line else amounts[row.order],
                reached=reached(standing, row.fact),
                missing=missing(standing, row.fact),
                invoice=line,
            )
        )
    beyond = [line for line in ledger.invoices if line.invoice.milestone_id is None and not line.void]
    parts += [
        Part(-n, line.invoice.title, None, "", "", line.net_usd, Reached(None), (), line)
        for n, line in enumerate(beyond, 1)
    ]
    if (not still and left) or left < 0:
        title = "Change orders since" if left > 0 else "To be credited: more is invoiced than the price"
        parts.append(_beside(BALANCE, title, left))
    return parts


def _beside(order: int, title: str, amount_usd: Decimal, line: InvoiceLine | None = None) -> Part:
    """A part that no milestone stands behind: it is due as soon as it is there."""
    return Part(order, title, None, "", "", amount_usd, Reached(None), (), line)


def terms_of(job: Job) -> Sequence[MilestoneTerms]:
    """The job's own schedule, or the office's usual one."""
    return list(PaymentMilestone.objects.filter(job=job)) or usual_terms()
