"""One household's job, told step by step through the same actions as the screens use."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import partial

from paperwork.demo import letters, service
from paperwork.demo.afterwards import beside_the_route, lose
from paperwork.demo.books import Books
from paperwork.demo.chapters_turns import CHANGES, Turns
from paperwork.demo.clock import office_time, standing_at, weekday, working_day
from paperwork.demo.households import Household
from paperwork.demo.telling import AHEAD
from paperwork.demo.turns import Wanted
from projects.actions import marks
from projects.models import Job

APPOINTMENTS = {
    "visit_booked": "site_visit",
    "install_booked": "installation",
    "rough_in": "rough_in",
    "final_booked": "final",
    "refitted": "final",
}
"""Of the steps that book a day."""
PLANNED_AHEAD = timedelta(days=19)
"""Of an installation whose permits are still under review."""


@dataclass(frozen=True)
class Step:
    key: str
    days: int
    """Calendar days after the step before."""
    tell: Callable[[Teller, date], object]


@dataclass
class Teller(Turns):
    """Walks one job. ``cast`` holds the office's people, licences, authorities, crews by name, and whose turn it is."""

    household: Household
    cast: dict
    today: date
    job: Job = field(init=False)
    books: Books = field(init=False)

    def __post_init__(self) -> None:
        self.books = Books(self)

    # ---- the plan of the story -----------------------------------------------------------------------------------

    def steps(self) -> list[Step]:
        h, town = self.household, self.cast["towns"][self.household.town]
        profile = self.cast["jurisdictions"][town["jurisdiction"]]
        off_grid, exempt = h.kind == "off_grid", h.kind == "off_grid" and profile.off_grid_exempt
        plan = [
            Step("lead_new", 0, Teller.lead),
            Step("lead_decided", 0, Teller.decide),
            Step("first_look", 0, Teller.first_look),
            *self._won_back(),
            Step("go_ahead", 4, self._mark("go_ahead")),
            Step("visit_booked", 1, Teller.book_visit),
            Step("site_half", 4, Teller.measure),
            Step("site", 0, Teller.look_around),
            Step("design", 3, Teller.design),
            Step("single_line", 1, Teller.single_line),
            Step("contract_waits", 2, Teller.reviews),
            Step("financing_waits", 2, self._mark("contract_signed", "office")),
        ]
        if h.loan:
            plan.append(Step("financing_waits", 1, Teller.apply_for_loan))
            plan.append(Step("letter_waits", 5, Teller.lender_decides))
        if profile.structural_letter:
            plan.append(Step("permits_ready", 2, self._mark("structural_letter")))
        plan.append(Step("permits_ready", 1, Teller.set_price))
        plan += self._permit_steps(profile, exempt)
        if not off_grid:
            plan.append(Step("approval", 5, Teller.utility_approves))
        plan += [
            *([Step("approval", 2, Teller.propose_change)] if h.options & CHANGES.keys() else []),
            Step("equipment_ordered", 1, self._order()),
            Step("equipment_received", 8, self._mark("equipment_received")),
            Step("install_booked", 1, Teller.book_installation),
            Step("install_started", 5, self._mark("install_started", "crew")),
            Step("mounted", 1, self._mark("mounted", "crew")),
            Step("wired", 1, Teller.wire),
        ]
        if profile.rough_in_inspection:
            plan += [
                Step("rough_in", 1, partial(Teller.book, kind="rough_in")),
                Step("rough_in_passed", 3, Teller.passed),
            ]
        plan.append(Step("tested", 1, Teller.finish))
        if exempt:
            plan += [Step("off_grid_check", 1, Teller.handshake), Step("checked", 1, self._mark("final_check", "crew"))]
        else:
            plan.append(Step("final_booked", 1, partial(Teller.book, kind="final")))
            if "final_failed" in (h.until, *h.options):
                plan += [Step("final_failed", 3, Teller.final_fails), Step("refitted", 3, Teller.rebook)]
            plan.append(Step("final_passed", 3, Teller.passed))
        if not off_grid:
            plan += self._utility_steps()
        plan += [
            Step("on", 1, self._mark("switched_on", "crew")),
            Step("handover", 1, self._mark("handover")),
            Step("in_service", 2, Teller.register_warranties),
        ]
        return plan

    def _won_back(self) -> list[Step]:
        if "won_back" not in self.household.options:
            return []
        return [Step("first_look", 6, Teller.lose_for_now), Step("first_look", 24, Teller.win_back)]

    def _order(self) -> Callable[[Teller, date], object]:
        return Teller.waive_the_order if "from_store" in self.household.options else self._mark("equipment_ordered")

    def _permit_steps(self, profile, exempt: bool) -> list[Step]:
        if exempt:
            return [Step("exemption", 2, Teller.handshake), Step("exempted", 1, self._mark("permit_exemption"))]
        plan = [Step("permits", 2, Teller.submit_permits)]
        if "permit_void" in self.household.options:
            plan.append(Step("permits", 4, Teller.void_building_permit))
            plan.append(Step("permits", 1, Teller.apply_again))
        for option in ("electrical_corrections", "building_corrections", "both_corrections"):
            if option in self.household.options:
                plan.append(Step("permits", 6, partial(Teller.corrections, which=option)))
                if self.household.until != "permits":
                    plan.append(Step("resubmitted", 2, partial(Teller.answer_all, which=option)))
        if "design_changed" in self.household.options:
            plan.append(Step("permits", 3, Teller.change_design))
        return [*plan, Step("permits_issued", 8, Teller.issue_permits)]

    def _utility_steps(self) -> list[Step]:
        plan = [Step("meter_waits", 1, Teller.send_inspection)]
        if self.household.until == "utility_asked":
            plan = [Step("utility_asked", 2, Teller.utility_asks)]
        utility = self.cast["utilities"][self.cast["towns"][self.household.town]["utility"]]
        if utility.meter_swap:
            plan.append(Step("witness_waits", 8, Teller.meter))
        if utility.witness_test:
            plan.append(Step("permission_waits", 5, Teller.witness))
        plan += [Step("permission_waits", 0, Teller.handshake), Step("permission", 6, Teller.permission)]
        return plan

    # ---- telling it ----------------------------------------------------------------------------------------------

    def begin(self) -> Job:
        """The lead comes in: the first step alone, so that jobs are numbered in the order of the households."""
        index, day, step = self._dated()[0]
        with standing_at(self._moment(day, index)):
            step.tell(self, day)
        return self.job

    def go_on(self) -> Job:
        """Everything after the first step, so that the last one lies ``rested_days`` before today."""
        bounces = "mail_bounces" in self.household.options
        for index, day, step in self._dated()[1:]:
            self.books.catch_up(day - timedelta(days=1))
            with standing_at(self._moment(day, index)):
                step.tell(self, day)
                letters.post(self.job, bounces=bounces)
            self.books.after(step.key, day)
        self.books.catch_up(self.today)
        if self.household.until == "lost":
            end = self.today - timedelta(days=self.household.rested_days)
            with standing_at(self._moment(end + timedelta(days=9), 40)):
                lose(job=self.job, household=self.household, actor=self.office)
        if "install_planned" in self.household.options:
            self.set_day("installation", weekday(self.today + PLANNED_AHEAD))
        if self.household.until == "in_service":
            service.in_service(self)
        beside_the_route(job=self.job, household=self.household, actor=self.office, today=self.today)
        letters.post(self.job, bounces=bounces)
        return self.job

    def _dated(self) -> list[tuple[int, date, Step]]:
        plan = self.steps()
        until = self.household.until
        if until == "lost":
            until = "lead_decided" if "lost_silent" in self.household.options else "first_look"
        plan = plan[: max(i for i, step in enumerate(plan) if step.key == until) + 1]
        end = self.today - timedelta(days=self.household.rested_days)
        left = sum(step.days for step in plan)
        found = []
        for index, step in enumerate(plan):
            left -= step.days if index else 0
            # A stage takes a third longer on the calendar than in working days.
            day = end - timedelta(days=round(left * 1.4))
            if index < len(plan) - 1 or self.household.rested_days > 2:
                day = working_day(day)
            found.append((index, day, step))
        return found

    def _moment(self, day: date, index: int) -> datetime:
        """Later steps of one day come later in the day; today's moments lie before now."""
        moment = office_time(day, time(8, 5 + min(index, 50)))
        return min(moment, self.cast["now"] - timedelta(seconds=60 - index))

    def wanted(self) -> list[Wanted]:
        """The appointments that this story books."""
        h = self.household
        dated = [(APPOINTMENTS[step.key], day) for _, day, step in self._dated() if step.key in APPOINTMENTS]
        found = [Wanted(h.name, h.town, kind, weekday(day + AHEAD[kind])) for kind, day in dated]
        if "install_planned" in h.options:
            found.append(Wanted(h.name, h.town, "installation", weekday(self.today + PLANNED_AHEAD)))
        return found

    def _mark(self, key: str, who: str = "office") -> Callable[[Teller, date], object]:
        def tell(self: Teller, day: date) -> None:
            actor = self.crew if who == "crew" else self.office
            marks.record_mark(job=self.job, key=key, on=day, actor=actor)

        return tell
