"""Addresses of the owner's pages."""

from django.urls import path

from projects.screens.owner import pipeline, times

urlpatterns = [
    path("pipeline/", pipeline.pipeline, name="pipeline"),
    path("pipeline/times/", times.times, name="times"),
]
