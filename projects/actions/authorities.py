"""Which building department and which utility a new site probably belongs to; the office confirms or corrects."""

from __future__ import annotations

from projects.models import Job, Jurisdiction, Site, Utility


def guess(site: Site) -> tuple[Jurisdiction | None, Utility | None]:
    """A town's own department before the county's; the utility of the newest other job at the same ZIP."""
    return _jurisdiction(site), _utility(site)


def _jurisdiction(site: Site) -> Jurisdiction | None:
    of_state = list(Jurisdiction.objects.filter(state=site.state))
    for place in (site.city, site.county):
        named = [j for j in of_state if place and place.lower() in j.name.lower()]
        if len(named) == 1:
            return named[0]
    return None


def _utility(site: Site) -> Utility | None:
    neighbour = (
        Job.objects.filter(site__zip_code=site.zip_code, utility__isnull=False)
        .exclude(site=site)
        .select_related("utility")
        .order_by("-number")
        .first()
    )
    return neighbour.utility if neighbour else None
