"""Facts of the route itself: marks, waivers, the dates of visit and installation."""

from __future__ import annotations

from typing import Any

from django.http import Http404

from projects.actions import installing, marks, site, waivers
from projects.actions.facts import facts_of
from projects.actions.roles import FIELD, OWNER
from projects.models import Job, Person
from projects.route.marks import MARKS, MarkRule
from projects.route.standing import standing
from projects.route.words import within_sentence
from projects.screens.office.forms_base import DayField, FactForm, reason_field, words


class MarkForm(FactForm):
    """A plain fact ("the contract was signed on the 4th"); the subject is its key."""

    fact = "mark"
    roles = FIELD

    on = DayField("On which day")
    note = words("Note", rows=2)

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        if subject not in MARKS:
            raise Http404
        return subject

    @classmethod
    def allows(cls, person: Person, subject: Any) -> bool:
        return person.role in MARKS[subject].roles

    @property
    def rule(self) -> MarkRule:
        return MARKS[self.subject]

    @property
    def caution(self) -> str:  # type: ignore[override]
        return self.rule.caution

    @property
    def title(self) -> str:
        return self.rule.sentence

    @property
    def said(self) -> str:
        return f"{self.rule.sentence}."

    def record(self) -> None:
        marks.record_mark(job=self.job, key=self.subject, actor=self.person, **self.cleaned_data)


class WithdrawMarkForm(FactForm):
    fact = "withdraw"
    roles = FIELD
    button = "Withdraw"

    reason = reason_field("Why it isn't so")

    find = MarkForm.find
    allows = MarkForm.allows

    @property
    def title(self) -> str:
        return f"Withdraw: {within_sentence(MARKS[self.subject].sentence)}"

    @property
    def lead(self) -> str:
        return "The record stays in the journal with your reason; the step opens again."

    @property
    def said(self) -> str:
        return "Withdrawn; the step is open again."

    def record(self) -> None:
        marks.withdraw_mark(job=self.job, key=self.subject, actor=self.person, **self.cleaned_data)


class WaiveForm(FactForm):
    """The owner's decision to go on without a requirement. Holds that protect people have no such form."""

    fact = "waive"
    roles = OWNER
    button = "Waive it"

    reason = reason_field("Why the job may go on without it")

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        for requirement in standing(facts_of(job)).requirements:
            if requirement.key == subject and requirement.waivable:
                return requirement
        raise Http404

    @property
    def title(self) -> str:
        return f"Go on without: {within_sentence(self.subject.sentence)}"

    @property
    def said(self) -> str:
        return f"Waived: {within_sentence(self.subject.sentence)}."

    def record(self) -> None:
        waivers.waive(job=self.job, key=self.subject.key, actor=self.person, **self.cleaned_data)


class WithdrawWaiverForm(FactForm):
    fact = "withdraw-waiver"
    roles = OWNER
    button = "Ask for it again"

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        for requirement in standing(facts_of(job)).requirements:
            if requirement.key == subject and requirement.state == "waived":
                return requirement
        raise Http404

    @property
    def title(self) -> str:
        return f"Withdraw the waiver: {within_sentence(self.subject.sentence)}"

    @property
    def said(self) -> str:
        return f"No longer waived: {within_sentence(self.subject.sentence)}."

    def record(self) -> None:
        waivers.withdraw_waiver(job=self.job, key=self.subject.key, actor=self.person)


class BookVisitForm(FactForm):
    fact = "visit"
    button = "Book the visit"

    on = DayField("Day of the visit", ahead=True)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].initial = self.job.visit_on

    @property
    def title(self) -> str:
        return "Change the day of the site visit" if self.job.visit_on else "Book the site visit"

    @property
    def said(self) -> str:
        return f"The site visit is booked for {self.cleaned_data['on']:%-d %B}."

    def record(self) -> None:
        site.book_visit(job=self.job, actor=self.person, **self.cleaned_data)


class BookInstallationForm(FactForm):
    fact = "installation"
    button = "Book the installation"

    on = DayField("First day of the installation", ahead=True)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].initial = self.job.install_on

    @property
    def title(self) -> str:
        return "Change the day of the installation" if self.job.install_on else "Book the installation"

    @property
    def said(self) -> str:
        return f"The installation is booked for {self.cleaned_data['on']:%-d %B}."

    def record(self) -> None:
        installing.book_installation(job=self.job, actor=self.person, **self.cleaned_data)
