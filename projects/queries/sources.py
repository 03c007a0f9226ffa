"""How many leads of each source became jobs, with the limits that small numbers leave."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Exists, OuterRef, Q, Sum
from django.db.models.functions import Lower, Trim

from projects.models import Job, JobMark
from projects.route.forecast.shares import wilson


@dataclass(frozen=True)
class SourceLine:
    source: str
    """As the lead's form keeps it, lower case; empty where nobody asked."""
    leads: int
    won: int
    """Signed the contract, whatever became of it later."""
    lost: int
    """Lost or cancelled without one."""
    value_usd: Decimal
    """Prices of those won."""

    @property
    def undecided(self) -> int:
        return self.leads - self.won - self.lost

    @property
    def decided(self) -> int:
        return self.won + self.lost

    @property
    def rate(self) -> float | None:
        """Of those decided; None before the first one is."""
        return self.won / self.decided if self.decided else None

    @property
    def limits(self) -> tuple[float, float]:
        """95 % limits of the rate."""
        return wilson(self.won, self.decided)


def win_rates() -> tuple[list[SourceLine], SourceLine]:
    """By source, those with most leads first, and all of them together. One query. Doubles of a lead count once."""
    signed = JobMark.objects.filter(job=OuterRef("pk"), key="contract_signed", withdrawn_at=None)
    rows = (
        Job.objects.filter(duplicate_of=None)
        .order_by()
        .annotate(named=Lower(Trim("source")), signed=Exists(signed))
        .values("named")
        .annotate(
            leads=Count("pk"),
            won=Count("pk", filter=Q(signed=True)),
            lost=Count("pk", filter=Q(signed=False) & ~Q(outcome=Job.Outcome.OPEN)),
            value=Sum("price_usd", filter=Q(signed=True)),
        )
    )
    lines = [
        SourceLine(row["named"], row["leads"], row["won"], row["lost"], row["value"] or Decimal(0)) for row in rows
    ]
    lines.sort(key=lambda line: (-line.leads, line.source))
    everything = SourceLine(
        "",
        sum(line.leads for line in lines),
        sum(line.won for line in lines),
        sum(line.lost for line in lines),
        sum((line.value_usd for line in lines), Decimal(0)),
    )
    return lines, everything
