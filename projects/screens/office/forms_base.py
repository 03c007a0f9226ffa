"""What every form that records a fact has in common.

A form class *is* the fact's declaration: its address, who may record it, what it is about, its words and the action it
calls. ``facts.FACTS`` lists them all; one view (``facts.record``) serves them.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, ClassVar

from django import forms
from django.http import Http404
from django.utils import timezone

from projects.actions.roles import OFFICE
from projects.models import Job, Person
from projects.screens.plain_form import PlainForm
from projects.screens.widgets import DateInput

EARLIEST_YEAR = 1950
YEARS_AHEAD = 60
NO_NAMES = "No names of people, please: the journal keeps this for good."


class DayField(forms.DateField):
    """A day, today unless typed otherwise; ``ahead``: a booking. The action has the last word on what it accepts."""

    def __init__(self, label: str = "On", *, ahead: bool = False, **kwargs: Any) -> None:
        kwargs.setdefault("error_messages", {"invalid": "Write a day that exists, such as 2026-11-20."})
        kwargs["error_messages"].setdefault("required", "Say on which day.")
        if not ahead:
            kwargs.setdefault("initial", timezone.localdate)
        super().__init__(label=label, widget=DateInput(), input_formats=["%Y-%m-%d", "%m/%d/%Y"], **kwargs)
        self.ahead = ahead

    def validate(self, value: Any) -> None:
        """A year that was only half typed (0002) is no day that anybody means, nor is one beyond all plans."""
        super().validate(value)
        latest = timezone.localdate().year + YEARS_AHEAD
        if value and not EARLIEST_YEAR <= value.year <= latest:
            raise forms.ValidationError(f"Look at the year: between {EARLIEST_YEAR} and {latest}.")


def hour() -> forms.TimeField:
    """At what time of the day, where that is settled."""
    return forms.TimeField(
        label="Starts at",
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={"invalid": "Write a time such as 09:30."},
        help_text="Empty: some time that day.",
    )


class LinesField(forms.CharField):
    """Several remarks, one to a line, as a list."""

    widget = forms.Textarea

    def clean(self, value: Any) -> Any:
        return [line.strip() for line in super().clean(value).splitlines() if line.strip()]


def words(
    label: str, *, required: bool = False, rows: int = 3, most: int = 2000, help_text: str = ""
) -> forms.CharField:
    return forms.CharField(
        label=label,
        required=required,
        max_length=most,
        widget=forms.Textarea(attrs={"rows": rows}),
        help_text=help_text,
        error_messages={"required": "Write a few words."},
    )


def reason_field(label: str, *, help_text: str = NO_NAMES, rows: int = 2) -> forms.CharField:
    """A reason that the journal keeps for good: it can't be taken out again, so no personal data belongs in it."""
    return words(label, required=True, rows=rows, help_text=help_text)


class FactForm(PlainForm):
    fact: ClassVar[str]
    """Its address: jobs/147/record/<fact>/."""
    roles: ClassVar[Collection[str]] = OFFICE
    button: ClassVar[str] = "Record"
    wide: ClassVar[Collection[str]] = ()
    """Fields that take the form's whole width."""
    threes: ClassVar[bool] = False
    """Three fields make one row of what is asked."""
    writes_over: ClassVar[bool] = False
    """Shows what stands in the book and writes over it: whoever sends second is told what was changed meanwhile."""
    caution: str = ""

    def __init__(self, job: Job, person: Person, subject: Any, *args: Any, **kwargs: Any) -> None:
        self.job, self.person, self.subject = job, person, subject
        super().__init__(*args, label_suffix="", **kwargs)
        today = timezone.localdate().isoformat()
        for field in self.fields.values():
            if isinstance(field, DayField):
                field.widget.attrs.update({} if field.ahead else {"max": today})

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        """What the fact is about, from the address; 404 where this job has no such thing."""
        if subject:
            raise Http404
        return None

    @classmethod
    def allows(cls, person: Person, subject: Any) -> bool:
        return person.role in cls.roles

    @property
    def title(self) -> str:
        raise NotImplementedError

    @property
    def lead(self) -> str:
        """A sentence under the title, where it helps."""
        return ""

    @property
    def said(self) -> str:
        """What has become true, once it is recorded: a whole sentence."""
        raise NotImplementedError

    def record(self) -> Any:
        """Calls the action. Raises Problems with every reason why not."""
        raise NotImplementedError


def own(rows: Any, subject: str) -> Any:
    """The row of this job with that id; another job's row is as unknown as one that never was."""
    found = rows.filter(pk=int(subject)).first() if subject.isdecimal() and len(subject) < 18 else None
    if found is None:
        raise Http404
    return found
