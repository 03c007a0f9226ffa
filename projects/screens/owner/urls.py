"""Addresses of the owner's pages."""

from django.urls import path

from projects.screens.owner import cash, crew_load, margins, months, pipeline, times

urlpatterns = [
    path("pipeline/", pipeline.pipeline, name="pipeline"),
    path("pipeline/cash/", cash.cash, name="cash"),
    path("pipeline/cash/next/", cash.cash_next, name="cash-next"),
    path("pipeline/crews/", crew_load.crew_load, name="crew-load"),
    path("pipeline/margins/", margins.margins, name="margins"),
    path("pipeline/months/", months.months, name="months"),
    path("pipeline/times/", times.times, name="times"),
]
