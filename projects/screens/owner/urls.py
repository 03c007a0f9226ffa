"""Addresses of the owner's pages."""

from django.urls import path

from projects.screens.owner import margins, pipeline, times

urlpatterns = [
    path("pipeline/", pipeline.pipeline, name="pipeline"),
    path("pipeline/margins/", margins.margins, name="margins"),
    path("pipeline/times/", times.times, name="times"),
]
