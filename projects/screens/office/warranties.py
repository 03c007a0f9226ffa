"""The register of warranties: what was promised to whom, until when, the earliest end first."""

from __future__ import annotations

import django_tables2 as tables
from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe
from django_tables2 import RequestConfig

from projects.models import Warranty
from projects.queries.warranties import ENDING_SOON_DAYS, ending_soon, warranty_list
from projects.screens.access import office_only
from projects.screens.plain_form import PlainForm

SHOW = {"running": "Running", "soon": "Ending within half a year", "ended": "Ended", "all": "All"}


class WarrantyFilters(PlainForm):
    q = forms.CharField(label="Find", required=False, max_length=120)
    show = forms.ChoiceField(label="Show", required=False, choices=list(SHOW.items()))


class WarrantyTable(tables.Table):
    number = tables.Column(accessor="job__number", verbose_name="Job")
    household = tables.Column(accessor="job__customer__name", verbose_name="Household")
    covers = tables.Column(verbose_name="Covers")
    years = tables.Column(verbose_name="Years")
    starts = tables.Column(accessor="starts_on", verbose_name="From")
    ends = tables.Column(accessor="ends_on", verbose_name="Until")

    class Meta:
        template_name = "office/table.html"
        attrs = {"class": "data warranties"}
        order_by = ("ends",)

    def before_render(self, request: HttpRequest) -> None:
        self.today = timezone.localdate()

    def render_number(self, record: Warranty) -> SafeString:
        return format_html('<span class="number">{}</span>', record.job.label)

    def render_household(self, record: Warranty) -> SafeString:
        return format_html(
            '<a href="{}#warranties" class="name">{}</a><small>{}, {}</small>',
            reverse("job", args=[record.job.number]),
            record.job.customer.name,
            record.job.site.street,
            record.job.site.city,
        )

    def render_starts(self, record: Warranty) -> str:
        return f"{record.starts_on:%-d %b %Y}"

    def render_ends(self, record: Warranty) -> SafeString | str:
        words = f"{record.ends_on:%-d %b %Y}"
        left = (record.ends_on - self.today).days
        if left < 0:
            return format_html('{}<small class="soft">ended</small>', words)
        if left <= ENDING_SOON_DAYS:
            return format_html('<span class="late">{}</span><small>{} days left</small>', words, left)
        return words


@office_only
@require_safe
def register(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    form = WarrantyFilters(request.GET or None, label_suffix="")
    asked = form.cleaned_data if form.is_valid() else {}
    show = asked.get("show") or "running"
    table = WarrantyTable(warranty_list(today=today, text=asked.get("q", ""), show=show))
    RequestConfig(request, paginate={"per_page": 25, "silent": True}).configure(table)
    context = {
        "nav": "warranties",
        "form": form,
        "table": table,
        "show": SHOW[show].lower(),
        "narrowed": bool(asked.get("q")) or show != "running",
        "soon": ending_soon(today),
    }
    return render(request, "office/warranties.html", context)
