"""Addresses of the owner's pages."""

from django.urls import path

from projects.screens.owner import pipeline

urlpatterns = [path("pipeline/", pipeline.pipeline, name="pipeline")]
