"""What can be chosen for many jobs at once: one small form for each change."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any, ClassVar

from django import forms
from django.db.models import Q
from django.utils import timezone

from projects.actions import pausing, snoozing
from projects.actions.bulk_changes import Assign, Change, Lose, PutOff, Rest, SetAuthorities
from projects.models import Jurisdiction, Pause, Person, Role, Utility
from projects.screens.office.forms_base import DayField, reason_field
from projects.screens.plain_form import PlainForm

USUAL_DAYS = 14
NOBODY = "nobody"


class BulkForm(PlainForm):
    key: ClassVar[str]
    title: ClassVar[str]
    lead: ClassVar[str]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", auto_id=f"{self.key}-%s", **kwargs)

    def change(self) -> Change:
        raise NotImplementedError

    @property
    def words(self) -> str:
        """What is done, in a sentence."""
        raise NotImplementedError


class AssignMany(BulkForm):
    key = "assign"
    title = "Hand them to somebody"
    lead = "Who looks after the jobs from now on."

    person = forms.ChoiceField(label="Who looks after them", error_messages={"required": "Choose somebody."})

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.people = {str(person.pk): person for person in working()}
        people = [(pk, f"{person.name} ({person.get_role_display()})") for pk, person in self.people.items()]
        self.fields["person"].choices = [("", "Choose"), *people, (NOBODY, "Nobody for now")]

    @property
    def chosen(self) -> Person | None:
        return self.people.get(self.cleaned_data["person"])

    def change(self) -> Change:
        return Assign(self.chosen)

    @property
    def words(self) -> str:
        return f"{self.chosen.name} looks after them." if self.chosen else "Nobody looks after them for now."


class PutOffMany(BulkForm):
    key = "put-off"
    title = "Put the next step off"
    lead = "Each leaves the desk until that day. Due dates stay as they are."

    until = DayField("Back on the desk on", ahead=True)
    reason = reason_field("Why it can wait")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["until"].initial = timezone.localdate() + timedelta(days=USUAL_DAYS)

    def clean_until(self) -> date:
        return _ahead(self.cleaned_data["until"], snoozing.MOST_DAYS, "pause the jobs if they rest longer")

    def change(self) -> Change:
        return PutOff(**self.cleaned_data)

    @property
    def words(self) -> str:
        return f"The next step is put off until {_in_full(self.cleaned_data['until'])}."


class AuthoritiesMany(BulkForm):
    key = "authorities"
    title = "Set the jurisdiction or the utility"
    lead = "Their profiles decide which permits, inspections and papers the route asks for."

    jurisdiction = forms.ModelChoiceField(
        label="Jurisdiction (building department)",
        queryset=Jurisdiction.objects.all(),
        required=False,
        empty_label="Leave as it is",
    )
    utility = forms.ModelChoiceField(
        label="Utility", queryset=Utility.objects.all(), required=False, empty_label="Leave as it is"
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not any(cleaned.values()):
            raise forms.ValidationError("Choose a jurisdiction, a utility or both.")
        return cleaned

    def change(self) -> Change:
        return SetAuthorities(**self.cleaned_data)

    @property
    def words(self) -> str:
        chosen = [str(row) for row in self.cleaned_data.values() if row]
        return f"They belong to {' and '.join(chosen)}."


class PauseMany(BulkForm):
    key = "pause"
    title = "Let them rest"
    lead = "Our own clocks stand still and the jobs leave the desk until that day. Expiry dates go on."

    cause = forms.ChoiceField(
        label="Why they rest",
        choices=[(cause, Pause.Cause(cause).label) for cause in pausing.CHOSEN],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose why they rest."},
    )
    look_again_on = DayField("Look at them again on", ahead=True)
    reason = reason_field("What happened")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["look_again_on"].initial = timezone.localdate() + timedelta(days=USUAL_DAYS)

    def clean_look_again_on(self) -> date:
        return _ahead(self.cleaned_data["look_again_on"], pausing.MOST_DAYS, "look at them again before that")

    def change(self) -> Change:
        return Rest(**self.cleaned_data)

    @property
    def words(self) -> str:
        return f"They rest until {_in_full(self.cleaned_data['look_again_on'])}."


class LoseMany(BulkForm):
    key = "lose"
    title = "Close them as lost"
    lead = "Nothing is deleted; each can be opened again."

    reason = reason_field("Why")

    def change(self) -> Change:
        return Lose(**self.cleaned_data)

    @property
    def words(self) -> str:
        return "They are closed as lost."


FORMS: dict[str, type[BulkForm]] = {
    form.key: form for form in (AssignMany, PutOffMany, AuthoritiesMany, PauseMany, LoseMany)
}


def working() -> list[Person]:
    found = Person.objects.filter(Q(is_active=True) & ~Q(role=Role.LICENCE_HOLDER))
    return list(found.order_by("first_name", "last_name", "username"))


def _ahead(day: date, most_days: int, else_what: str) -> date:
    """The actions check it as well; said here it stands at the field, once for all jobs."""
    today = timezone.localdate()
    if day <= today:
        raise forms.ValidationError("Choose a day after today.")
    if day > today + timedelta(days=most_days):
        raise forms.ValidationError(f"At most {most_days} days ahead; {else_what}.")
    return day


def _in_full(day: date) -> str:
    return f"{day:%-d %B %Y}"
