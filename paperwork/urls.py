"""Addresses of the papers."""

from django.urls import path

from paperwork import views, views_batch, views_money

urlpatterns = [
    path("<int:number>/", views_batch.job_papers, name="job-papers"),
    path("<int:number>/batch/", views_batch.batch, name="papers-batch"),
    path("<int:number>/batch/line/", views_batch.batch_line, name="papers-batch-line"),
    path("issue/<str:number>/", views.paper, name="paper"),
    path("by-link/<str:token>/<str:number>/", views.paper_by_link, name="paper-by-link"),
    path("<int:number>/issue/", views.issue, name="issue-paper"),
    path("<int:number>/invoice/<int:part>/", views_money.invoice, name="invoice-new"),
    path("<int:number>/credit/<int:pk>/", views_money.credit, name="credit-note-new"),
    path("<int:number>/preview/<str:kind>/", views.preview, name="paper-preview"),
]
