"""From the permits to the system in service."""

from __future__ import annotations

from datetime import date, timedelta

from paperwork.demo.chapters_design import BeforeThePermits
from projects.actions import design, inspections, interconnection, marks, permits, warranties
from projects.actions.facts import facts_of
from projects.models import Inspection, InspectionCorrection, PlanComment, UtilityRequest
from projects.route.requirements.interconnection import level


class FromThePermits(BeforeThePermits):
    # ---- permits -------------------------------------------------------------------------------------------------

    def _kinds(self) -> list[str]:
        profile = self.job.jurisdiction
        kinds = ["combined"] if profile.combined_permit else ["building", "electrical"]
        return [*kinds, "fire"] if profile.fire_review else kinds

    def _submit(self, kind: str, day: date, again: str = "") -> None:
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
            number=f"{kind[0].upper()}-{day:%y}{self.job.number:04d}{again}",
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
