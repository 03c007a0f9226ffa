"""Turns that a job takes: lost and won back, a permit void and applied for again, a change order, a loan, a waiver."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from paperwork.demo.books import Books
from paperwork.demo.chapters_work import FromThePermits
from projects.actions import change_orders, closing, financing, permits, reopening, waivers
from projects.models import ChangeOrder, FinancingApplication

LENDER = "Herring Point Credit Union"
RATE_PER_YEAR, LOAN_MONTHS, LOAN_SHARE = Decimal("0.0745"), 180, Decimal("0.8")
CHANGES = {
    "change_order": ("Trench to the shed in rock: dug by hand, 22 ft.", Decimal("1460.00")),
    "change_less": ("The household paints the conduit itself.", Decimal("-185.00")),
    "change_proposed": ("Second disconnect beside the meter, as the utility's new rule asks.", Decimal("640.00")),
}
"""By option: what changes, and what it does to the price."""


class Turns(FromThePermits):
    books: Books

    # ---- lost and won back ---------------------------------------------------------------------------------------

    def lose_for_now(self, day: date) -> None:
        closing.close_job(job=self.job, actor=self.office, outcome="lost", reason="Waits for the roof to be paid off.")

    def win_back(self, day: date) -> None:
        reopening.reopen_job(job=self.job, actor=self.office, reason="They called: the roof is paid off, they go on.")

    # ---- permits -------------------------------------------------------------------------------------------------

    def void_building_permit(self, day: date) -> None:
        permits.void_permit(
            job=self.job,
            kind=self._kinds()[0],
            actor=self.office,
            on=day,
            reason="Filed under the former owner's name; the counter asks for a new application.",
        )

    def apply_again(self, day: date) -> None:
        self._submit(self._kinds()[0], day, again="-R")

    # ---- the price -----------------------------------------------------------------------------------------------

    def propose_change(self, day: date) -> None:
        option = next(name for name in CHANGES if name in self.household.options)
        reason, amount = CHANGES[option]
        change = change_orders.propose_change(job=self.job, actor=self.office, on=day, reason=reason, amount_usd=amount)
        if option != "change_proposed":
            self.books.plan(day + timedelta(days=3), lambda on: self._approve(change, on))

    def _approve(self, change: ChangeOrder, day: date) -> None:
        change_orders.approve_change(change=change, actor=self.office, on=day, note="Signed at the kitchen table.")

    # ---- the loan ------------------------------------------------------------------------------------------------

    def apply_for_loan(self, day: date) -> None:
        job = self.job
        application = financing.submit_financing(
            job=job,
            actor=self.office,
            on=day,
            lender=LENDER,
            amount_usd=(job.price_usd * LOAN_SHARE).quantize(Decimal(100)).quantize(Decimal("0.01")),
            rate_per_year=RATE_PER_YEAR,
            months=LOAN_MONTHS,
            reference=f"HP-{day:%y}{job.number:04d}",
        )
        if "lender_asks" in self.household.options:
            text = "Two recent pay slips and last year's property tax bill."
            financing.ask_condition(application=application, actor=self.office, on=day, text=text, party="customer")

    def lender_decides(self, day: date) -> None:
        application = FinancingApplication.objects.get(job=self.job)
        financing.decide_financing(application=application, actor=self.office, on=day, state="approved")
        if "last_draw" in self.household.options:
            self.books.plan(self.today - timedelta(days=4), lambda on: self._ask_before_the_draw(application, on))

    def _ask_before_the_draw(self, application: FinancingApplication, day: date) -> None:
        text = "A photograph of the finished system and the signed inspection card, before the next draw."
        financing.ask_condition(application=application, actor=self.office, on=day, text=text, party="office")

    # ---- the owner -----------------------------------------------------------------------------------------------

    def waive_the_order(self, day: date) -> None:
        waivers.waive(
            job=self.job,
            key="equipment_ordered",
            actor=self.cast["people"]["winnie"],
            reason="Everything is in our own store since a job was called off: there is nothing to order.",
        )
