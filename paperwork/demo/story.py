"""One household's job, told step by step through the same actions as the screens use."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import partial

from paperwork.demo import letters
from paperwork.demo.afterwards import beside_the_route, lose
from paperwork.demo.clock import office_time, standing_at, weekday, working_day
from paperwork.demo.households import Household
from paperwork.demo.pictures import photo
from paperwork.demo.turns import Wanted
from paperwork.issue import issue_paper
from projects.actions import (
    design,
    evidence,
    inspections,
    intake,
    interconnection,
    loads,
    marks,
    office,
    permits,
    scheduling,
    site,
    warranties,
)
from projects.actions.facts import facts_of
from projects.models import (
    BatteryModel,
    Inspection,
    InspectionCorrection,
    InverterModel,
    Job,
    ModuleModel,
    PlanComment,
    UtilityRequest,
)
from projects.route.requirements.interconnection import level
from projects.studies import appliance_library

APPOINTMENTS = {
    "visit_booked": "site_visit",
    "install_booked": "installation",
    "rough_in": "rough_in",
    "final_booked": "final",
    "refitted": "final",
}
"""Of the steps that book a day."""
AHEAD = {
    "site_visit": timedelta(days=4),
    "installation": timedelta(days=7),
    "rough_in": timedelta(days=3),
    "final": timedelta(days=3),
}
"""From the booking to its day."""
PLANNED_AHEAD = timedelta(days=19)
"""Of an installation whose permits are still under review."""


@dataclass(frozen=True)
class Step:
    key: str
    days: int
    """Calendar days after the step before."""
    tell: Callable[[Teller, date], object]


@dataclass
class Teller:
    """Walks one job. ``cast`` holds the office's people, licences, authorities, crews by name, and whose turn it is."""

    household: Household
    cast: dict
    today: date
    job: Job = field(init=False)

    # ---- the plan of the story -----------------------------------------------------------------------------------

    def steps(self) -> list[Step]:
        h, town = self.household, self.cast["towns"][self.household.town]
        profile = self.cast["jurisdictions"][town["jurisdiction"]]
        off_grid, exempt = h.kind == "off_grid", h.kind == "off_grid" and profile.off_grid_exempt
        plan = [
            Step("lead_new", 0, Teller.lead),
            Step("lead_decided", 0, Teller.decide),
            Step("first_look", 0, Teller.first_look),
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
            plan.append(Step("letter_waits", 5, self._mark("loan_approved")))
        if profile.structural_letter:
            plan.append(Step("permits_ready", 2, self._mark("structural_letter")))
        plan.append(Step("permits_ready", 1, Teller.set_price))
        plan += self._permit_steps(profile, exempt)
        if not off_grid:
            plan.append(Step("approval", 5, Teller.utility_approves))
        plan += [
            Step("equipment_ordered", 1, self._mark("equipment_ordered")),
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

    def _permit_steps(self, profile, exempt: bool) -> list[Step]:
        if exempt:
            return [Step("exemption", 2, Teller.handshake), Step("exempted", 1, self._mark("permit_exemption"))]
        plan = [Step("permits", 2, Teller.submit_permits)]
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
            with standing_at(self._moment(day, index)):
                step.tell(self, day)
                letters.post(self.job, bounces=bounces)
        if self.household.until == "lost":
            end = self.today - timedelta(days=self.household.rested_days)
            with standing_at(self._moment(end + timedelta(days=9), 40)):
                lose(job=self.job, actor=self.office)
        if "install_planned" in self.household.options:
            self.set_day("installation", weekday(self.today + PLANNED_AHEAD))
        beside_the_route(job=self.job, household=self.household, actor=self.office, today=self.today)
        return self.job

    def _dated(self) -> list[tuple[int, date, Step]]:
        plan = self.steps()
        until = "first_look" if self.household.until == "lost" else self.household.until
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

    @property
    def office(self):
        names = ("olive", "ben")
        return self.cast["people"][names[len(self.household.name) % 2]]

    @property
    def crew(self):
        names = ("casey", "ramon")
        return self.cast["people"][names[len(self.household.street) % 2]]

    def wanted(self) -> list[Wanted]:
        """The appointments that this story books."""
        h = self.household
        dated = [(APPOINTMENTS[step.key], day) for _, day, step in self._dated() if step.key in APPOINTMENTS]
        found = [Wanted(h.name, h.town, kind, weekday(day + AHEAD[kind])) for kind, day in dated]
        if "install_planned" in h.options:
            found.append(Wanted(h.name, h.town, "installation", weekday(self.today + PLANNED_AHEAD)))
        return found

    def _set_day(self, kind: str, day: date) -> None:
        """The office books ``kind`` on ``day``, for the crew whose turn it is."""
        self.set_day(kind, weekday(day + AHEAD[kind]))

    def set_day(self, kind: str, on: date) -> None:
        turn = self.cast["turns"][Wanted(self.household.name, self.household.town, kind, on)]
        scheduling.schedule(
            job=self.job,
            kind=kind,
            actor=self.office,
            on=on,
            crew=self.cast["crews"][turn.crew],
            starts_at=turn.starts_at,
            days=turn.days,
            despite=True,
        )

    def _mark(self, key: str, who: str = "office") -> Callable[[Teller, date], object]:
        def tell(self: Teller, day: date) -> None:
            actor = self.crew if who == "crew" else self.office
            marks.record_mark(job=self.job, key=key, on=day, actor=actor)

        return tell

    def handshake(self, day: date) -> None:
        """A day on which nothing is recorded: the story pauses here."""

    # ---- lead ----------------------------------------------------------------------------------------------------

    def lead(self, day: date) -> None:
        h, town = self.household, self.cast["towns"][self.household.town]
        from_web = h.source == "web"
        number = 100 + self.cast["count"]
        self.job = intake.receive_lead(
            actor=None if from_web else self.office,
            name=h.name,
            email=h.email,
            phone=f"(555) 014-{number:04d}",
            street=h.street,
            city=h.town,
            state="NC",
            zip_code=town["zip_code"],
            latitude_deg=town["latitude_deg"],
            longitude_deg=town["longitude_deg"],
            must_run=[_LIBRARY_KEYS[name] for name in h.must_run],
            goal=h.goal,
            yearly_kwh=h.yearly_kwh,
            wants_loan=h.loan,
            warranty_years_wanted=10,
            grid_available=h.kind != "off_grid",
            outage_days_wanted=h.outage_days,
            source=h.source,
            preferred_language=h.language,
        )
        office.set_authorities(
            job=self.job,
            actor=self.office,
            jurisdiction=self.cast["jurisdictions"][town["jurisdiction"]],
            utility=None if h.kind == "off_grid" else self.cast["utilities"][town["utility"]],
        )
        office.assign(job=self.job, person=self.office, actor=self.office)

    def decide(self, day: date) -> None:
        reason = "" if self.job.recommended_kind == self.household.kind else "The household asked for it after a talk."
        intake.decide_system_type(job=self.job, kind=self.household.kind, actor=self.office, reason=reason)

    def first_look(self, day: date) -> None:
        office.set_price(job=self.job, actor=self.office, price_usd=self.household.price_usd)
        design.preliminary_design(job=self.job, actor=self.office)
        design.run_study(job=self.job, actor=self.office)
        issue_paper(job=self.job, kind="first_look", actor=self.office)

    # ---- site assessment -----------------------------------------------------------------------------------------

    def book_visit(self, day: date) -> None:
        self._set_day("site_visit", day)

    def measure(self, day: date) -> None:
        big = self.household.inverter == "Avocet H11"
        site.record_service(
            job=self.job,
            actor=self.crew,
            rating_a=200,
            busbar_a=225 if big else 200,
            main_breaker_a=175 if big else 200,
            free_spaces=4,
            panel_note="Cover labeled, no double taps seen.",
        )
        site.save_roof_plane(job=self.job, actor=self.crew, **self.household.plane)

    def look_around(self, day: date) -> None:
        for obstruction in self.household.obstructions:
            site.save_obstruction(job=self.job, actor=self.crew, **obstruction)
        if not self.household.obstructions:
            site.record_no_obstructions(job=self.job, actor=self.crew)
        for kind in ("panel", "meter", "roof"):
            self._photo(kind)

    def _photo(self, kind: str) -> None:
        evidence.add_photo(
            job=self.job, actor=self.crew, kind=kind, upload=photo(kind, f"{kind}, job {self.job.label}")
        )

    # ---- engineering ---------------------------------------------------------------------------------------------

    def design(self, day: date) -> None:
        self._worksheet()
        self._save_design(self.household.modules)
        design.run_study(job=self.job, actor=self.office)

    def _worksheet(self) -> None:
        """The lead's wishes as lines; motors get a soft starter where the household runs a well pump or central air."""
        lines = []
        library = {item["key"]: item for item in appliance_library()}
        for name in self.household.must_run:
            line = dict(library[_LIBRARY_KEYS[name]])
            line = {key: value for key, value in line.items() if key not in ("key", "note", "source")}
            line["tier"] = "would_like" if line["kind"] == "central_air" else "must_run"
            line["soft_starter"] = line["kind"] in ("well_pump", "central_air")
            lines.append(line)
        loads.set_loads(job=self.job, actor=self.office, lines=lines)

    def _save_design(self, modules: int) -> None:
        h = self.household
        design.save_design(
            job=self.job,
            actor=self.office,
            module=ModuleModel.objects.get(name=h.module),
            inverter=InverterModel.objects.get(name=h.inverter),
            inverter_count=1,
            battery=BatteryModel.objects.get(name=h.battery) if h.battery else None,
            battery_count=h.batteries,
            plane_modules=[{"plane": h.plane["name"], "modules": modules}],
            strings=[],
        )

    def single_line(self, day: date) -> None:
        issue_paper(job=self.job, kind="single_line", actor=self.office)
        issue_paper(job=self.job, kind="checklist", actor=self.office)

    def reviews(self, day: date) -> None:
        for key in ("electrician_review", "contractor_review"):
            marks.record_mark(job=self.job, key=key, on=day, actor=self.office)

    def set_price(self, day: date) -> None:
        office.set_price(job=self.job, actor=self.office, price_usd=self.household.price_usd)

    # ---- permits -------------------------------------------------------------------------------------------------

    def _kinds(self) -> list[str]:
        profile = self.job.jurisdiction
        kinds = ["combined"] if profile.combined_permit else ["building", "electrical"]
        return [*kinds, "fire"] if profile.fire_review else kinds

    def _submit(self, kind: str, day: date) -> None:
        trade = "electrician" if kind == "electrical" else "contractor"
        profile = self.job.jurisdiction
        fee = profile.electrical_fee_usd if kind == "electrical" else profile.building_fee_usd
        permits.submit_permit(
            job=self.job,
            kind=kind,
            actor=self.office,
            on=day,
            how="online",
            licence=self.cast["licences"][trade],
            fee_usd=fee,
            number=f"{kind[0].upper()}-{day:%y}{self.job.number:04d}",
        )

    def submit_permits(self, day: date) -> None:
        for kind in self._kinds():
            self._submit(kind, day)
        if self.household.kind != "off_grid":
            interconnection.submit_application(
                job=self.job, actor=self.office, on=day, number=f"IA-{self.job.number:04d}"
            )

    COMMENTS = {
        "building": ["Show the attachment spacing on the roof plan.", "Name the roof covering and its age."],
        "electrical": ["Show the working clearance at the battery.", "Give the ampere rating of the main busbar."],
        "combined": ["Show the pathway to the ridge.", "Add the label sheet."],
    }

    def _corrected(self, which: str) -> list[str]:
        wanted = {"both_corrections": ("building", "electrical")}.get(which, (which.removesuffix("_corrections"),))
        kinds = self._kinds()
        return [kind if kind in kinds else "combined" for kind in wanted]

    def corrections(self, day: date, which: str) -> None:
        corrected = self._corrected(which)
        for kind in corrected:
            permits.record_corrections(job=self.job, kind=kind, actor=self.office, on=day, comments=self.COMMENTS[kind])
            first = PlanComment.objects.filter(submission__permit__job=self.job, answered_on=None).first()
            permits.answer_comment(comment=first, actor=self.office, answer="Added on sheet 2.", on=day)
        for kind in self._kinds():
            if kind not in corrected:
                self._issue(kind, day)

    def answer_all(self, day: date, which: str) -> None:
        for comment in PlanComment.objects.filter(submission__permit__job=self.job, answered_on=None):
            permits.answer_comment(comment=comment, actor=self.office, answer="Shown on the revised sheet.", on=day)
        for kind in self._corrected(which):
            self._submit(kind, day)

    def change_design(self, day: date) -> None:
        self._save_design(self.household.modules - 2)
        design.run_study(job=self.job, actor=self.office)

    def _issue(self, kind: str, day: date) -> None:
        permits.issue_permit(
            job=self.job,
            kind=kind,
            actor=self.office,
            on=day,
            number=f"{kind[0].upper()}-{day:%y}{self.job.number:04d}",
            expires_on=self.today + timedelta(days=5) if "permit_runs_out" in self.household.options else None,
        )

    def issue_permits(self, day: date) -> None:
        for kind in self._kinds():
            if not self.job.permits.filter(kind=kind, issued_on__isnull=False).exists():
                self._issue(kind, day)

    def utility_approves(self, day: date) -> None:
        if level(facts_of(self.job)) == 2:
            interconnection.pass_screens(job=self.job, actor=self.office, on=day)
        interconnection.approve_interconnection(job=self.job, actor=self.office, on=day)
        interconnection.sign_agreement(job=self.job, actor=self.office, on=day)

    # ---- the work ------------------------------------------------------------------------------------------------

    def book_installation(self, day: date) -> None:
        self._set_day("installation", day)

    def wire(self, day: date) -> None:
        marks.record_mark(job=self.job, key="wired", on=day, actor=self.crew)
        for kind in ("array", "inverter"):
            self._photo(kind)

    def finish(self, day: date) -> None:
        marks.record_mark(job=self.job, key="labels", on=day, actor=self.crew)
        for kind in ("labels", *(() if self.household.kind == "grid_tied" else ("battery",))):
            self._photo(kind)
        marks.record_mark(job=self.job, key="commissioning_tests", on=day, actor=self.crew)

    # ---- inspection ----------------------------------------------------------------------------------------------

    def book(self, day: date, kind: str) -> None:
        self._set_day(kind, day)

    def _booked(self) -> Inspection:
        return self.job.inspections.get(result="booked")

    def passed(self, day: date) -> None:
        inspections.record_inspection(
            inspection=self._booked(), actor=self.office, result="passed", on=day, inspector="R. Calloway"
        )

    def final_fails(self, day: date) -> None:
        inspections.record_inspection(
            inspection=self._booked(),
            actor=self.office,
            result="corrections",
            on=day,
            inspector="R. Calloway",
            corrections=["Label missing at the utility disconnect.", "Secure the conduit within 3 ft of the box."],
        )
        if "corrections_fixed" in self.household.options:
            self._fix(day)

    def _fix(self, day: date) -> None:
        for correction in InspectionCorrection.objects.filter(inspection__job=self.job, fixed_on=None):
            inspections.fix_correction(correction=correction, actor=self.crew, on=day, note="Done, photographed.")

    def rebook(self, day: date) -> None:
        self._fix(day)
        self.book(day, "final")

    # ---- the utility ---------------------------------------------------------------------------------------------

    def send_inspection(self, day: date) -> None:
        interconnection.send_inspection(job=self.job, actor=self.office, on=day)

    def utility_asks(self, day: date) -> None:
        self.send_inspection(day)
        interconnection.record_utility_request(
            job=self.job, actor=self.office, on=day, text="A photograph of the meter with the disconnect beside it."
        )

    def answer_utility(self, day: date) -> None:
        for request in UtilityRequest.objects.filter(interconnection__job=self.job, answered_on=None):
            interconnection.answer_utility_request(
                request=request, actor=self.office, on=day, answer="Photograph sent."
            )

    def meter(self, day: date) -> None:
        interconnection.set_meter(job=self.job, actor=self.office, on=day)

    def witness(self, day: date) -> None:
        interconnection.pass_witness_test(job=self.job, actor=self.office, on=day)

    def register_warranties(self, day: date) -> None:
        warranties.register_warranties(job=self.job, actor=self.office, on=day)

    def permission(self, day: date) -> None:
        interconnection.grant_permission(job=self.job, actor=self.office, on=day, number=f"PTO-{self.job.number:04d}")


_LIBRARY_KEYS = {
    "well_pump": "well_pump_half_hp",
    "central_air": "central_air_3_ton",
    "fridge": "fridge",
    "lights": "lights",
    "internet": "internet",
    "medical": "medical",
    "sump_pump": "sump_pump",
}
"""Words of the households' file to keys of the appliance library."""
