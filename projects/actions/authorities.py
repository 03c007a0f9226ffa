"""Which building department and which utility a new site probably belongs to; the office confirms or corrects."""

from __future__ import annotations

from projects.models import Job, Jurisdiction, Site, Utility


class Guess:
    """A town's own department before the county's; the utility of the newest other job at the same ZIP.

    Remembers what it read, for a file of leads lies in a few states and ZIP areas.
    """

    def __init__(self) -> None:
        self._of_state: dict[str, list[Jurisdiction]] = {}
        self._of_zip: dict[str, Utility | None] = {}

    def of(self, site: Site) -> tuple[Jurisdiction | None, Utility | None]:
        return self._jurisdiction(site), self._utility(site)

    def _jurisdiction(self, site: Site) -> Jurisdiction | None:
        if site.state not in self._of_state:
            self._of_state[site.state] = list(Jurisdiction.objects.filter(state=site.state))
        for place in (site.city, site.county):
            named = [j for j in self._of_state[site.state] if place and place.lower() in j.name.lower()]
            if len(named) == 1:
                return named[0]
        return None

    def _utility(self, site: Site) -> Utility | None:
        if site.zip_code not in self._of_zip:
            neighbour = (
                Job.objects.filter(site__zip_code=site.zip_code, utility__isnull=False)
                .exclude(site=site)
                .select_related("utility")
                .order_by("-number")
                .first()
            )
            self._of_zip[site.zip_code] = neighbour.utility if neighbour else None
        return self._of_zip[site.zip_code]
