"""A homeowner's request: no sign-in, one page, nothing on it about anybody else."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.core import signing
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from projects.actions import intake
from projects.actions.problems import Problem, Problems
from projects.models import Goal, OfficeProfile
from projects.screens.office.forms_lead import HouseholdForm
from projects.screens.problems import add_problems

FASTEST_S = 4
"""Nobody reads and fills the page in less; robots do."""
LONGEST_S = 24 * 3600
HOUR_S = 3600
STAMP = "ask"


class AskForm(HouseholdForm):
    consent = forms.BooleanField(
        label="You may call or write to me about this request.",
        error_messages={"required": "Without this tick nobody may answer you."},
    )
    website = forms.CharField(label="Leave this empty", required=False, max_length=200)
    """The trap: people never see it, robots fill whatever they find."""
    opened = forms.CharField(required=False, max_length=200, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label, help_text in PLAIN_WORDS:
            self.fields[name].label = label
            self.fields[name].help_text = help_text
        self.fields["website"].widget.attrs.update({"tabindex": "-1", "autocomplete": "off"})
        self.fields["preferred_language"].choices = (("en", "English"), ("es", "Español"))  # type: ignore[attr-defined]
        self.fields["owns_home"].choices = (("own", "I own it"), ("rent", "I rent it"))  # type: ignore[attr-defined]
        self.fields["goal"].choices = (  # type: ignore[attr-defined]
            (Goal.BACKUP.value, "The lights stay on when the power is out"),
            (Goal.PAYBACK.value, "The electric bill goes down"),
        )
        self.fields["diy_comfort"].choices = (  # type: ignore[attr-defined]
            ("none", "Leave all of it to you"),
            ("some", "I could help with small things"),
            ("much", "I want to do much of it"),
        )

    def trapped(self) -> bool:
        return bool(self.data.get("website", "").strip())

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        try:
            signing.loads(cleaned.get("opened", ""), salt=STAMP, max_age=LONGEST_S)
        except signing.BadSignature:
            self.add_error(None, "This page was open for a long time. Nothing is lost: please send it again.")
            return cleaned
        try:
            signing.loads(cleaned["opened"], salt=STAMP, max_age=FASTEST_S)
        except signing.SignatureExpired:
            return cleaned
        self.add_error(None, "That was quick! Please look through it once and send it again.")
        return cleaned


PLAIN_WORDS = (
    ("name", "Your name", ""),
    ("phone", "Phone", "Phone or e-mail: one of the two is enough."),
    ("email", "E-mail", ""),
    ("preferred_language", "Speak with me in", ""),
    ("street", "Street and number", "Of the house where the panels would go."),
    ("owns_home", "The house", ""),
    ("grid_available", "Is there utility power at the house?", ""),
    (
        "must_run",
        "What has to keep running when the power is out?",
        "Tick what matters to you. Nothing here is a promise yet.",
    ),
    ("must_run_other", "Anything else?", "With commas between."),
    ("outage_days_wanted", "How many days without power should it carry you?", ""),
    ("goal", "What matters first?", ""),
    ("yearly_kwh", "Electricity in a year", "In kWh, if you have a bill at hand. Leave it empty if not."),
    ("wants_loan", "Would you want a loan for it?", ""),
    ("warranty_years_wanted", "Years of warranty you would want", "Leave it empty if you have no wish."),
    ("diy_comfort", "Doing work yourself", ""),
    ("note", "Anything we should know", ""),
)


def _address(request: HttpRequest) -> str:
    """The caller's address. Behind the office's own proxy it is what that proxy appended, never what the caller sent
    before it."""
    forwarded = request.META.get("HTTP_X_FORWARDED_FOR", "")
    if settings.SECURE_PROXY_SSL_HEADER and forwarded:
        return forwarded.rsplit(",", 1)[-1].strip()
    return request.META.get("REMOTE_ADDR", "")


def _taken(request: HttpRequest) -> int:
    """Counts this request and says how many came from the address within the hour, this one included."""
    key = f"asked:{_address(request)}"
    cache.add(key, 0, HOUR_S)
    try:
        return cache.incr(key)
    except ValueError:  # it ran out between the two lines
        cache.set(key, 1, HOUR_S)
        return 1


def _full(request: HttpRequest) -> bool:
    return cache.get(f"asked:{_address(request)}", 0) >= settings.REQUESTS_PER_HOUR


@never_cache
@require_http_methods(["GET", "POST"])
def ask(request: HttpRequest) -> HttpResponse:
    if request.method == "POST" and _full(request):
        return _page(request, AskForm(request.POST), status=429, full=True)
    if request.method != "POST":
        return _page(request, AskForm())
    form = AskForm(request.POST)
    if form.trapped():
        _taken(request)
        return redirect("ask-thanks")
    if form.is_valid():
        _taken(request)
        try:
            intake.receive_lead(actor=None, source="web", **form.cleaned_facts())
        except Problems as problems:
            add_problems(form, [Problem("kwh_1" if p.field == "monthly_kwh" else p.field, p.message) for p in problems])
        else:
            return redirect("ask-thanks")
    return _page(request, form, status=422)


def _stamp(form: AskForm) -> str:
    """When the page was first opened; correcting a slip must not start the minimum time anew."""
    before = str(form.data.get("opened", "")) if form.is_bound else ""
    try:
        signing.loads(before, salt=STAMP, max_age=LONGEST_S)
    except signing.BadSignature:
        return signing.dumps("", salt=STAMP)
    return before


def _page(request: HttpRequest, form: AskForm, *, status: int = 200, full: bool = False) -> HttpResponse:
    office = OfficeProfile.current()
    context = {
        "form": form,
        "full": full,
        "office": office,
        "firm_name": office.name if office else "",
        "opened": _stamp(form),
    }
    return render(request, "customer/ask.html", context, status=status)


@require_GET
def thanks(request: HttpRequest) -> HttpResponse:
    office = OfficeProfile.current()
    return render(request, "customer/ask_thanks.html", {"office": office, "firm_name": office.name if office else ""})
