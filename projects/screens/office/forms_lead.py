"""What a household says on the phone or writes on the public page, on one form."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.models import DoItYourself, Goal, Job, LeadAnswers
from projects.screens.fields import NumberField
from projects.screens.office.place import find_place
from projects.screens.office.usual import must_run_choices, split_must_run
from projects.screens.plain_form import PlainForm
from projects.screens.widgets import ChoiceBoxes, ChoiceDots

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LANGUAGES = (("en", "English"), ("es", "Spanish"))
SOURCES = (
    ("", "Not asked"),
    ("phone", "Called us"),
    ("referral", "A neighbour or friend"),
    ("past_customer", "Customer before"),
    ("fair", "Fair or home show"),
    ("sign", "Yard sign or truck"),
    ("web", "Our request page"),
    ("other", "Other"),
)
YES_NO = (("yes", "Yes"), ("no", "No"))
OWN_RENT = (("own", "Owns"), ("rent", "Rents"))
OWN_WORK = (
    (DoItYourself.NONE.value, "None"),
    (DoItYourself.SOME.value, "Small things"),
    (DoItYourself.MUCH.value, "Much"),
)


class HouseholdForm(PlainForm):
    """The questions every form about a household asks; ``cleaned_facts`` is what the intake actions take."""

    name = forms.CharField(label="Name", max_length=120, error_messages={"required": "Who is it? A name is needed."})
    phone = forms.CharField(label="Phone", max_length=40, required=False)
    email = forms.EmailField(label="E-mail", max_length=254, required=False)
    preferred_language = forms.ChoiceField(
        label="Speaks", choices=LANGUAGES, required=False, initial="en", widget=ChoiceDots
    )
    street = forms.CharField(
        label="Street", max_length=160, error_messages={"required": "Where is the house? A street is needed."}
    )
    zip_code = forms.RegexField(
        r"^\d{5}(-\d{4})?$",
        label="ZIP",
        max_length=10,
        error_messages={"required": "The ZIP is needed.", "invalid": "A ZIP has five digits."},
    )
    city = forms.CharField(label="City", max_length=80, required=False)
    state = forms.RegexField(
        r"^[A-Za-z]{2}$",
        label="State",
        max_length=2,
        required=False,
        error_messages={"invalid": "Two letters, such as NC."},
    )
    owns_home = forms.ChoiceField(label="Home", choices=OWN_RENT, required=False, initial="own", widget=ChoiceDots)
    must_run = forms.MultipleChoiceField(label="What must run in an outage", required=False, widget=ChoiceBoxes)
    must_run_other = forms.CharField(
        label="Anything else that must run",
        required=False,
        max_length=300,
        help_text="With commas between: aquarium, workshop lights",
    )
    goal = forms.ChoiceField(label="First of all", choices=Goal.choices, required=False, widget=ChoiceDots)
    yearly_kwh = NumberField(
        label="Use in a year",
        required=False,
        min_value=0,
        max_value=500_000,
        help_text="From a bill or the utility’s web page; with no utility, the load worksheet tells",
    )
    wants_loan = forms.ChoiceField(
        label="Wants a loan", choices=YES_NO, required=False, initial="no", widget=ChoiceDots
    )
    warranty_years_wanted = forms.IntegerField(label="Warranty wanted", required=False, min_value=0, max_value=40)
    diy_comfort = forms.ChoiceField(
        label="Own work", choices=OWN_WORK, required=False, initial="none", widget=ChoiceDots
    )
    grid_available = forms.ChoiceField(
        label="Utility power at the house", choices=YES_NO, required=False, initial="yes", widget=ChoiceDots
    )
    outage_days_wanted = NumberField(
        label="Outage to ride through", required=False, min_value=0, max_value=60, initial=1
    )
    note = forms.CharField(label="Note", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))

    needed = {
        "city": "The city is needed.",
        "state": "Two letters.",
        "contact": "A phone number or an e-mail is needed, so that somebody can answer.",
        "month": "Missing",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        must_run = self.fields["must_run"]
        assert isinstance(must_run, forms.MultipleChoiceField)
        must_run.choices = must_run_choices()
        for number, month in enumerate(MONTHS, 1):
            self.fields[f"kwh_{number}"] = NumberField(label=month, required=False, min_value=0, max_value=100_000)
        self.fields["phone"].widget.input_type = "tel"
        for name, token in AUTOCOMPLETE.items():
            if name in self.fields:
                self.fields[name].widget.attrs.setdefault("autocomplete", token)
        self.fields["zip_code"].widget.attrs["inputmode"] = "numeric"

    @property
    def month_fields(self) -> list[forms.BoundField]:
        return [self[f"kwh_{number}"] for number in range(1, 13)]

    @property
    def months_open(self) -> bool:
        return any(field.value() not in (None, "") or field.errors for field in self.month_fields)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not cleaned.get("phone") and not cleaned.get("email") and not (self.errors.keys() & {"phone", "email"}):
            self.add_error("phone", self.needed["contact"])
        months = [cleaned.get(f"kwh_{number}") for number in range(1, 13)]
        given = [kwh for kwh in months if kwh is not None]
        if given and len(given) < 12:
            for number, kwh in enumerate(months, 1):
                if kwh is None and f"kwh_{number}" not in self.errors:
                    self.add_error(f"kwh_{number}", self.needed["month"])
        self._complete_address(cleaned)
        return cleaned

    def _complete_address(self, cleaned: dict[str, Any]) -> None:
        """The ZIP knows its city and state; only where it doesn't are they asked for."""
        cleaned["state"] = (cleaned.get("state") or "").upper()
        if cleaned["state"] and cleaned.get("city"):
            return
        place = find_place(cleaned.get("zip_code", ""))
        for name, found in (("city", place and place.city), ("state", place and place.state)):
            if not cleaned.get(name) and name not in self.errors:
                cleaned[name] = found or ""
                if not found:
                    self.add_error(name, self.needed[name])

    def cleaned_facts(self) -> dict[str, Any]:
        """Keyword arguments for ``receive_lead`` and ``update_answers`` (actor and job aside)."""
        cleaned = self.cleaned_data
        other = [words.strip() for words in cleaned.get("must_run_other", "").split(",") if words.strip()]
        months = [cleaned.get(f"kwh_{number}") for number in range(1, 13)]
        facts = {
            name: cleaned[name]
            for name in (
                "name",
                "phone",
                "email",
                "street",
                "city",
                "state",
                "zip_code",
                "goal",
                "warranty_years_wanted",
                "note",
            )
            if name in cleaned
        }
        facts |= {
            "preferred_language": cleaned.get("preferred_language") or "en",
            "owns_home": cleaned.get("owns_home") != "rent",
            "must_run": list(cleaned.get("must_run") or []) + other,
            "monthly_kwh": months if None not in months else [],
            "yearly_kwh": cleaned.get("yearly_kwh"),
            "wants_loan": cleaned.get("wants_loan") == "yes",
            "diy_comfort": cleaned.get("diy_comfort") or "none",
            "grid_available": cleaned.get("grid_available") != "no",
            "outage_days_wanted": 1.0 if cleaned.get("outage_days_wanted") is None else cleaned["outage_days_wanted"],
        }
        return facts


AUTOCOMPLETE = {
    "name": "name",
    "phone": "tel",
    "email": "email",
    "street": "street-address",
    "city": "address-level2",
    "state": "address-level1",
    "zip_code": "postal-code",
}


class LeadForm(HouseholdForm):
    """The office's intake, filled in while the caller is on the phone."""

    latitude_deg = NumberField(
        label="Latitude", required=False, min_value=-90, max_value=90, help_text="Only where the ZIP isn’t enough"
    )
    longitude_deg = NumberField(
        label="Longitude", required=False, min_value=-180, max_value=180, help_text="West is negative: -76.75"
    )
    source = forms.ChoiceField(label="Heard of us through", choices=SOURCES, required=False)
    another_household = forms.BooleanField(label="It is another household: enter it as a new lead", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].widget.attrs["autofocus"] = True
        for name in AUTOCOMPLETE:
            self.fields[name].widget.attrs["autocomplete"] = "off"  # the caller's data, never the office's own
        for name in ("latitude_deg", "longitude_deg"):
            self.fields[name].widget = forms.TextInput(attrs={"inputmode": "text"})

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if (cleaned.get("latitude_deg") is None) != (cleaned.get("longitude_deg") is None):
            missing = "latitude_deg" if cleaned.get("latitude_deg") is None else "longitude_deg"
            if not self.errors.keys() & {"latitude_deg", "longitude_deg"}:
                self.add_error(missing, "Coordinates come in pairs.")
        return cleaned

    def cleaned_facts(self) -> dict[str, Any]:
        facts = super().cleaned_facts()
        return facts | {
            "latitude_deg": self.cleaned_data.get("latitude_deg"),
            "longitude_deg": self.cleaned_data.get("longitude_deg"),
            "source": self.cleaned_data.get("source") or "",
        }


def initial_from(job: Job) -> dict[str, Any]:
    """What is already known of a job, as the form's fields."""
    answers = getattr(job, "answers", None) or LeadAnswers(job=job)
    usual, other = split_must_run(answers.must_run)
    site, customer = job.site, job.customer
    initial = {
        "name": customer.name,
        "phone": customer.phone,
        "email": customer.email,
        "preferred_language": customer.preferred_language,
        "street": site.street,
        "city": site.city,
        "state": site.state,
        "zip_code": site.zip_code,
        "owns_home": "own" if site.owns_home else "rent",
        "source": job.source,
        "must_run": usual,
        "must_run_other": ", ".join(other),
        "goal": answers.goal,
        "yearly_kwh": answers.yearly_kwh,
        "wants_loan": "yes" if answers.wants_loan else "no",
        "warranty_years_wanted": answers.warranty_years_wanted,
        "diy_comfort": answers.diy_comfort,
        "grid_available": "yes" if answers.grid_available else "no",
        "outage_days_wanted": answers.outage_days_wanted,
        "note": answers.note,
    }
    if site.located_from == "typed":
        initial |= {"latitude_deg": site.latitude_deg, "longitude_deg": site.longitude_deg}
    if len(answers.monthly_kwh) == 12:
        initial |= {f"kwh_{number}": float(kwh) for number, kwh in enumerate(answers.monthly_kwh, 1)}
    return initial
