"""What is asked for, paid and spent beside a job's route, on days of its own between the steps."""

from __future__ import annotations

import heapq
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from paperwork.billing import issue_invoice
from paperwork.demo import letters
from paperwork.demo.clock import office_time, standing_at, weekday
from paperwork.demo.telling import Telling
from projects.actions import costs, payments
from projects.models import Invoice, JobCost, Payment
from projects.queries.margins import catalogue_usd
from projects.queries.money import job_money
from projects.route.amounts import cents

ASKED_AFTER = frozenset({"financing_waits", "permits_issued", "equipment_received", "tested", "permission", "handover"})
"""Steps after which a part of the price may have become due."""
DAYS_TO_ASK = 2
PAID_IN_TIME = 2
"""Invoices, by a household that then pays late."""
QUICKEST_DAYS, SLOWEST_DAYS = 3, 13
"""From the invoice to the money; the demo office gives 14 days."""
RACKING_USD_PER_MODULE = Decimal("98.50")
"""With wire, conduit and small parts."""
COMMISSION = Decimal("0.04")
"""Of the price, to whoever sold the job."""
ELECTRICIAN_USD, ELECTRICIAN_USD_PER_BATTERY = Decimal(940), Decimal(260)
HOURS_PER_MODULE, HOURS_PER_BATTERY = Decimal("2.4"), Decimal(9)
"""Of the demo office's crews: invented, of a likely size."""


@dataclass(order=True)
class Entry:
    on: date
    place: int
    tell: Callable[[date], object] = field(compare=False)


class Books:
    """Entries of a story that wait for their day."""

    def __init__(self, story: Telling) -> None:
        self.story = story
        self.waiting: list[Entry] = []
        self.count = 0

    def plan(self, on: date, tell: Callable[[date], object]) -> None:
        self.count += 1
        heapq.heappush(self.waiting, Entry(weekday(on), self.count, tell))

    def catch_up(self, until: date) -> None:
        """Tells what lies on days up to ``until``, each on its own day. What lies ahead of today stays untold."""
        last = min(until, self.story.today)
        while self.waiting and self.waiting[0].on <= last:
            entry = heapq.heappop(self.waiting)
            with standing_at(self._moment(entry)):
                entry.tell(entry.on)
                letters.post(self.story.job, bounces="mail_bounces" in self.story.household.options)

    def after(self, step: str, day: date) -> None:
        """Plans what the office does about money once a step is told."""
        if step in ASKED_AFTER:
            self.plan(day + timedelta(days=DAYS_TO_ASK), self.ask)
        if step == "equipment_received":
            self.plan(day + timedelta(days=1), self.pay_for_equipment)
        if step == "tested":
            self.plan(day + timedelta(days=1), self.count_the_work)

    def _moment(self, entry: Entry) -> datetime:
        at = office_time(entry.on, time(16, min(entry.place, 59)))
        return min(at, self.story.cast["now"] - timedelta(milliseconds=9000 - 100 * min(entry.place, 80)))

    # ---- in ------------------------------------------------------------------------------------------------------

    def ask(self, day: date) -> None:
        """Every part that is due by now, as an invoice of its own."""
        for part in job_money(self.story.job).due:
            paper = issue_invoice(job=self.story.job, part=part.order, actor=self.story.office)
            self._expect(Invoice.objects.get(number=paper.number), day)

    def _expect(self, invoice: Invoice, day: date) -> None:
        options, job = self.story.household.options, self.story.job
        deposit = invoice.sequence == 1
        if "pays_late" in options and invoice.sequence > PAID_IN_TIME:
            return
        # The same household takes its time or doesn't; no two alike.
        days = QUICKEST_DAYS + (job.number * 7 + invoice.sequence * 5) % (SLOWEST_DAYS - QUICKEST_DAYS + 1)
        halves = "pays_in_two" in options and not deposit
        first = cents(invoice.amount_usd / 2) if halves else invoice.amount_usd
        self.plan(day + timedelta(days=days), self._pays(first, invoice, deposit))
        if halves:
            self.plan(day + timedelta(days=days + 5), self._pays(invoice.amount_usd - first, invoice, deposit))

    def _pays(self, amount_usd: Decimal, invoice: Invoice, deposit: bool) -> Callable[[date], object]:
        def tell(day: date) -> None:
            method, reference = self._way(invoice, deposit)
            payments.record_payment(
                job=self.story.job,
                actor=self.story.office,
                on=day,
                amount_usd=amount_usd,
                method=method,
                reference=reference,
            )

        return tell

    def _way(self, invoice: Invoice, deposit: bool) -> tuple[str, str]:
        number = self.story.job.number
        if self.story.household.loan and not deposit:
            return Payment.Method.LENDER, f"draw {invoice.sequence - 1}"
        if number % 3 == 0:
            return Payment.Method.TRANSFER, f"for {invoice.number}"
        return Payment.Method.CHECK, f"No. {1100 + number * 7 + invoice.sequence}"

    # ---- out -----------------------------------------------------------------------------------------------------

    def pay_for_equipment(self, day: date) -> None:
        design = self.story.job.designs.order_by("-revision").first()
        racking = RACKING_USD_PER_MODULE * design.module_count
        # Prices moved a little between the catalogue and the order.
        moved = Decimal(98 + self.story.job.number % 6) / 100
        self._cost(
            day,
            JobCost.Kind.EQUIPMENT,
            "Modules, inverter, battery and racking as delivered"
            if design.battery
            else "Modules, inverter and racking as delivered",
            amount_usd=cents(catalogue_usd(design) * moved + racking),
        )

    def count_the_work(self, day: date) -> None:
        h = self.story.household
        hours = HOURS_PER_MODULE * h.modules + HOURS_PER_BATTERY * h.batteries + Decimal(self.story.job.number % 5)
        self._cost(day, JobCost.Kind.LABOR, "Crew on the roof and at the panel", hours=hours)
        usd = ELECTRICIAN_USD + ELECTRICIAN_USD_PER_BATTERY * h.batteries
        self._cost(day, JobCost.Kind.SUBCONTRACT, "Licensed electrician, connections and tests", amount_usd=usd)
        usd = cents(self.story.job.price_usd * COMMISSION)
        self._cost(day, JobCost.Kind.OTHER, "Commission, 4 % of the price", amount_usd=usd)
        if "second_trip" in h.options:
            self._cost(day, JobCost.Kind.LABOR, "Second trip: rotten decking found and sistered", hours=Decimal("31.5"))
            self._cost(day, JobCost.Kind.OTHER, "Decking, rafters and flashing", amount_usd=Decimal("1287.40"))

    def _cost(self, day: date, kind: str, what: str, **amount: Decimal) -> None:
        costs.record_cost(job=self.story.job, actor=self.story.office, on=day, kind=kind, what=what, **amount)
