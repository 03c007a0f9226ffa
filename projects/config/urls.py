"""The root of all addresses. The only file in ``projects`` that knows ``paperwork``."""

from django.urls import include, path

urlpatterns = [
    path("", include("projects.screens.urls")),
    path("papers/", include("paperwork.urls")),
]
