"""The office's job list as a table: every column can be sorted."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from typing import Any

import django_tables2 as tables
from django.db.models import QuerySet
from django.template.defaultfilters import date as format_date
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.text import capfirst
from django_tables2.data import TableQuerysetData

from projects.models import Job, Stage
from projects.queries.jobs import MOST_PRESSING_FIRST, page_of
from projects.screens.office.filters import JobFilters
from projects.screens.oneline import oneline_small
from projects.screens.tasks import task


def day(value: date, today: date) -> str:
    """ "3 Nov", with the year where it isn't this one."""
    return format_date(value, "j M" if value.year == today.year else "j M Y")


def due_words(due: date, today: date) -> str:
    """ "today", "tomorrow", "4 days late", else the day."""
    days = (due - today).days
    if days < -1:
        return f"{-days} days late"
    return {-1: "1 day late", 0: "today", 1: "tomorrow"}.get(days) or day(due, today)


def drawing(job: Job) -> SafeString:
    return _drawn(tuple(map(tuple, job.gates)), job.stage)


@lru_cache(maxsize=1024)
def _drawn(gates: tuple[tuple[str, str], ...], stage: str) -> SafeString:
    # Jobs of the same kind and progress look alike: a list of a thousand has some dozens of drawings.
    label = f"stands at {Stage(stage).label.lower()}"
    return oneline_small(gates, in_service=stage == Stage.IN_SERVICE, label=label)


class JobRows(TableQuerysetData):
    """The rows of a page, found by their numbers first."""

    def __init__(self, filters: JobFilters) -> None:
        super().__init__(filters.qs)
        self.filters = filters

    def __len__(self) -> int:
        return self.filters.count

    def __getitem__(self, key: Any) -> Any:
        if isinstance(key, slice):
            return page_of(self.data, key.start or 0, len(self) if key.stop is None else key.stop, len(self))
        return super().__getitem__(key)


class JobTable(tables.Table):
    """Each column's order is one of ``LIST_ORDERS``."""

    default_order = MOST_PRESSING_FIRST

    number = tables.Column(verbose_name="Job")
    household = tables.Column(accessor="customer__name", verbose_name="Household", order_by=("household_key", "number"))
    route = tables.Column(accessor="stage", verbose_name="Route")
    next_step = tables.Column(verbose_name="Next step", empty_values=(), order_by=("next_step", "number"))
    waiting_on = tables.Column(
        accessor="waiting_on_name", verbose_name="Waiting on", empty_values=(), order_by=("waiting_on_name", "number")
    )
    due = tables.Column(accessor="due_on", verbose_name="Due", empty_values=())
    received = tables.Column(accessor="received_at", verbose_name="Came in", order_by=("received_at", "number"))
    price = tables.Column(accessor="price_usd", verbose_name="Price", empty_values=())

    class Meta:
        template_name = "office/table.html"
        attrs = {"class": "data jobs"}
        orderable = True

    def before_render(self, request) -> None:
        self.today = timezone.localdate()

    def render_number(self, record: Job) -> SafeString:
        if record.outcome:
            return format_html('<span class="number">{}</span>', record.label)
        return format_html(
            '<label class="tickjob"><input type="checkbox" name="job" value="{}">'
            '<span class="visually-hidden">Tick job </span><span class="number">{}</span></label>',
            record.number,
            record.label,
        )

    def render_household(self, record: Job) -> SafeString:
        return format_html(
            '<a href="{}" class="name">{}</a><small>{}, {}</small>',
            reverse("job", args=[record.number]),
            record.customer.name,
            record.site.street,
            record.site.city,
        )

    def render_route(self, record: Job) -> SafeString:
        kind = record.get_system_kind_display() if record.system_kind else "kind not decided"
        if record.outcome:
            return format_html("<b>{}</b><small>{}</small>", record.get_outcome_display(), kind)
        stage = record.get_stage_display()
        if record.stage == Stage.OPERATION and record.system_kind == "off_grid":
            stage = "Ready to operate"
        return format_html("{}<b>{}</b><small>{}</small>", drawing(record), stage, kind)

    def render_next_step(self, record: Job) -> str:
        return record.outcome_reason if record.outcome else task(record.next_key, record.next_step)

    def render_waiting_on(self, record: Job) -> SafeString:
        waiting = capfirst(record.waiting_on_name)
        if record.assigned_to is None:
            return format_html("{}", waiting)
        return format_html("{}<small>with {}</small>", waiting, record.assigned_to.name)

    def render_due(self, record: Job) -> SafeString | str:
        if record.due_on is None or record.outcome:
            return ""
        words = due_words(record.due_on, self.today)
        if record.due_on < self.today:
            return format_html(
                '<span class="late">{}</span><small class="nowrap">{}</small>', words, day(record.due_on, self.today)
            )
        return words

    def render_received(self, record: Job) -> str:
        return day(timezone.localdate(record.received_at), self.today)

    def render_price(self, record: Job) -> str:
        return "" if record.price_usd is None else f"${record.price_usd:,.0f}"

    def order_route(self, jobs: QuerySet[Job], descending: bool) -> tuple[QuerySet[Job], bool]:
        return jobs.order_by("-stage_place" if descending else "stage_place", "due_up", "number"), True

    def order_due(self, jobs: QuerySet[Job], descending: bool) -> tuple[QuerySet[Job], bool]:
        return _empty_last(jobs, "due", descending), True

    def order_price(self, jobs: QuerySet[Job], descending: bool) -> tuple[QuerySet[Job], bool]:
        return _empty_last(jobs, "price", descending), True


def _empty_last(jobs: QuerySet[Job], name: str, descending: bool) -> QuerySet[Job]:
    return jobs.order_by(f"-{name}_down", "-number") if descending else jobs.order_by(f"{name}_up", "number")
