"""The money sheet of a job, the list of what is owed, and the office's terms of payment."""

from __future__ import annotations

from functools import partial
from typing import Any

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from projects.actions.payment_terms import save_payment_terms
from projects.actions.schedule import usual_terms
from projects.models import Payment, PaymentTerms, Person
from projects.queries.margins import job_margin
from projects.queries.money import ages, job_money, owed, to_invoice
from projects.screens import meanwhile
from projects.screens.access import job_or_404, office_only
from projects.screens.money_field import UsdField
from projects.screens.office.forms_money import ScheduleRows

ROWS_PER_PAGE = 50


@office_only
@require_safe
def job_sheet(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    person = request.user
    if not isinstance(person, Person):
        raise Http404
    today, money = timezone.localdate(), job_money(job)
    context = {
        "nav": "jobs",
        "job": job,
        "money": money,
        "ledger": money.ledger,
        "due_usd": sum(part.amount_usd for part in money.due),
        "invoices": [(line, line.late_days(today)) for line in reversed(money.ledger.invoices)],
        "taken_back": Payment.objects.filter(job=job).exclude(withdrawn_at=None),
        "costs": list(job.costs.filter(withdrawn_at=None)),
        "margin": job_margin(job) if person.is_owner else None,
    }
    return render(request, "office/money.html", context)


@office_only
@require_safe
def owed_list(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    rows, due = owed(today), to_invoice()
    context = {
        "nav": "money",
        "page": Paginator(rows, ROWS_PER_PAGE).get_page(request.GET.get("page")),
        "ages": ages(rows, today),
        "total": sum(row.line.open_usd for row in rows),
        "late": sum(row.line.open_usd for row in rows if row.late_days),
        "due": due,
        "due_total": sum(row.part.amount_usd for row in due),
    }
    return render(request, "office/money_owed.html", context)


class TermsForm(ScheduleRows):
    payment_days = forms.IntegerField(
        label="Days to pay an invoice",
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={"required": "How many days?"},
    )
    labor_usd_per_hour = UsdField("An hour of labor costs us", help_text="With taxes and insurance; for the margins.")

    def __init__(self, *args: Any, row: PaymentTerms, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.initial |= {"payment_days": row.payment_days, "labor_usd_per_hour": row.labor_usd_per_hour}
        self.add_rows(usual_terms())

    def rows(self) -> list[list[forms.BoundField]]:
        numbers = range(1, len([name for name in self.fields if name.startswith("title_")]) + 1)
        return [[self[f"{name}_{n}"] for name in ("title", "fact", "percent")] for n in numbers]


@office_only
@require_http_methods(["GET", "HEAD", "POST"])
def terms(request: HttpRequest) -> HttpResponse:
    row = PaymentTerms.current()
    with meanwhile.alone_with(request, row):
        form = TermsForm(request.POST if request.method == "POST" else None, row=row)
        if meanwhile.saved(form, request, partial(_save_terms, request.user, form)):
            messages.success(request, "The terms of payment are saved.")
            return redirect("payment-terms")
    context = {"nav": "office", "form": form, "opened_with": meanwhile.opened_with(form)}
    return render(request, "office/payment_terms.html", context, status=422 if form.errors else 200)


def _save_terms(actor: Any, form: TermsForm, **typed: Any) -> None:
    fields = {name: typed[name] for name in ("payment_days", "labor_usd_per_hour")}
    save_payment_terms(actor=actor, lines=form.lines(), **fields)
