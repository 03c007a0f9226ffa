"""Office: a lead's intake, the site assessment, loads, design, study and the office's own settings."""

from django.urls import path

from projects.screens.office import (
    design,
    economics,
    lead,
    loads,
    search,
    settings_pages,
    site,
    study,
    system_kind,
    weather,
)

urlpatterns = [
    path("leads/new/", lead.new_lead, name="lead-new"),
    path("leads/duplicates/", lead.duplicates, name="lead-duplicates"),
    path("leads/locate/", lead.locate, name="lead-locate"),
    path("jobs/<int:number>/answers/", lead.answers, name="lead-answers"),
    path("jobs/<int:number>/same-site/", lead.same_site, name="lead-same-site"),
    path("jobs/<int:number>/same-household/", lead.same_household, name="lead-same-household"),
    path("jobs/<int:number>/kind/", system_kind.kind, name="job-kind"),
    path("jobs/<int:number>/site/", site.assessment, name="job-site"),
    path("jobs/<int:number>/site/units/", site.units, name="job-site-units"),
    path("jobs/<int:number>/site/service/", site.service, name="job-service"),
    path("jobs/<int:number>/site/planes/new/", site.plane, name="job-plane-new"),
    path("jobs/<int:number>/site/planes/<int:pk>/", site.plane, name="job-plane"),
    path("jobs/<int:number>/site/planes/<int:pk>/remove/", site.remove_plane, name="job-plane-remove"),
    path("jobs/<int:number>/site/horizon/", site.horizon, name="job-horizon"),
    path("jobs/<int:number>/site/obstructions/new/", site.obstruction, name="job-obstruction-new"),
    path("jobs/<int:number>/site/obstructions/none/", site.no_obstructions, name="job-obstructions-none"),
    path("jobs/<int:number>/site/obstructions/<int:pk>/", site.obstruction, name="job-obstruction"),
    path(
        "jobs/<int:number>/site/obstructions/<int:pk>/remove/", site.remove_obstruction, name="job-obstruction-remove"
    ),
    path("jobs/<int:number>/site/photos/", site.photos, name="job-photos"),
    path("photos/<int:pk>/", site.photo, name="photo"),
    path("photos/<int:pk>/remove/", site.remove_photo, name="photo-remove"),
    path("jobs/<int:number>/loads/", loads.worksheet, name="job-loads"),
    path("jobs/<int:number>/loads/prefill/", loads.prefill, name="job-loads-prefill"),
    path("jobs/<int:number>/loads/new/", loads.line, name="job-load-new"),
    path("jobs/<int:number>/loads/<int:pk>/", loads.line, name="job-load"),
    path("jobs/<int:number>/loads/<int:pk>/remove/", loads.remove_line, name="job-load-remove"),
    path("jobs/<int:number>/design/", design.design, name="job-design"),
    path("jobs/<int:number>/design/preliminary/", design.preliminary, name="job-design-preliminary"),
    path("jobs/<int:number>/study/", study.results, name="job-study"),
    path("jobs/<int:number>/study/run/", study.run, name="job-study-run"),
    path("jobs/<int:number>/designs/", search.find, name="job-search"),
    path("jobs/<int:number>/designs/<int:pk>/<int:place>/take/", search.take, name="job-search-take"),
    path("searches/<int:pk>/progress/", search.progress, name="search-progress"),
    path("studies/<int:pk>/progress/", study.progress, name="study-progress"),
    path("jobs/<int:number>/weather/", weather.site, name="job-weather"),
    path("jobs/<int:number>/incentives/", economics.incentives, name="job-incentives"),
    path(
        "jobs/<int:number>/incentives/<int:pk>/withdraw/", economics.withdraw_incentive, name="job-incentive-withdraw"
    ),
    path("office/money/", economics.rules, name="office-money"),
    path("office/utilities/<int:pk>/prices/", economics.utility_prices, name="office-prices"),
    path("office/weather/", weather.shelf, name="weather"),
    path("office/weather/<int:pk>/retire/", weather.retire, name="weather-retire"),
    path("office/", settings_pages.office, name="office"),
    path("office/firm/", settings_pages.firm, name="office-firm"),
    path("office/<slug:noun>/new/", settings_pages.edit, name="office-new"),
    path("office/<slug:noun>/<int:pk>/", settings_pages.edit, name="office-edit"),
    path("office/jurisdictions/<int:pk>/closures/", settings_pages.closures, name="office-closures"),
]
