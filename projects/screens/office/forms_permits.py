"""Facts of plan review: submitted, sent back with comments, answered, issued."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import Http404
from django.utils import timezone

from projects.actions import permits
from projects.actions.permit_fees import fee_of_job
from projects.actions.redraw import current_design
from projects.models import Job, Licence, Permit, PermitSubmission, PlanComment
from projects.screens.office.forms_base import DayField, FactForm, LinesField, own, reason_field, words

HOW = PermitSubmission._meta.get_field("how").choices


class PermitForm(FactForm):
    """The subject is the kind of permit."""

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        if subject not in Permit.Kind.values:
            raise Http404
        return subject

    @property
    def permit(self) -> str:
        return Permit.Kind(self.subject).label.lower()


class LicenceField(forms.ModelChoiceField):
    def label_from_instance(self, obj: Licence) -> str:
        return f"{obj.holder.name}, {obj.number} ({obj.state}), valid to {obj.expires_on:%-d %b %Y}"


class SubmitPermitForm(PermitForm):
    fact = "permit-submitted"
    button = "Record the submission"
    wide = ("licence",)

    on = DayField("Submitted on")
    how = forms.ChoiceField(label="How", choices=HOW)
    number = forms.CharField(label="Application or permit number", max_length=60, required=False)
    fee_usd = forms.DecimalField(label="Fee paid ($)", required=False, min_value=0, max_digits=8, decimal_places=2)
    licence = LicenceField(
        label="Under the licence of",
        queryset=Licence.objects.none(),
        empty_label="Choose the licence",
        error_messages={"required": "Choose the licence it is submitted under."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        licences = Licence.objects.select_related("holder").filter(trade=permits.TRADE_OF_PERMIT[self.subject])
        self.fields["licence"].queryset = licences.order_by("-expires_on")
        earlier = PermitSubmission.objects.filter(
            permit__job=self.job, permit__kind=self.subject, permit__voided_on=None
        )
        self.latest = earlier.select_related("permit").order_by("-round").first()
        if self.latest:
            self.fields["number"].initial = self.latest.permit.number
            self.fields["how"].initial = self.latest.how
            self.fields["licence"].initial = self.latest.licence_id
        else:
            self.fields["licence"].initial = licences.filter(
                state=self.job.site.state, expires_on__gte=timezone.localdate()
            ).first()
        self.rule = fee_of_job(self.job, self.subject, current_design(self.job))
        self.fields["fee_usd"].help_text = f"By the rule: {self.rule.words}" if self.rule.words else ""
        if not self.latest:
            self.fields["fee_usd"].initial = self.rule.total_usd or None

    @property
    def title(self) -> str:
        return f"Resubmit the {self.permit}" if self.latest else f"Submit the {self.permit}"

    @property
    def lead(self) -> str:
        return "The design as it stands is frozen with the submission; a later change to it asks for a new round."

    @property
    def said(self) -> str:
        return (
            f"The {self.permit} is {'resubmitted' if self.latest else 'submitted'} ({self.cleaned_data['on']:%-d %B})."
        )

    def record(self) -> None:
        permits.submit_permit(job=self.job, kind=self.subject, actor=self.person, **self.cleaned_data)


class PermitCorrectionsForm(PermitForm):
    fact = "permit-corrections"
    button = "Record the comments"

    on = DayField("Answer dated")
    comments = LinesField(
        label="The reviewer's comments, one to a line",
        max_length=20000,
        widget=forms.Textarea(attrs={"rows": 5}),
        error_messages={"required": "Write each comment on its own line."},
    )

    @property
    def title(self) -> str:
        return f"Corrections asked for: {self.permit}"

    @property
    def said(self) -> str:
        count = len(self.cleaned_data["comments"])
        return f"Recorded {count} comment{'s' if count != 1 else ''} on the {self.permit}."

    def record(self) -> None:
        permits.record_corrections(job=self.job, kind=self.subject, actor=self.person, **self.cleaned_data)


class AnswerCommentForm(FactForm):
    fact = "comment-answer"
    button = "Record the answer"

    answer = words("Answer to the reviewer", required=True)
    on = DayField("Answered on")

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        return own(
            PlanComment.objects.select_related("submission__permit__job").filter(submission__permit__job=job), subject
        )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["answer"].initial = self.subject.answer

    @property
    def title(self) -> str:
        return "Answer the reviewer's comment"

    @property
    def lead(self) -> str:
        return f"“{self.subject.text}”"

    @property
    def said(self) -> str:
        return "The comment is answered."

    def record(self) -> None:
        permits.answer_comment(comment=self.subject, actor=self.person, **self.cleaned_data)


class IssuePermitForm(PermitForm):
    fact = "permit-issued"
    button = "Record the permit"

    on = DayField("Issued on")
    number = forms.CharField(
        label="Permit number", max_length=60, error_messages={"required": "Write the number on the permit."}
    )
    expires_on = DayField(
        "Valid until", ahead=True, required=False, help_text="Left empty: as long as the jurisdiction's permits run."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        permit = Permit.objects.filter(job=self.job, kind=self.subject, voided_on=None).first()
        self.fields["number"].initial = permit.number if permit else ""

    @property
    def title(self) -> str:
        return f"The {self.permit} is issued"

    @property
    def said(self) -> str:
        return f"The {self.permit} {self.cleaned_data['number']} is issued."

    def record(self) -> None:
        permits.issue_permit(job=self.job, kind=self.subject, actor=self.person, **self.cleaned_data)


class RenewPermitForm(PermitForm):
    fact = "permit-renewed"
    button = "Record the renewal"

    on = DayField("Renewed on")
    expires_on = DayField("Valid until", ahead=True)

    @property
    def title(self) -> str:
        return f"The {self.permit} is renewed"

    @property
    def said(self) -> str:
        return f"The {self.permit} is renewed until {self.cleaned_data['expires_on']:%-d %B %Y}."

    def record(self) -> None:
        permits.renew_permit(job=self.job, kind=self.subject, actor=self.person, **self.cleaned_data)


class VoidPermitForm(PermitForm):
    fact = "permit-void"
    button = "Record it as void"
    caution = "Nobody may install until it is issued anew. Tell the crew where work has begun."

    on = DayField("Void since")
    reason = reason_field("Why")

    @property
    def title(self) -> str:
        return f"The {self.permit} is void"

    @property
    def lead(self) -> str:
        return "It stays in the file with its rounds; the job then asks for a new application."

    @property
    def said(self) -> str:
        return f"The {self.permit} is void."

    def record(self) -> None:
        permits.void_permit(job=self.job, kind=self.subject, actor=self.person, **self.cleaned_data)
