"""Putting a matter of the desk off until a day, with a reason."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.utils import timezone

from projects.actions import snoozing
from projects.models import Job
from projects.screens.office.forms_base import DayField, FactForm, reason_field


class SnoozeForm(FactForm):
    """The subject is the matter's key: a requirement's, or an expiry's."""

    fact = "put-off"
    button = "Put it off"

    until = DayField("Back on the desk on", ahead=True)
    reason = reason_field("Why it can wait")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["until"].initial = timezone.localdate() + timedelta(days=3)

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        return subject

    @property
    def title(self) -> str:
        return "Put it off"

    @property
    def lead(self) -> str:
        return "It leaves the desk until that day. Its due date stays as it is."

    @property
    def said(self) -> str:
        return f"Put off until {self.cleaned_data['until']:%-d %B}."

    def record(self) -> None:
        snoozing.snooze(job=self.job, key=self.subject, actor=self.person, **self.cleaned_data)
