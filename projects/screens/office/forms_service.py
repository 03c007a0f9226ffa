"""Facts of a system in service: the warranties."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.actions import warranties
from projects.actions.warranty_terms import LEAST_YEARS, MOST_YEARS, makers_terms, proposed_years, starts_on
from projects.route.words import listed
from projects.screens.office.forms_base import DayField, FactForm, words


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
