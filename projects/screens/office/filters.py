"""What the office may narrow its job list by."""

from __future__ import annotations

import re
from typing import Any

import django_filters
from django import forms
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.text import capfirst

from projects.models import Job, Jurisdiction, ListedAs, Person, Role, Stage, SystemKind, Utility
from projects.queries.jobs import counted, matches, matching, narrowed
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
ME, NOBODY = "me", "nobody"
ROUTE_STAGES = [choice for choice in Stage.choices if choice[0] != Stage.IN_SERVICE]


class KeyField(django_filters.fields.ChoiceField):
    """A row by its key, not looked up before the list is: of an unknown one there are no jobs."""

    def valid_value(self, value: str) -> bool:
        return value in (ME, NOBODY) or re.fullmatch(r"[0-9]{1,9}", value) is not None


class KeyFilter(django_filters.ChoiceFilter):
    field_class = KeyField

    def __init__(self, **more: Any) -> None:
        super().__init__(method="later", **more)


class JobFilters(django_filters.FilterSet):
    """``state`` is "open" unless asked otherwise (what is over shouldn't stand among the work), but whoever searches
    for a name looks through all jobs."""

    q = django_filters.CharFilter(method="later", label="Find", max_length=120, widget=forms.HiddenInput)
    stage = django_filters.ChoiceFilter(choices=ROUTE_STAGES, label="Stage", empty_label="Any", method="later")
    waiting_on = django_filters.ChoiceFilter(choices=PARTIES, label="Waiting on", empty_label="Anybody", method="later")
    kind = django_filters.ChoiceFilter(
        field_name="system_kind",
        choices=[*SystemKind.choices, ("none", "Not decided")],
        label="Kind of system",
        empty_label="Any",
        method="of_kind",
    )
    state = django_filters.ChoiceFilter(choices=STATES, label="Show", empty_label=None, method="later")
    jurisdiction = KeyFilter(label="Jurisdiction", empty_label="Any", choices=lambda: names_of(Jurisdiction))
    utility = KeyFilter(label="Utility", empty_label="Any", choices=lambda: names_of(Utility))
    assigned = KeyFilter(label="Looked after by", empty_label="Anybody", choices=lambda: assignable())
    overdue = django_filters.BooleanFilter(
        method="later", label="Overdue only", widget=forms.CheckboxInput(attrs={"value": "true"})
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
        jobs = super().qs
        if text := self._asked("q"):
            jobs = matching(jobs, text, found=self.count)
        conditions = self._conditions()
        if stage := self._asked("stage"):
            conditions["stage_place"] = Stage.values.index(stage)
        jobs = narrowed(jobs, conditions)
        state = self._asked("state")
        return jobs if state in ("", ALL) else jobs.filter(listed_as=state)

    @cached_property
    def count(self) -> int:
        asked = {name for name in self.filters if self._asked(name)}
        if asked == {"q", "state"} and self._asked("state") == ALL:
            return matches(self._asked("q")).values("job").distinct().count()
        state = self._asked("state")
        jobs = matching(super().qs.select_related(None), self._asked("q"))
        return counted(jobs, self._conditions(), "" if state == ALL else state, self._asked("stage"))

    def _asked(self, name: str) -> Any:
        return self.form.cleaned_data.get(name) or "" if self.form.is_valid() else ""

    def of_kind(self, jobs: QuerySet[Job], name: str, value: str) -> QuerySet[Job]:
        return jobs.filter(system_kind="" if value == "none" else value)

    def later(self, jobs: QuerySet[Job], name: str, value: Any) -> QuerySet[Job]:
        """State and stage: by one pair of columns in ``qs`` and by another in ``count``, each as its index has them.
        Everything else: by the count first, which tells how a page of it is found best."""
        return jobs

    def _conditions(self) -> dict[str, Any]:
        """What the list is narrowed by, beside words, kind, state and stage, as ``narrowed`` takes it."""
        found: dict[str, Any] = {"waiting_on": party} if (party := self._asked("waiting_on")) else {}
        for name, column in (("jurisdiction", "jurisdiction"), ("utility", "utility"), ("assigned", "assigned_to")):
            if key := self._asked(name):
                found[column] = self.request.user.pk if key == ME else None if key == NOBODY else int(key)
        if self._asked("overdue"):
            found["due_before"] = timezone.localdate()
        return found


def names_of(model: type[Jurisdiction] | type[Utility]) -> list[tuple[str, str]]:
    return [(str(row.pk), str(row)) for row in model.objects.all()]


def assignable() -> list[tuple[str, str]]:
    people = Person.objects.filter(is_active=True, role__in=[Role.OFFICE, Role.OWNER, Role.CREW])
    people = people.order_by("first_name", "last_name", "username")
    return [(ME, "Me"), (NOBODY, "Nobody yet"), *((str(person.pk), person.name) for person in people)]
