"""A homeowner's request: no sign-in, one page, nothing on it about anybody else."""

from __future__ import annotations

import time
from typing import Any

from django import forms
from django.conf import settings
from django.core import signing
from django.core.cache import caches
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import translation
from django.utils.translation import get_language_from_request
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from projects.actions import intake
from projects.actions.problems import Problem, Problems
from projects.models import OfficeProfile
from projects.screens.office.forms_lead import HouseholdForm
from projects.screens.problems import add_problems
from projects.screens.public_words import WORDS

FASTEST_S = 4
"""Nobody reads and fills the page in less; robots do."""
LONGEST_S = 24 * 3600
HOUR_S = 3600
STAMP = "ask"


class AskForm(HouseholdForm):
    consent = forms.BooleanField()
    website = forms.CharField(required=False, max_length=200)
    """The trap: people never see it, robots fill whatever they find."""
    opened = forms.CharField(required=False, max_length=200, widget=forms.HiddenInput)

    def __init__(self, *args: Any, language: str = "en", **kwargs: Any) -> None:
        kwargs["initial"] = {"preferred_language": language} | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        self.words = words = WORDS[language]
        for name, (label, help_text) in words.fields.items():
            self.fields[name].label = label
            self.fields[name].help_text = help_text
        for name, choices in words.choices.items():
            self.fields[name].choices = choices  # type: ignore[attr-defined]
        for name, message in words.required.items():
            self.fields[name].error_messages["required"] = message
        for name, message in words.invalid.items():
            self.fields[name].error_messages["invalid"] = message
        for number, month in enumerate(words.months, 1):
            self.fields[f"kwh_{number}"].label = month
        self.needed = words.needed
        must_run = self.fields["must_run"]
        must_run.choices = [  # type: ignore[attr-defined]
            (key, words.must_run.get(key, label))
            for key, label in must_run.choices  # type: ignore[attr-defined]
        ]
        self.fields["website"].widget.attrs.update({"tabindex": "-1", "autocomplete": "off"})

    def trapped(self) -> bool:
        return bool(self.data.get("website", "").strip())

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        try:
            signing.loads(cleaned.get("opened", ""), salt=STAMP, max_age=LONGEST_S)
        except signing.BadSignature:
            self.add_error(None, self.words.page["long"])
            return cleaned
        try:
            signing.loads(cleaned["opened"], salt=STAMP, max_age=FASTEST_S)
        except signing.SignatureExpired:
            return cleaned
        self.add_error(None, self.words.page["quick"])
        return cleaned


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
    counts = caches["shared"]
    now = time.time()
    since, before = counts.get(key) or (now, 0)
    # The hour runs from the first request: a count that is renewed must not prolong it.
    counts.set(key, (since, before + 1), max(1, since + HOUR_S - now))
    return before + 1


def _full(request: HttpRequest) -> bool:
    _, taken = caches["shared"].get(f"asked:{_address(request)}") or (0, 0)
    return taken >= settings.REQUESTS_PER_HOUR


def _language(request: HttpRequest) -> str:
    """The page's language: chosen by its link, else what the browser asks for."""
    chosen = request.POST.get("page_language") or request.GET.get("in")
    if chosen in WORDS:
        return chosen
    return "es" if get_language_from_request(request).startswith("es") else "en"


@never_cache
@require_http_methods(["GET", "POST"])
def ask(request: HttpRequest) -> HttpResponse:
    language = _language(request)
    with translation.override(language):
        if request.method != "POST":
            return _page(request, AskForm(language=language), language)
        form = AskForm(request.POST, language=language)
        if _full(request):
            return _page(request, form, language, status=429, full=True)
        if form.trapped():
            _taken(request)
            return redirect(_thanks(language))
        if form.is_valid():
            _taken(request)
            try:
                intake.receive_lead(actor=None, source="web", **form.cleaned_facts())
            except Problems as problems:
                add_problems(form, [_on_field(problem, form) for problem in problems])
            else:
                return redirect(_thanks(language))
        return _page(request, form, language, status=422)


def _on_field(problem: Problem, form: AskForm) -> Problem:
    """In the page's words and language where it has some; actions speak the office's English."""
    field = "kwh_1" if problem.field == "monthly_kwh" else problem.field
    said = form.words.unknown
    return Problem(field, said.get(field) or said.get("") or problem.message)


def _thanks(language: str) -> str:
    return reverse("ask-thanks") + ("?in=es" if language == "es" else "")


def _stamp(form: AskForm) -> str:
    """When the page was first opened; correcting a slip must not start the minimum time anew."""
    before = str(form.data.get("opened", "")) if form.is_bound else ""
    try:
        signing.loads(before, salt=STAMP, max_age=LONGEST_S)
    except signing.BadSignature:
        return signing.dumps("", salt=STAMP)
    return before


def _page(request: HttpRequest, form: AskForm, language: str, *, status: int = 200, full: bool = False) -> HttpResponse:
    context = {"form": form, "full": full, "opened": _stamp(form), **_frame(language)}
    return render(request, "customer/ask.html", context, status=status)


def _frame(language: str) -> dict[str, Any]:
    office = OfficeProfile.current()
    return {
        "office": office,
        "firm_name": office.name if office else "",
        "w": WORDS[language].page,
        "language": language,
        "other": "en" if language == "es" else "es",
    }


@require_GET
def thanks(request: HttpRequest) -> HttpResponse:
    return render(request, "customer/ask_thanks.html", _frame(_language(request)))
