"""What the crew types: little, and big enough for gloves."""

from __future__ import annotations

from django import forms
from django.utils import timezone

from projects.models import Evidence
from projects.screens.plain_form import PlainForm


class MarkForm(PlainForm):
    """Records one plain fact."""

    key = forms.CharField(widget=forms.HiddenInput)
    on = forms.DateField(label="Done on", widget=forms.DateInput(attrs={"type": "date"}))
    note = forms.CharField(label="Note (optional)", required=False, max_length=2000, widget=forms.TextInput)


class PhotoForm(PlainForm):
    kind = forms.ChoiceField(label="What it shows", choices=Evidence.Kind.choices)
    photo = forms.FileField(
        label="Photograph", widget=forms.ClearableFileInput(attrs={"accept": "image/*", "capture": "environment"})
    )
    note = forms.CharField(label="Note (optional)", required=False, max_length=200, widget=forms.TextInput)
    client_key = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)


class FixForm(PlainForm):
    """A correction of the inspector is put right."""

    correction = forms.IntegerField(widget=forms.HiddenInput)
    on = forms.DateField(label="Fixed on", widget=forms.DateInput(attrs={"type": "date"}))
    note = forms.CharField(label="What was done", required=False, max_length=2000, widget=forms.TextInput)


def today() -> dict:
    return {"on": timezone.localdate()}
