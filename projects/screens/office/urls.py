"""Office: the job list, the job page and the facts recorded from it."""

from django.urls import path

from projects.screens.office import (
    bulk,
    customer_pictures,
    desk,
    documents,
    facts,
    finding,
    importing,
    job,
    jobs,
    money,
    service,
    warranties,
)

urlpatterns = [
    path("desk/", desk.desk, name="desk"),
    path("desk/<int:number>/<slug:key>/back/", desk.back, name="desk-back"),
    path("find/", finding.find_anything, name="find"),
    path("jobs/", jobs.jobs, name="jobs"),
    path("jobs/change/", bulk.change, name="jobs-change"),
    path("jobs/change/make/", bulk.make, name="jobs-change-make"),
    path("jobs/change/made/", bulk.made, name="jobs-change-made"),
    path("jobs/csv/", jobs.jobs_csv, name="jobs-csv"),
    path("jobs/xlsx/", jobs.jobs_xlsx, name="jobs-xlsx"),
    path("imports/", importing.imports, name="imports"),
    path("imports/<int:pk>/", importing.one_import, name="import"),
    path("imports/<int:pk>/in/", importing.bring_in, name="import-in"),
    path("imports/<int:pk>/discard/", importing.discard, name="import-discard"),
    path("imports/<int:pk>/left-out/", importing.left_out, name="import-left-out"),
    path("jobs/<int:number>/", job.job, name="job"),
    path("jobs/<int:number>/documents/", documents.documents, name="job-documents"),
    path("jobs/<int:number>/journal/", job.journal, name="job-journal"),
    path("jobs/<int:number>/record/<slug:fact>/", facts.record, name="record"),
    path("jobs/<int:number>/record/<slug:fact>/<slug:subject>/", facts.record, name="record-about"),
    path("jobs/<int:number>/money/", money.job_sheet, name="job-money"),
    path("money/", money.owed_list, name="money"),
    path("office/payments/", money.terms, name="payment-terms"),
    path("jobs/<int:number>/service/", service.service, name="job-service"),
    path("sent-pictures/<int:pk>/", customer_pictures.sent_picture, name="sent-picture"),
    path("warranties/", warranties.register, name="warranties"),
]
