"""Writing an invoice or a credit note: a small form beside what it is about, and the paper behind it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods
from django_htmx.http import HttpResponseClientRedirect

from paperwork.billing import issue_credit_note, issue_invoice
from paperwork.models import IssuedPaper
from projects.actions.amounts import usd
from projects.actions.ledger import ledger_of
from projects.actions.problems import Problems
from projects.actions.schedule import parts_of, terms_of
from projects.actions.standing import standing_of
from projects.models import Invoice, Job, PaymentTerms, Person
from projects.screens.access import job_or_404, office_only
from projects.screens.money_field import UsdField
from projects.screens.office.forms_base import FactForm, words
from projects.screens.problems import add_problems


class InvoiceForm(FactForm):
    """``subject``: the order number of the part."""

    fact = "invoice"
    button = "Issue the invoice"

    @property
    def title(self) -> str:
        return "Write this invoice"

    @property
    def lead(self) -> str:
        parts = parts_of(self.job.price_usd, terms_of(self.job), ledger_of(self.job), standing_of(self.job))
        found = next((part for part in parts if part.order == self.subject), None)
        if found is None or found.state != "due":
            return "This part of the price can't be asked for now."
        days = PaymentTerms.current().payment_days
        return (
            f"{found.title}: {usd(found.amount_usd)}, to be paid within {days} days. It is numbered, kept as a paper "
            "and never edited; a credit note can take it back."
        )

    def record(self) -> IssuedPaper:
        return issue_invoice(job=self.job, part=self.subject, actor=self.person)


class CreditForm(FactForm):
    """``subject``: the invoice."""

    fact = "credit"
    button = "Issue the credit note"

    amount_usd = UsdField(
        "Amount", required=False, help_text="Empty: all that is left of it; the invoice is void then."
    )
    reason = words("Why", required=True, rows=2, most=600, help_text="The customer reads it.")

    @property
    def title(self) -> str:
        return f"Take back invoice {self.subject.number}"

    @property
    def lead(self) -> str:
        line = next(line for line in ledger_of(self.job).invoices if line.invoice.pk == self.subject.pk)
        return f"{usd(line.net_usd)} are left of it, {usd(line.paid_usd)} of that are paid."

    def record(self) -> IssuedPaper:
        return issue_credit_note(invoice=self.subject, actor=self.person, **self.cleaned_data)


@office_only
@require_http_methods(["GET", "HEAD", "POST"])
def invoice(request: HttpRequest, number: int, part: int) -> HttpResponse:
    return _form(request, job_or_404(request, number), InvoiceForm, part, f"invoice-{part}-%s")


@office_only
@require_http_methods(["GET", "HEAD", "POST"])
def credit(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    job = job_or_404(request, number)
    row = get_object_or_404(Invoice, pk=pk, job=job)
    return _form(request, job, CreditForm, row, f"credit-{pk}-%s")


def _form(request: HttpRequest, job: Job, form_class: type[FactForm], subject: Any, ids: str) -> HttpResponse:
    person = request.user
    if not isinstance(person, Person):
        raise Http404
    form = form_class(job, person, subject, request.POST if request.method == "POST" else None, auto_id=ids)
    in_place = bool(request.htmx)  # type: ignore[attr-defined]
    if request.method == "POST" and form.is_valid():
        try:
            paper = form.record()
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, f"{paper.number} is issued.")
            back = reverse("job-money", args=[job.number])
            return HttpResponseClientRedirect(back) if in_place else HttpResponseRedirect(back)
    template = "office/fact_form.html" if in_place else "office/fact.html"
    context = {"nav": "jobs", "job": job, "form": form, "address": request.get_full_path(), "in_place": in_place}
    return render(request, template, context, status=422 if form.errors else 200)
