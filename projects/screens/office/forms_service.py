"""Facts of a system in service: warranties, claims under them, visits, and what the customer reads."""

from __future__ import annotations

import calendar
import re
from typing import Any

from django import forms
from django.http import Http404

from projects.actions import claims, readings, service_visits, warranties
from projects.actions.roles import FIELD
from projects.actions.warranty_terms import LEAST_YEARS, MOST_YEARS, makers_terms, proposed_years, starts_on
from projects.models import Crew, Job, MeterReading, ServiceVisit, Warranty, WarrantyClaim
from projects.route.words import listed
from projects.screens.office.forms_base import NO_NAMES, DayField, FactForm, hour, own, words


class WarrantiesForm(FactForm):
    fact = "warranties"
    button = "Register"

    on = DayField("Registered on")
    workmanship_years = forms.IntegerField(
        label="Our workmanship (years)",
        min_value=LEAST_YEARS,
        max_value=MOST_YEARS,
        help_text="What the household wished, within what the office promises.",
    )
    note = words("Note", rows=2)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["workmanship_years"].initial = proposed_years(self.job)

    @property
    def title(self) -> str:
        return "Register the warranties in the customer's name"

    @property
    def lead(self) -> str:
        makers = [f"{term.covers} {term.years} years" for term in makers_terms(self.job)]
        start = starts_on(self.job)
        since = f" All run from {start:%-d %B %Y}, when the system was switched on." if start else ""
        return f"With the makers': {listed(makers)}.{since}" if makers else since.strip()

    @property
    def said(self) -> str:
        return "The warranties are registered."

    def record(self) -> None:
        warranties.register_warranties(job=self.job, actor=self.person, **self.cleaned_data)


class ClaimForm(FactForm):
    fact = "claim"
    button = "Take down the claim"

    warranty = forms.ModelChoiceField(
        label="Under which warranty",
        queryset=Warranty.objects.none(),
        empty_label="Choose the warranty",
        error_messages={"required": "Choose the warranty."},
    )
    on = DayField("Reported on")
    trouble = words("What is wrong", required=True)
    caution = (
        "If the customer smells burning, sees damage or water at the equipment, or a breaker trips again and again: "
        "ask them to keep away from it, and send a qualified person. In danger they call the fire department first."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["warranty"].queryset = Warranty.objects.filter(job=self.job)
        self.fields["warranty"].label_from_instance = lambda row: f"{row.covers}, until {row.ends_on:%-d %b %Y}"

    @property
    def title(self) -> str:
        return "A claim under a warranty"

    @property
    def said(self) -> str:
        return "The claim is taken down."

    def record(self) -> None:
        claims.report_claim(job=self.job, actor=self.person, **self.cleaned_data)


class SettleClaimForm(FactForm):
    fact = "claim-settled"
    button = "Settle it"

    outcome = forms.ChoiceField(
        label="How it ended",
        choices=WarrantyClaim.Outcome.choices,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose how it ended."},
    )
    on = DayField("Settled on")
    note = words("What was done, or why nothing was", required=True)

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        return own(WarrantyClaim.objects.filter(job=job, settled_on=None).select_related("job"), subject)

    @property
    def title(self) -> str:
        return f"Settle the claim: {self.subject.covers}"

    @property
    def lead(self) -> str:
        return f"“{self.subject.trouble}”"

    @property
    def said(self) -> str:
        return "The claim is settled."

    def record(self) -> None:
        claims.settle_claim(claim=self.subject, actor=self.person, **self.cleaned_data)


class _VisitDay(FactForm):
    """Which day, who goes and when. What speaks against it can be overruled once it has been read."""

    on = DayField("Day of the visit", ahead=True)
    crew = forms.ModelChoiceField(Crew.objects.none(), required=False, empty_label="Nobody yet")
    starts_at = hour()
    despite = forms.BooleanField(label="Go on in spite of what speaks against it", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["crew"].queryset = Crew.objects.filter(active=True)
        self.order_fields(["on", "crew", "starts_at", "purpose", "reason", "despite"])
        if not self.is_bound:
            del self.fields["despite"]


class PlanVisitForm(_VisitDay):
    """The subject is the claim that it looks at; without one it is a look that somebody wants to be reminded of."""

    fact = "service-visit"
    button = "Plan the visit"

    purpose = forms.CharField(label="What for", max_length=160, required=False)

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        return own(WarrantyClaim.objects.filter(job=job, settled_on=None), subject) if subject else None

    @property
    def title(self) -> str:
        return f"Plan a visit: {self.subject.covers}" if self.subject else "Plan a service visit"

    @property
    def lead(self) -> str:
        return "" if self.subject else "It becomes a next step two weeks before its day."

    @property
    def said(self) -> str:
        return f"A visit is planned for {self.cleaned_data['on']:%-d %B %Y}."

    def record(self) -> None:
        service_visits.plan_service_visit(
            job=self.job, actor=self.person, claim=self.subject or None, **self.cleaned_data
        )


class MoveVisitForm(_VisitDay):
    fact = "service-visit-moved"
    button = "Move the visit"

    reason = words("Why it moves", rows=2, most=500, help_text=NO_NAMES)

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        rows = ServiceVisit.objects.filter(job=job, done_on=None, cancelled_on=None)
        return own(rows.select_related("job", "claim", "crew"), subject)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        visit = self.subject
        self.initial |= {"on": visit.planned_for, "crew": visit.crew_id, "starts_at": visit.starts_at}

    @property
    def title(self) -> str:
        return f"Another day or crew for the visit of {self.subject.planned_for:%-d %B %Y}"

    @property
    def lead(self) -> str:
        return f"{self.subject.about[:1].upper()}{self.subject.about[1:]}"

    @property
    def said(self) -> str:
        return f"The visit is set for {self.cleaned_data['on']:%-d %B %Y}."

    def record(self) -> None:
        service_visits.move_service_visit(visit=self.subject, actor=self.person, **self.cleaned_data)


class VisitMadeForm(FactForm):
    fact = "service-visit-made"
    roles = FIELD
    button = "Record the visit"
    caution = (
        "Only a qualified person opens the equipment: modules in light are live, and a battery system holds its "
        "voltage when it is off. Follow each maker's instructions and lock out before touching."
    )

    on = DayField("Made on")
    found = words("What was found and done", required=True)

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        rows = ServiceVisit.objects.filter(job=job, done_on=None, cancelled_on=None)
        return own(rows.select_related("job", "claim"), subject)

    @property
    def title(self) -> str:
        return "The service visit is made"

    @property
    def said(self) -> str:
        return "The visit is recorded."

    def record(self) -> None:
        service_visits.record_service_visit(visit=self.subject, actor=self.person, **self.cleaned_data)


class CancelVisitForm(FactForm):
    fact = "service-visit-cancelled"
    button = "Cancel the visit"

    find = VisitMadeForm.find

    @property
    def title(self) -> str:
        return f"Cancel the visit of {self.subject.planned_for:%-d %B %Y}"

    @property
    def said(self) -> str:
        return "The visit is cancelled."

    def record(self) -> None:
        service_visits.cancel_service_visit(visit=self.subject, actor=self.person)


class ReadingForm(FactForm):
    """The subject is the month, "2026-11"."""

    fact = "reading"
    button = "Keep the reading"

    produced_kwh = forms.DecimalField(
        label="Produced in that month (kWh)",
        min_value=0,
        max_digits=7,
        decimal_places=1,
        help_text="As the inverter or the production meter shows it.",
    )

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        found = re.fullmatch(r"(\d{4})-(\d{1,2})", subject)
        if not found or not 1 <= int(found[2]) <= 12:
            raise Http404
        return int(found[1]), int(found[2])

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = MeterReading.objects.filter(job=self.job, year=self.subject[0], month=self.subject[1]).first()
        self.fields["produced_kwh"].initial = known.produced_kwh if known else None

    @property
    def month(self) -> str:
        return f"{calendar.month_name[self.subject[1]]} {self.subject[0]}"

    @property
    def title(self) -> str:
        return f"Production of {self.month}"

    @property
    def said(self) -> str:
        return f"{self.month}: {self.cleaned_data['produced_kwh']:g} kWh."

    def record(self) -> None:
        year, month = self.subject
        readings.enter_reading(job=self.job, actor=self.person, year=year, month=month, **self.cleaned_data)
