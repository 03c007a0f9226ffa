"""All addresses of the screens; each audience keeps its own list."""

from django.urls import path

from projects.screens import session, urls_public, worker
from projects.screens.crew import urls as crew
from projects.screens.customer import urls as customer
from projects.screens.office import urls as office
from projects.screens.office import urls_calendar, urls_lead
from projects.screens.owner import urls as owner

urlpatterns = [
    path("", session.home, name="home"),
    path("sign-in/", session.SignIn.as_view(), name="sign-in"),
    path("sign-out/", session.SignOut.as_view(), name="sign-out"),
    path("worker.js", worker.worker, name="worker"),
    *office.urlpatterns,
    *urls_lead.urlpatterns,
    *urls_calendar.urlpatterns,
    *crew.urlpatterns,
    *owner.urlpatterns,
    *customer.urlpatterns,
    *urls_public.urlpatterns,
]
