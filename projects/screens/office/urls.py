"""Office: the job list, the job page and the facts recorded from it."""

from django.urls import path

from projects.screens.office import desk, facts, job, jobs, warranties

urlpatterns = [
    path("desk/", desk.desk, name="desk"),
    path("desk/<int:number>/<slug:key>/back/", desk.back, name="desk-back"),
    path("jobs/", jobs.jobs, name="jobs"),
    path("jobs/csv/", jobs.jobs_csv, name="jobs-csv"),
    path("jobs/<int:number>/", job.job, name="job"),
    path("jobs/<int:number>/journal/", job.journal, name="job-journal"),
    path("jobs/<int:number>/record/<slug:fact>/", facts.record, name="record"),
    path("jobs/<int:number>/record/<slug:fact>/<slug:subject>/", facts.record, name="record-about"),
    path("warranties/", warranties.register, name="warranties"),
]
