"""Addresses of the crew's pages."""

from django.urls import path

from projects.screens.crew import views, week

urlpatterns = [
    path("crew/", views.jobs, name="crew"),
    path("crew/week/", week.week, name="crew-week"),
    path("crew/<int:number>/", views.job, name="crew-job"),
    path("crew/<int:number>/mark/", views.mark, name="crew-mark"),
    path("crew/<int:number>/fix/", views.fix, name="crew-fix"),
    path("crew/<int:number>/photo/", views.photo, name="crew-photo"),
]
