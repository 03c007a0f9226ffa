"""A job rests, rests longer, goes on; and two jobs that stand at the same site."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django import forms
from django.utils import timezone

from projects.actions import pausing, sharing_site
from projects.models import Job, Pause
from projects.screens.office.forms_base import DayField, FactForm, reason_field

USUAL_DAYS = 14


class PauseForm(FactForm):
    fact = "paused"
    button = "Pause the job"

    cause = forms.ChoiceField(
        label="Why it rests",
        choices=[(cause, Pause.Cause(cause).label) for cause in pausing.CHOSEN],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose why it rests."},
    )
    reason = reason_field("What happened")
    look_again_on = DayField("Look at it again on", ahead=True)
    on = DayField("Rests since")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["look_again_on"].initial = timezone.localdate() + timedelta(days=USUAL_DAYS)

    @property
    def title(self) -> str:
        return "Pause the job"

    @property
    def lead(self) -> str:
        return (
            "Our own clocks stand still and the job leaves the desk until that day. What a jurisdiction or the utility "
            "has in hand goes on, and so do expiry dates."
        )

    @property
    def said(self) -> str:
        return f"The job is paused until {self.cleaned_data['look_again_on']:%-d %B %Y}."

    def record(self) -> None:
        pausing.pause_job(job=self.job, actor=self.person, **self.cleaned_data)


class RestLongerForm(FactForm):
    fact = "pause-moved"
    button = "Let it rest"

    look_again_on = DayField("Look at it again on", ahead=True)
    reason = reason_field("Why it rests on")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["look_again_on"].initial = timezone.localdate() + timedelta(days=USUAL_DAYS)

    @property
    def title(self) -> str:
        return "Let the job rest longer"

    @property
    def said(self) -> str:
        return f"The job rests until {self.cleaned_data['look_again_on']:%-d %B %Y}."

    def record(self) -> None:
        pausing.look_again_later(job=self.job, actor=self.person, **self.cleaned_data)


class ResumeForm(FactForm):
    fact = "resumed"
    button = "Go on"

    on = DayField("Goes on since")

    @property
    def title(self) -> str:
        return "The job goes on"

    @property
    def lead(self) -> str:
        return "Our due dates move back by the days it rested."

    @property
    def said(self) -> str:
        return "The job goes on."

    def record(self) -> None:
        pausing.resume_job(job=self.job, actor=self.person, **self.cleaned_data)


class ShareSiteForm(FactForm):
    fact = "same-site"
    button = "Link the jobs"

    number = forms.IntegerField(label="Number of the other job", min_value=1, max_value=99_999_999)

    @property
    def title(self) -> str:
        return "Another job at the same site"

    @property
    def lead(self) -> str:
        return "Each keeps its own route and records; both show the other."

    @property
    def said(self) -> str:
        return f"Linked with job {self.cleaned_data['number']:04d}."

    def record(self) -> None:
        other = Job.objects.filter(number=self.cleaned_data["number"]).first()
        sharing_site.share_site(job=self.job, with_job=other, actor=self.person)


class UnshareSiteForm(FactForm):
    fact = "site-apart"
    button = "Take the link away"

    @property
    def title(self) -> str:
        return "Not at the same site after all"

    @property
    def said(self) -> str:
        return "The link is taken away."

    def record(self) -> None:
        sharing_site.unshare_site(job=self.job, actor=self.person)
