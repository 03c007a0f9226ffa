"""Addresses of the customer's page."""

from django.urls import path

from projects.screens.customer import status

urlpatterns = [
    path("status/<str:token>/", status.status, name="status"),
]
