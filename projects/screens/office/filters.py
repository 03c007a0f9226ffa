"""What the office may narrow its job list by."""

from __future__ import annotations

from typing import Any

import django_filters
from django import forms
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.text import capfirst

from projects.models import Job, Jurisdiction, ListedAs, Person, Role, Stage, SystemKind, Utility
from projects.queries.jobs import counted, matches, matching
from projects.route.words import PARTY_NAMES

OPEN, IN_SERVICE, LOST, CANCELLED, ALL = *ListedAs.values, "all"
STATES = [
    (OPEN, "Open jobs"),
    (IN_SERVICE, "In service"),
    (LOST, "Lost"),
    (CANCELLED, "Cancelled"),
    (ALL, "All jobs"),
]
PARTIES = [(party, capfirst(name)) for party, name in PARTY_NAMES.items()]
ROUTE_STAGES = [choice for choice in Stage.choices if choice[0] != Stage.IN_SERVICE]


class JobFilters(django_filters.FilterSet):
    """``state`` is "open" unless asked otherwise (what is over shouldn't stand among the work), but whoever searches
    for a name looks through all jobs."""

    q = django_filters.CharFilter(method="later", label="Find", max_length=120, widget=forms.HiddenInput)
    stage = django_filters.ChoiceFilter(choices=ROUTE_STAGES, label="Stage", empty_label="Any", method="later")
    waiting_on = django_filters.ChoiceFilter(
        choices=PARTIES, label="Waiting on", empty_label="Anybody", method="waiting"
    )
    kind = django_filters.ChoiceFilter(
        field_name="system_kind",
        choices=[*SystemKind.choices, ("none", "Not decided")],
        label="Kind of system",
        empty_label="Any",
        method="of_kind",
    )
    state = django_filters.ChoiceFilter(choices=STATES, label="Show", empty_label=None, method="later")
    jurisdiction = django_filters.ModelChoiceFilter(
        queryset=Jurisdiction.objects.all(), label="Jurisdiction", empty_label="Any"
    )
    utility = django_filters.ModelChoiceFilter(queryset=Utility.objects.all(), label="Utility", empty_label="Any")
    assigned = django_filters.ChoiceFilter(
        label="Looked after by", empty_label="Anybody", choices=lambda: assignable(), method="assigned_to"
    )
    overdue = django_filters.BooleanFilter(
        method="past_due", label="Overdue only", widget=forms.CheckboxInput(attrs={"value": "true"})
    )

    class Meta:
        model = Job
        fields: list[str] = []

    def __init__(self, data: Any = None, *args: Any, **kwargs: Any) -> None:
        data = data.copy() if data is not None else {}
        if data.get("state") not in dict(STATES):
            data["state"] = ALL if data.get("q", "").strip() else OPEN
        super().__init__(data, *args, **kwargs)

    @property
    def narrowed(self) -> dict[str, str]:
        """Label of each filter in use (the state aside) and what it is set to, in words."""
        words = {}
        for name, value in (self.form.cleaned_data if self.form.is_valid() else {}).items():
            if value in (None, "", False) or name == "state":
                continue
            field = self.form.fields[name]
            choices = dict(field.choices) if isinstance(field, forms.ChoiceField) and isinstance(value, str) else {}
            words[name] = "Overdue" if name == "overdue" else str(choices.get(value, value))
        return words

    @property
    def qs(self) -> QuerySet[Job]:
        jobs, text = super().qs, self._asked("q")
        if text:
            jobs = matching(jobs, text, found=self.count)
        state, stage = self._asked("state"), self._asked("stage")
        if state not in ("", ALL):
            jobs = jobs.filter(listed_as=state)
        return jobs.filter(stage_place=Stage.values.index(stage)) if stage else jobs

    @cached_property
    def count(self) -> int:
        asked = {name for name in self.filters if self._asked(name)}
        if asked == {"q", "state"} and self._asked("state") == ALL:
            return matches(self._asked("q")).values("job").distinct().count()
        state = self._asked("state")
        jobs = matching(super().qs.select_related(None), self._asked("q"))
        return counted(jobs, "" if state == ALL else state, self._asked("stage"))

    def _asked(self, name: str) -> Any:
        return self.form.cleaned_data.get(name) or "" if self.form.is_valid() else ""

    def of_kind(self, jobs: QuerySet[Job], name: str, value: str) -> QuerySet[Job]:
        return jobs.filter(system_kind="" if value == "none" else value)

    def waiting(self, jobs: QuerySet[Job], name: str, value: str) -> QuerySet[Job]:
        return jobs.filter(outcome=Job.Outcome.OPEN, waiting_on=value)

    def later(self, jobs: QuerySet[Job], name: str, value: str) -> QuerySet[Job]:
        """State and stage: by one pair of columns in ``qs`` and by another in ``count``, each as its index has them.
        What is looked for: by the count first, which tells how a page of it is found best."""
        return jobs

    def assigned_to(self, jobs: QuerySet[Job], name: str, value: str) -> QuerySet[Job]:
        if value == "nobody":
            return jobs.filter(assigned_to=None)
        return jobs.filter(assigned_to=self.request.user if value == "me" else value)

    def past_due(self, jobs: QuerySet[Job], name: str, value: bool | None) -> QuerySet[Job]:
        return jobs.filter(outcome=Job.Outcome.OPEN, due_on__lt=timezone.localdate()) if value else jobs


def assignable() -> list[tuple[str, str]]:
    people = Person.objects.filter(is_active=True, role__in=[Role.OFFICE, Role.OWNER, Role.CREW])
    people = people.order_by("first_name", "last_name", "username")
    return [("me", "Me"), ("nobody", "Nobody yet"), *((str(person.pk), person.name) for person in people)]
