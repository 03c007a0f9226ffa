"""Addresses of the customer's page."""

from django.urls import path

from projects.screens.customer import pictures, status

urlpatterns = [
    path("status/<str:token>/", status.status, name="status"),
    path("status/<str:token>/pictures/<int:pk>/", pictures.send, name="send-picture"),
]
