"""The pages that anybody may open: a homeowner's request."""

from django.urls import path

from projects.screens import public

urlpatterns = [
    path("ask/", public.ask, name="ask"),
    path("ask/thanks/", public.thanks, name="ask-thanks"),
]
