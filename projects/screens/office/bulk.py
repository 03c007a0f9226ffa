"""One change on many jobs of the list: chosen, looked at job by job, and only then made.

Between the pages the browser carries what was tried, signed. Many jobs take more than one request: each works for some
seconds and the page asks for the next by itself.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.actions import bulk
from projects.models import Job
from projects.queries import job_list
from projects.screens.access import office_only
from projects.screens.office.bulk_carried import Carried, NotCarried, TriedRow
from projects.screens.office.filters import JobFilters
from projects.screens.office.forms_bulk import FORMS, BulkForm

SECONDS = 4.0
"""Of one request's work: well within what a server allows, and long enough for most choices."""
MADE = "bulk_made"
AGAIN = "That choice is too old, or it was somebody else’s. Choose the jobs again."


@office_only
@require_http_methods(["GET", "POST"])
def change(request: HttpRequest) -> HttpResponse:
    """GET: the jobs ticked, or all that the list found. POST: tries what was chosen."""
    if request.method == "GET":
        listed = request.GET.get("list", "")
        ids = _found(request, listed) if request.GET.get("which") == "all" else _ids(request.GET.getlist("job"))
        return _refused(request, ids, listed) or _choices(request, ids, listed)
    if "state" in request.POST:
        try:
            return _try(request, Carried.read(request.POST["state"], request.user))
        except NotCarried:
            return _again(request)
    listed = request.POST.get("list", "")
    ids = _ids(request.POST.get("jobs", "").split(","))
    refused = _refused(request, ids, listed)
    key = request.POST.get("change", "")
    if refused or key not in FORMS:
        return refused or _choices(request, ids, listed)
    form = FORMS[key](request.POST)
    if "back" in request.POST or not form.is_valid():
        return _choices(request, ids, listed, form, status=200 if form.is_valid() else 422)
    data = {name: request.POST[name] for name in form.fields if name in request.POST}
    return _try(request, Carried(request.user.pk, key, data, listed, ids, left=ids))


@office_only
@require_POST
def make(request: HttpRequest) -> HttpResponse:
    """Makes what was looked at, on the jobs still ticked."""
    try:
        carried = Carried.read(request.POST.get("state", ""), request.user)
        form = _form(carried)
    except NotCarried:
        return _again(request)
    if not carried.making:
        wanted = set(request.POST.getlist("job"))
        carried.making = True
        carried.stamps = {row.pk: row.stamp for row in carried.rows if row.can and str(row.number) in wanted}
        carried.rows, carried.wanted = [], len(carried.stamps)
        if not carried.stamps:
            messages.error(request, "No job was ticked, so nothing was changed.")
            return redirect(_list_address(carried.listed))
    made = bulk.make_on_many(stamps=carried.stamps, change=form.change(), actor=request.user, seconds=SECONDS)
    carried.add(made)
    if carried.stamps:
        through = carried.wanted - len(carried.stamps)
        return _progress(request, carried, through, carried.wanted, reverse("jobs-change-make"))
    request.session[MADE] = {"words": form.words, "listed": carried.listed, **carried.made}
    return redirect("jobs-change-made")


@office_only
@require_safe
def made(request: HttpRequest) -> HttpResponse:
    """What became of it; it stays to be looked at until the next time."""
    told = request.session.get(MADE)
    if told is None:
        return redirect("jobs")
    reasons = dict(told["refused"])
    wanted = [*told["done"], *told["already"], *told["moved"], *reasons]
    rows = {job.number: job for job in Job.objects.filter(number__in=wanted).select_related("customer")}
    context = {
        "nav": "jobs",
        "words": told["words"],
        "done": [rows[number] for number in told["done"] if number in rows],
        "already": [rows[number] for number in told["already"] if number in rows],
        "moved": [rows[number] for number in told["moved"] if number in rows],
        "refused": [(rows[number], problems) for number, problems in reasons.items() if number in rows],
        "list_address": _list_address(told["listed"]),
    }
    return render(request, "office/bulk_made.html", context)


def _try(request: HttpRequest, carried: Carried) -> HttpResponse:
    form = _form(carried)
    if carried.left:
        tried = bulk.try_on_many(ids=carried.left, change=form.change(), actor=request.user, seconds=SECONDS)
        carried.rows += [TriedRow.of(each) for each in tried]
        carried.left = carried.left[len(tried) :] if tried else []
    if carried.left:
        through = len(carried.ids) - len(carried.left)
        return _progress(request, carried, through, len(carried.ids), reverse("jobs-change"))
    context = {
        "nav": "jobs",
        "form": form,
        "state": carried.signed(),
        "can": [row for row in carried.rows if row.can],
        "cannot": [row for row in carried.rows if row.problems],
        "already": [row for row in carried.rows if not row.can and not row.problems],
        "letters": sum(row.letter for row in carried.rows),
        "jobs": _joined(carried),
        "listed": carried.listed,
        "data": carried.data.items(),
        "list_address": _list_address(carried.listed),
    }
    return render(request, "office/bulk_preview.html", context)


def _choices(
    request: HttpRequest, ids: Sequence[int], listed: str, bound: BulkForm | None = None, status: int = 200
) -> HttpResponse:
    rows = Job.objects.filter(pk__in=ids).select_related("customer").order_by("number")
    jobs = list(rows)
    context = {
        "nav": "jobs",
        "forms": [bound if bound is not None and bound.key == key else form() for key, form in FORMS.items()],
        "chosen": bound.key if bound is not None else "",
        "rows": jobs,
        "jobs": ",".join(str(job.number) for job in jobs),
        "listed": listed,
        "list_address": _list_address(listed),
    }
    return render(request, "office/bulk.html", context, status=status)


def _progress(request: HttpRequest, carried: Carried, through: int, of: int, address: str) -> HttpResponse:
    context = {
        "nav": "jobs",
        "state": carried.signed(),
        "through": through,
        "of": of,
        "address": address,
        "making": carried.making,
    }
    return render(request, "office/bulk_progress.html", context)


def _refused(request: HttpRequest, ids: Sequence[int], listed: str) -> HttpResponse | None:
    if not ids:
        messages.error(request, "Tick at least one job, or change all that the list shows.")
    elif len(ids) > bulk.MOST_JOBS:
        messages.error(request, f"At most {bulk.MOST_JOBS} jobs at once: narrow the list first.")
    else:
        return None
    return redirect(_list_address(listed))


def _again(request: HttpRequest) -> HttpResponse:
    messages.error(request, AGAIN)
    return redirect("jobs")


def _form(carried: Carried) -> BulkForm:
    """Raises NotCarried where what was chosen no longer stands, such as a person who has left."""
    form = FORMS[carried.change](carried.data) if carried.change in FORMS else None
    if form is None or not form.is_valid():
        raise NotCarried
    return form


def _found(request: HttpRequest, listed: str) -> list[int]:
    """All that the list shows under the same conditions, over all its pages; one more than may be changed at most."""
    filters = JobFilters(QueryDict(listed), queryset=job_list(closed_too=True), request=request)
    return list(filters.qs.select_related(None).values_list("pk", flat=True)[: bulk.MOST_JOBS + 1])


def _ids(numbers: Sequence[str]) -> list[int]:
    wanted = {int(each) for each in numbers if each.isdecimal() and len(each) < 10}
    return list(Job.objects.filter(number__in=wanted).order_by("number").values_list("pk", flat=True)) if wanted else []


def _joined(carried: Carried) -> str:
    return ",".join(str(row.number) for row in carried.rows)


def _list_address(listed: str) -> str:
    return f"{reverse('jobs')}?{QueryDict(listed).urlencode()}" if listed else reverse("jobs")
