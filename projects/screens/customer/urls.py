"""Addresses of the customer's page."""

from django.urls import path

from projects.screens.customer import pictures, status, stop_mail

urlpatterns = [
    path("status/<str:token>/", status.status, name="status"),
    path("status/<str:token>/pictures/<int:pk>/", pictures.send, name="send-picture"),
    path("mail/stop/<str:token>/", stop_mail.stop, name="mail-stop"),
]
