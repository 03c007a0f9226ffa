"""The weather shelf, and the weather that one site is studied with."""

from __future__ import annotations

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from projects import studies
from projects.actions import weather as actions
from projects.actions.problems import Problems
from projects.models import SiteWeather, WeatherFile
from projects.queries import weather as queries
from projects.screens.access import job_or_404, office_only
from projects.screens.office.forms_weather import RetireForm, SiteWeatherForm, WeatherFileForm
from projects.screens.problems import add_problems


@office_only
@require_http_methods(["GET", "POST"])
def shelf(request: HttpRequest) -> HttpResponse:
    form = WeatherFileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.add_weather_file(actor=request.user, **form.cleaned_data)
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, f"{row} is on the shelf. Studies of sites that lie nearest to it will use it.")
            return redirect("weather")
    rows = WeatherFile.objects.select_related("added_by", "retired_by").annotate(
        chosen=Count("sites", filter=Q(sites__choice=SiteWeather.Choice.FILE))
    )
    serving = queries.open_jobs_by_file()
    context = {
        "nav": "office",
        "form": form,
        "files": [(row, serving.get(row.pk)) for row in rows if row.retired_at is None],
        "retired": [row for row in rows if row.retired_at is not None],
        "carried": queries.carried_files(),
        "carried_serving": serving.get(None),
    }
    return render(request, "office/weather.html", context, status=422 if form.errors else 200)


@office_only
@require_http_methods(["GET", "POST"])
def retire(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(WeatherFile, pk=pk, retired_at=None)
    form = RetireForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.retire_weather_file(actor=request.user, weather=row, reason=form.cleaned_data["reason"])
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, f"{row} serves no new study. It stays stored.")
            return redirect("weather")
    context = {"nav": "office", "row": row, "form": form}
    return render(request, "office/weather_retire.html", context, status=422 if form.errors else 200)


@office_only
@require_http_methods(["GET", "POST"])
def site(request: HttpRequest, number: int) -> HttpResponse:
    """Which weather serves this house, how far away it was measured, and the choice."""
    job = job_or_404(request, number)
    row = SiteWeather.objects.select_related("file").filter(site=job.site).first()
    form = SiteWeatherForm(request.POST or None, row=row)
    if request.method == "POST" and form.is_valid():
        try:
            actions.choose_weather(job=job, actor=request.user, **form.chosen())
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, "The weather is chosen. Run the study again to count with it.")
            return redirect("job-weather", number=job.number)
    shelf = studies.shelf_of(job.site)
    chosen = row.choice if row else SiteWeather.Choice.NEAREST
    in_use = shelf[0] if chosen == SiteWeather.Choice.NEAREST and shelf else None
    if row is not None and chosen == SiteWeather.Choice.FILE:
        in_use = next((entry for entry in shelf if entry.row and entry.row.pk == row.file_id), None)
    context = {
        "nav": "jobs",
        "job": job,
        "form": form,
        "shelf": shelf,
        "in_use": in_use,
        "means": chosen == SiteWeather.Choice.MEANS,
        "row": row,
    }
    return render(request, "office/job_weather.html", context, status=422 if form.errors else 200)
