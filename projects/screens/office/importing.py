"""Files of leads: chosen, named column by column, tried, brought in, and what was left out of them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.actions import importing
from projects.actions.problems import Problems
from projects.models import LeadImport
from projects.screens.access import office_only
from projects.screens.office.forms_import import ColumnsForm, UploadForm
from projects.screens.problems import add_problems
from projects.sheets import csv_lines

LISTED = 30
PROBLEMS_SHOWN = 60
BULKY = ("rows", "problems", "known")
State = LeadImport.State


@office_only
@require_http_methods(["GET", "POST"])
def imports(request: HttpRequest) -> HttpResponse:
    form = UploadForm(*([request.POST, request.FILES] if request.method == "POST" else []), label_suffix="")
    if form.is_valid():
        upload = form.cleaned_data["upload"]
        try:
            batch = importing.begin_import(actor=request.user, data=upload.read(), filename=upload.name)
        except Problems as problems:
            add_problems(form, problems)
        else:
            return redirect("import", pk=batch.pk)
    batches = LeadImport.objects.select_related("uploaded_by").defer(*BULKY)[:LISTED]
    context = {"nav": "jobs", "form": form, "batches": batches}
    return render(request, "office/imports.html", context, status=422 if form.errors else 200)


@office_only
@require_http_methods(["GET", "POST"])
def one_import(request: HttpRequest, pk: int) -> HttpResponse:
    batch = get_object_or_404(LeadImport.objects.select_related("uploaded_by"), pk=pk)
    form = ColumnsForm(request.POST if request.method == "POST" else None, batch=batch)
    if request.method == "POST" and form.is_valid():
        try:
            importing.try_import(
                actor=request.user,
                lead_import=batch,
                columns=form.chosen,
                source=form.cleaned_data["source"],
                origin=form.cleaned_data["origin"],
                known_too=form.cleaned_data["known_too"],
            )
        except Problems as problems:
            add_problems(form, problems)
        else:
            return redirect(f"{reverse('import', args=[batch.pk])}#tried")
    context = {
        "nav": "jobs",
        "batch": batch,
        "form": form,
        "tried": batch.state != State.MAPPING,
        "problems": batch.problems[:PROBLEMS_SHOWN],
        "more_problems": max(0, len(batch.problems) - PROBLEMS_SHOWN),
        "known": batch.known[:PROBLEMS_SHOWN],
        "goes_on": batch.state == State.RUNNING and "on" in request.GET,
        "percent": 100 * batch.place // max(1, batch.row_count),
    }
    return render(request, "office/import.html", context, status=422 if form.errors else 200)


@office_only
@require_POST
def bring_in(request: HttpRequest, pk: int) -> HttpResponse:
    """One slice; the page that follows asks for the next one by itself where scripts run."""
    batch = get_object_or_404(LeadImport.objects.defer(*BULKY), pk=pk)
    try:
        importing.bring_in(actor=request.user, lead_import=batch)
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
    going_on = "?on=1" if batch.state == State.RUNNING else ""
    return redirect(f"{reverse('import', args=[pk])}{going_on}")


@office_only
@require_POST
def discard(request: HttpRequest, pk: int) -> HttpResponse:
    batch = get_object_or_404(LeadImport.objects.defer(*BULKY), pk=pk)
    try:
        importing.discard_import(actor=request.user, lead_import=batch)
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
        return redirect("import", pk=pk)
    messages.success(request, f"{batch.filename} is thrown away; nothing of it came in.")
    return redirect("imports")


@office_only
@require_safe
def left_out(request: HttpRequest, pk: int) -> StreamingHttpResponse:
    """The rows that did not come in, as they were, with what is wrong: to be mended and brought again."""
    batch = get_object_or_404(LeadImport, pk=pk)
    why: dict[int, list[str]] = {}
    for row, heading, _, words in batch.problems:
        why.setdefault(row, []).append(f"{heading}: {words}")
    for row, words in batch.known:
        why.setdefault(row, []).append(words)
    rows = ([*cells, number, " ".join(why[number])] for number, cells in batch.rows if number in why)
    lines = csv_lines([*batch.headings, "row", "what is wrong"], rows)
    response = StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="left-out-{batch.pk}.csv"'
    return response
