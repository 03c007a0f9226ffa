"""What the fire code asks to know of the house before it says how much of the roof stays free."""

from __future__ import annotations

from datetime import date

from projects.actions.findings import today
from projects.actions.recording import recording
from projects.actions.roles import FIELD
from projects.actions.visits import assessed
from projects.models import Job, Person, Site

LEAST_M2, MOST_M2 = 4.0, 10_000.0


def record_fire_access(
    *,
    job: Job,
    actor: Person,
    sprinklered: bool,
    detached_nonhabitable: bool = False,
    roof_plan_area_m2: float | None = None,
    on: date | None = None,
) -> Job:
    """Records sprinklers throughout, whether anybody lives under the roof, and how large all of it is from above."""
    with recording(job, actor, FIELD) as book:
        on = on or today()
        book.findings.happened(job, on)
        if roof_plan_area_m2 is not None and not LEAST_M2 <= roof_plan_area_m2 <= MOST_M2:
            book.findings.add("roof_plan_area_m2", f"Between {LEAST_M2:g} and {MOST_M2:,.0f} m².")
        book.findings.refuse()
        found = {
            "sprinklered": sprinklered,
            "detached_nonhabitable": detached_nonhabitable,
            "roof_plan_area_m2": roof_plan_area_m2,
        }
        if all(getattr(job.site, field) == value for field, value in found.items()):
            book.unchanged()
            return job
        Site.objects.filter(pk=job.site_id).update(**found)
        assessed(job, on)
        book.write("fire_access_recorded", on, house=_words(sprinklered, detached_nonhabitable, roof_plan_area_m2))
    return job


def _words(sprinklered: bool, detached_nonhabitable: bool, area_m2: float | None) -> str:
    said = ["sprinklers throughout" if sprinklered else "no sprinklers throughout"]
    if detached_nonhabitable:
        said.append("detached and not lived in")
    if area_m2:
        said.append(f"whole roof {area_m2:.0f} m² seen from above")
    return ", ".join(said)
