"""From the lead to the signed contract."""

from __future__ import annotations

from datetime import date

from paperwork.demo.telling import Telling
from paperwork.demo.terms import own_parts, schedule
from paperwork.issue import issue_paper
from projects.actions import design, fire_access, intake, loads, marks, office, payment_terms, site
from projects.models import BatteryModel, InverterModel, ModuleModel
from projects.studies import appliance_library


class BeforeThePermits(Telling):
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
        own = BatteryModel.objects.filter(name=self.household.battery, coupling=BatteryModel.Coupling.AC).exists()
        big = self.household.inverter == "Avocet H11" or own  # two sources ask more of a busbar
        site.record_service(
            job=self.job,
            actor=self.crew,
            rating_a=200,
            busbar_a=225 if big else 200,
            main_breaker_a=175 if big else 200,
            free_spaces=4,
            panel_note="Cover labeled, no double taps seen.",
        )
        for plane in self.household.planes:
            site.save_roof_plane(job=self.job, actor=self.crew, **plane)

    def look_around(self, day: date) -> None:
        for obstruction in self.household.obstructions:
            site.save_obstruction(job=self.job, actor=self.crew, **obstruction)
        if not self.household.obstructions:
            site.record_no_obstructions(job=self.job, actor=self.crew)
        if "sprinklers" in self.household.options:
            fire_access.record_fire_access(job=self.job, actor=self.crew, sprinklered=True, roof_plan_area_m2=185.0)
        for kind in ("panel", "meter", "roof"):
            self._photo(kind)

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
            storage=h.storage,
            plane_modules=[{"plane": h.planes[0]["name"], "modules": modules}],
            strings=[],
        )

    def single_line(self, day: date) -> None:
        issue_paper(job=self.job, kind="single_line", actor=self.office)
        issue_paper(job=self.job, kind="checklist", actor=self.office)

    def reviews(self, day: date) -> None:
        for key in ("electrician_review", "contractor_review"):
            marks.record_mark(job=self.job, key=key, on=day, actor=self.office)
        if own := own_parts(self.household):
            parts = schedule(self.cast["terms"][own])
            payment_terms.set_schedule(job=self.job, actor=self.office, lines=parts)

    def set_price(self, day: date) -> None:
        office.set_price(job=self.job, actor=self.office, price_usd=self.household.price_usd)


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
