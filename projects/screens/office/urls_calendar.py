"""Addresses of the calendar, its crews, and what customers are told."""

from django.urls import path

from projects.screens import calendar_feed
from projects.screens.office import calendar, calendar_day, crews_pages, messages_pages

urlpatterns = [
    path("calendar/", calendar.calendar, name="calendar"),
    path("calendar/jobs/<int:number>/<slug:kind>/", calendar_day.day, name="calendar-day"),
    path("calendar/jobs/<int:number>/<slug:kind>/off/", calendar_day.cancel, name="calendar-cancel"),
    path("calendar/jobs/<int:number>/undo/<int:entry>/", calendar_day.undo, name="calendar-undo"),
    path("calendar/crews/", crews_pages.crews, name="crews"),
    path("calendar/crews/new/", crews_pages.crew, name="crew-new"),
    path("calendar/crews/<int:pk>/", crews_pages.crew, name="crew-edit"),
    path("calendar/crews/<int:pk>/days-off/", crews_pages.day_off, name="crew-days-off"),
    path("calendar/address/", calendar_feed.address, name="calendar-address"),
    path("calendar/address/<int:pk>/end/", calendar_feed.revoke, name="calendar-address-end"),
    path("calendar/read/<str:token>.ics", calendar_feed.file, name="calendar-file"),
    path("messages/", messages_pages.outbox, name="messages"),
    path("messages/<int:pk>/act/", messages_pages.act, name="message-act"),
    path("jobs/<int:number>/messages/", messages_pages.of_job, name="job-messages"),
    path("jobs/<int:number>/messages/choose/", messages_pages.choose, name="job-messages-choose"),
]
