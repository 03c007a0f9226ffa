"""A file of leads: choosing it, and saying what its columns hold."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.actions.lead_columns import COLUMNS
from projects.models import LeadImport
from projects.screens.office.forms_lead import SOURCES
from projects.screens.plain_form import PlainForm

LEFT_OUT = ("", "Left out")
SHOWN_ROWS = 3


class UploadForm(PlainForm):
    upload = forms.FileField(
        label="File (.csv or .xlsx)",
        max_length=200,
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx"}),
        error_messages={"required": "Choose a file.", "empty": "The file is empty."},
    )


class ColumnsForm(PlainForm):
    source = forms.ChoiceField(
        label="Heard of us through",
        choices=SOURCES,
        required=False,
        help_text="For rows that don’t say it",
    )
    origin = forms.CharField(
        label="Whose numbers these are",
        max_length=40,
        required=False,
        help_text="Such as “old list”. A row with the same number from there never comes in twice.",
    )
    known_too = forms.BooleanField(
        label="Bring in households that seem to be known already too",
        required=False,
        help_text="Known by phone, e-mail, or the same name at the same ZIP",
    )

    def __init__(self, *args: Any, batch: LeadImport, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.batch = batch
        choices = [LEFT_OUT, *((column.key, column.title) for column in COLUMNS)]
        for place, heading in enumerate(batch.headings):
            self.fields[f"column_{place}"] = forms.ChoiceField(
                label=heading, choices=choices, required=False, initial=batch.columns.get(str(place), "")
            )
        for name in ("source", "origin", "known_too"):
            self.fields[name].initial = getattr(batch, name)

    @property
    def columns(self) -> list[tuple[forms.BoundField, list[str]]]:
        """Each column's field, with what stands in the first rows."""
        first = [cells for _, cells in self.batch.rows[:SHOWN_ROWS]]
        return [
            (self[f"column_{place}"], [cells[place] for cells in first if cells[place]])
            for place in range(len(self.batch.headings))
        ]

    @property
    def chosen(self) -> dict[int, str]:
        said = self.cleaned_data
        return {
            place: said[f"column_{place}"] for place in range(len(self.batch.headings)) if said.get(f"column_{place}")
        }
