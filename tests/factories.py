"""Rows for tests, and ``job_at``: a job driven to a stage through the same actions as the screens use.

Facts are dated backwards from today, so that nothing lies in the future and everything is in order.
"""

from __future__ import annotations

import io
from contextlib import nullcontext
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from typing import Any
from unittest.mock import MagicMock, patch

import factory
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from projects import studies
from projects.actions import (
    design,
    evidence,
    inspections,
    installing,
    intake,
    interconnection,
    loads,
    marks,
    office,
    papers,
    permits,
    site,
)
from projects.actions.standing import refresh
from projects.models import (
    BatteryModel,
    GeneratorModel,
    InverterModel,
    Job,
    Jurisdiction,
    Licence,
    ModuleModel,
    Person,
    Role,
    Utility,
)
from projects.route.stages import STAGE_KEYS

STARTED_DAYS_AGO = 120
PLACE = {"city": "Marrow Bay", "state": "NC", "zip_code": "28557", "latitude_deg": 34.86, "longitude_deg": -76.78}


class PersonFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Person

    username = factory.Sequence(lambda n: f"person{n}")
    first_name = "Ada"
    last_name = factory.Sequence(lambda n: f"Quill{n}")
    role = Role.OFFICE


class LicenceFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Licence

    holder = factory.SubFactory(PersonFactory, role=Role.LICENCE_HOLDER)
    trade = Licence.Trade.CONTRACTOR
    number = factory.Sequence(lambda n: f"L-{n}")
    state = "NC"
    expires_on = factory.LazyFunction(lambda: timezone.localdate() + timedelta(days=400))


class JurisdictionFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Jurisdiction

    name = factory.Sequence(lambda n: f"Borough {n}")
    state = "NC"
    record_low_c = -11.0
    high_2pct_c = 33.0


class UtilityFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Utility

    name = factory.Sequence(lambda n: f"Shoal Power {n}")


class ModuleFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ModuleModel
        django_get_or_create = ("name",)

    name = "Wader 400"
    price_usd = Decimal("170")
    power_w = 400.0
    voc_v = 37.1
    isc_a = 13.75
    vmp_v = 31.0
    imp_a = 12.91
    temp_coeff_pmax_pct_per_c = -0.35
    temp_coeff_voc_pct_per_c = -0.27
    length_m = 1.722
    width_m = 1.134


class InverterFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = InverterModel
        django_get_or_create = ("name",)

    name = "Knot H8"
    kind = InverterModel.Kind.HYBRID
    price_usd = Decimal("3300")
    ac_power_w = 7600.0
    max_dc_voltage_v = 600.0
    mppt_min_v = 80.0
    mppt_max_v = 500.0
    mppt_inputs = 2
    max_input_current_a = 16.0
    max_short_circuit_a = 22.0
    efficiency = 0.968
    backup_power_w = 7600.0
    surge_w = 13500.0
    standby_w = 45.0


class BatteryFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = BatteryModel
        django_get_or_create = ("name",)

    name = "Turnstone 13"
    price_usd = Decimal("6700")
    usable_kwh = 13.5
    max_charge_kw = 6.0
    max_discharge_kw = 7.0
    round_trip_efficiency = 0.92


class GeneratorFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = GeneratorModel
        django_get_or_create = ("name",)

    name = "Bellows 8"
    power_w = 8000.0


INVERTERS = {
    "grid_tied": {"name": "Knot G6", "kind": "grid_tied", "ac_power_w": 6000.0, "backup_power_w": 0.0, "surge_w": 0.0},
    "hybrid": {"name": "Knot H8", "kind": "hybrid"},
    "off_grid": {"name": "Knot S8", "kind": "off_grid"},
}


def office_person() -> Person:
    return Person.objects.filter(role=Role.OFFICE, is_active=True).first() or PersonFactory(role=Role.OFFICE)


def crew_person() -> Person:
    return Person.objects.filter(role=Role.CREW, is_active=True).first() or PersonFactory(role=Role.CREW)


def owner_person() -> Person:
    return Person.objects.filter(role=Role.OWNER, is_active=True).first() or PersonFactory(role=Role.OWNER)


def licence(trade: str) -> Licence:
    return Licence.objects.filter(trade=trade, state="NC").first() or LicenceFactory(trade=trade)


def catalogue(kind: str) -> dict[str, Any]:
    """Module, inverter and what else a design of this kind takes."""
    parts: dict[str, Any] = {"module": ModuleFactory(), "inverter": InverterFactory(**INVERTERS[kind])}
    if kind != "grid_tied":
        parts.update(battery=BatteryFactory(), battery_count=2)
    if kind == "off_grid":
        parts.update(generator=GeneratorFactory())
    return parts


@cache
def _photo_bytes(number: int) -> bytes:
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (64, 48), (number * 40 % 256, number * 90 % 256, 90)).save(out, "JPEG")
    return out.getvalue()


def photo(number: int = 1) -> SimpleUploadedFile:
    """A small real JPEG; another number is another picture."""
    return SimpleUploadedFile("photo.jpg", _photo_bytes(number), content_type="image/jpeg")


def lead(kind: str = "hybrid", *, days_ago: int = STARTED_DAYS_AGO, **changes: Any) -> Job:
    """A lead as it came in ``days_ago``, with its authorities."""
    answers = {
        "actor": office_person(),
        "name": "Nell Harrow",
        "email": "nell.harrow@mail.example",
        "phone": "(252) 555-0117",
        "street": "12 Spartina Lane",
        **PLACE,
        "must_run": ["fridge", "lights", "well_pump_half_hp"],
        "goal": "payback" if kind == "grid_tied" else "backup",
        "yearly_kwh": 9600.0,
        "grid_available": kind != "off_grid",
        "outage_days_wanted": 1 if kind == "grid_tied" else 2,
        "received_at": timezone.now() - timedelta(days=days_ago),
    }
    authorities = {"jurisdiction": changes.pop("jurisdiction", None), "utility": changes.pop("utility", None)}
    job = intake.receive_lead(**{**answers, **changes})
    office.set_authorities(
        job=job,
        actor=office_person(),
        jurisdiction=authorities["jurisdiction"] or JurisdictionFactory(),
        utility=authorities["utility"] or (None if kind == "off_grid" else UtilityFactory()),
    )
    return job


def job_at(
    stage: str, kind: str = "hybrid", *, real_study: bool = False, step_by_step: bool = False, **changes: Any
) -> Job:
    """A job whose standing is at ``stage`` (a stage key, or "done"), nothing of that stage done yet.

    ``changes`` go to the lead (``jurisdiction`` and ``utility`` too). ``real_study`` runs sizing on this very job;
    otherwise each kind of system is studied once and its result used again. The cached standing, which no action
    reads, is written once at the end, or after every action where told ``step_by_step``; only then the customer is
    written to on the way.
    """
    unheard = {"refresh": MagicMock(), "outbox": MagicMock()}
    with nullcontext() if step_by_step else patch.multiple("projects.actions.recording", **unheard):
        telling = Story(lead(kind, **changes), kind, real_study)
        for reached in (*STAGE_KEYS, "done"):
            if reached == stage:
                break
            getattr(telling, reached)()
    telling.job.refresh_from_db()
    refresh(telling.job)
    return telling.job


class Story:
    """Each method completes one stage; ``day`` moves on with every fact."""

    def __init__(self, job: Job, kind: str, real_study: bool = False) -> None:
        self.job, self.kind, self.real_study = job, kind, real_study
        self.day: date = timezone.localdate(job.received_at)
        self.office, self.crew = office_person(), crew_person()

    def next_day(self, days: int = 1) -> date:
        self.day = min(self.day + timedelta(days=days), timezone.localdate())
        return self.day

    def mark(self, key: str, actor: Person | None = None) -> None:
        marks.record_mark(job=self.job, key=key, on=self.next_day(), actor=actor or self.office)

    def paper(self, kind: str) -> None:
        current = self.job.designs.order_by("-revision").first()
        papers.record_paper_issued(
            job=self.job,
            actor=self.office,
            kind=kind,
            on=self.day,
            number=f"{self.job.label}-{kind}-{self.job.paper_issues.count() + 1}",
            design_fingerprint=current.fingerprint if current else "",
        )

    def study(self) -> None:
        run_study(self.job, self.office, real=self.real_study, on=self.day)

    def lead(self) -> None:
        reason = "" if self.job.recommended_kind == self.kind else "They asked for it."
        intake.decide_system_type(job=self.job, kind=self.kind, actor=self.office, reason=reason)
        self.paper("first_look")
        self.mark("go_ahead")

    def site_assessment(self) -> None:
        site.book_visit(job=self.job, actor=self.office, on=self.next_day(2))
        site.record_service(
            job=self.job, actor=self.crew, rating_a=200, busbar_a=225, main_breaker_a=200, free_spaces=6, on=self.day
        )
        site.save_roof_plane(
            job=self.job,
            actor=self.crew,
            name="South roof",
            tilt_deg=25.0,
            azimuth_deg=180.0,
            width_m=12.0,
            slope_length_m=5.6,
            on=self.day,
        )
        site.record_no_obstructions(job=self.job, actor=self.crew, on=self.day)
        for number, kind in enumerate(("panel", "meter", "roof")):
            evidence.add_photo(job=self.job, actor=self.crew, kind=kind, upload=photo(number))

    def engineering(self) -> None:
        library = {entry["key"]: entry for entry in studies.appliance_library()}
        lines = [
            {name: value for name, value in library[key].items() if name not in ("key", "source", "note")}
            for key in ("fridge", "lights", "internet")
        ]
        loads.set_loads(job=self.job, actor=self.office, lines=lines)
        design.save_design(
            job=self.job,
            actor=self.office,
            on=self.next_day(),
            plane_modules=[{"plane": "South roof", "modules": 16}],
            **catalogue(self.kind),
        )
        self.study()
        self.paper("single_line")
        self.mark("electrician_review")
        self.mark("contractor_review")
        if self.job.jurisdiction.structural_letter:
            self.mark("structural_letter")
        self.mark("contract_signed")
        if self.job.answers.wants_loan:
            self.mark("loan_approved")

    def submit(self, kind: str) -> None:
        trade = "electrician" if kind == "electrical" else "contractor"
        permits.submit_permit(
            job=self.job, kind=kind, actor=self.office, on=self.next_day(), how="online", licence=licence(trade)
        )

    def permits(self) -> None:
        profile = self.job.jurisdiction
        if self.kind == "off_grid" and profile.off_grid_exempt:
            self.mark("permit_exemption")
        else:
            kinds = ["combined"] if profile.combined_permit else ["building", "electrical"]
            for kind in [*kinds, "fire"] if profile.fire_review else kinds:
                self.submit(kind)
                permits.issue_permit(
                    job=self.job, kind=kind, actor=self.office, on=self.next_day(3), number=f"{kind}-{self.job.number}"
                )

    def installation(self) -> None:
        self.mark("equipment_ordered")
        self.mark("equipment_received")
        installing.book_installation(job=self.job, actor=self.office, on=self.next_day(3))
        for key in ("install_started", "mounted", "wired", "labels"):
            self.mark(key, self.crew)
        if self.job.jurisdiction.rough_in_inspection and not self.exempt:
            self.inspection_of("rough_in")
        kinds = ("array", "inverter", "labels", *(() if self.kind == "grid_tied" else ("battery",)))
        for number, kind in enumerate(kinds, start=10):
            evidence.add_photo(job=self.job, actor=self.crew, kind=kind, upload=photo(number))
        self.mark("commissioning_tests", self.crew)

    @property
    def exempt(self) -> bool:
        return self.kind == "off_grid" and self.job.jurisdiction.off_grid_exempt

    def inspection_of(self, kind: str) -> None:
        booked = inspections.book_inspection(job=self.job, kind=kind, actor=self.office, on=self.next_day())
        inspections.record_inspection(inspection=booked, actor=self.office, result="passed", on=self.day)
        self.job.refresh_from_db()

    def inspection(self) -> None:
        if self.exempt:
            self.mark("final_check", self.crew)
        else:
            self.inspection_of("final")

    def interconnection(self) -> None:
        if self.kind == "off_grid":
            return
        told = {"job": self.job, "actor": self.office}
        interconnection.submit_application(**told, on=self.next_day())
        interconnection.approve_interconnection(**told, on=self.next_day())
        interconnection.sign_agreement(**told, on=self.next_day())
        interconnection.send_inspection(**told, on=self.next_day())
        if self.job.utility.meter_swap:
            interconnection.set_meter(**told, on=self.next_day())
        if self.job.utility.witness_test:
            interconnection.pass_witness_test(**told, on=self.next_day())

    def operation(self) -> None:
        if self.kind != "off_grid":
            interconnection.grant_permission(job=self.job, actor=self.office, on=self.next_day())
        self.mark("switched_on", self.crew)
        self.mark("handover")

    def in_service(self) -> None:
        self.mark("warranty_registered")


_STUDIED: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {}


def run_study(job: Job, actor: Person, *, real: bool = False, on: date | None = None) -> Any:
    """A study of the job's design. Not ``real``: the result of the first job of its kind that asked."""
    if real:
        return design.run_study(job=job, actor=actor, on=on)
    computed = studies.run

    def once(request: Any, progress: Any = None) -> tuple[dict[str, Any], dict[str, Any]]:
        if job.system_kind not in _STUDIED:
            _STUDIED[job.system_kind] = computed(request, progress)
        return _STUDIED[job.system_kind]

    with patch("projects.studies.run", once):
        return design.run_study(job=job, actor=actor, on=on)
