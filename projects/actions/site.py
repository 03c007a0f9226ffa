"""What the crew finds at the house: service, roof planes, and what stands in the sun's way; and the visit's day."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, TypeVar

from projects.actions import redraw
from projects.actions.appointment_days import day_set
from projects.actions.findings import Findings, today
from projects.actions.form_rows import saved_fields
from projects.actions.loads import remove_load_line, save_load_line, set_loads
from projects.actions.recording import Book, recording
from projects.actions.roles import FIELD, OFFICE
from projects.actions.roof_shapes import check_shape, settled
from projects.actions.route_checks import must_be_done
from projects.actions.visits import assessed
from projects.models import Job, Obstruction, Person, RoofPlane, Site

MOST_AMPERES = 2000
Row = TypeVar("Row", RoofPlane, Obstruction)


def book_visit(*, job: Job, actor: Person, on: date, reason: str = "") -> Job:
    """Books the site visit, or moves it (``reason``: why)."""
    with recording(job, actor, OFFICE) as book:
        book.findings.booking(job, on)
        must_be_done(book, ("go_ahead",))
        book.findings.refuse()
        if job.visit_on == on:
            book.unchanged()
            return job
        book.write("visit_booked", **day_set(job, "site_visit", on, reason))
    return job


def record_service(
    *,
    job: Job,
    actor: Person,
    rating_a: int,
    busbar_a: int,
    main_breaker_a: int,
    free_spaces: int,
    panel_note: str = "",
    on: date | None = None,
) -> Job:
    """Records the electrical service as found at the panel."""
    with recording(job, actor, FIELD) as book:
        findings, on = book.findings, on or today()
        findings.happened(job, on)
        for field, value in (("rating_a", rating_a), ("busbar_a", busbar_a), ("main_breaker_a", main_breaker_a)):
            if value is None or not 30 <= value <= MOST_AMPERES:
                findings.add(field, f"Amperes, between 30 and {MOST_AMPERES}.")
        if free_spaces is None or not 0 <= free_spaces <= 84:
            findings.add("free_spaces", "Free breaker spaces, between 0 and 84.")
        if not findings.found and main_breaker_a > busbar_a:
            findings.add("busbar_a", "The main breaker can't be larger than the busbar is rated for; look again.")
        findings.refuse()
        Site.objects.filter(pk=job.site_id).update(
            service_rating_a=rating_a,
            busbar_a=busbar_a,
            main_breaker_a=main_breaker_a,
            free_breaker_spaces=free_spaces,
            panel_note=panel_note.strip(),
            service_recorded_on=on,
        )
        consequence = _after(book, on)
        book.write("service_recorded", on, rating_a=rating_a, busbar_a=busbar_a, **consequence)
    return job


def save_roof_plane(
    *, job: Job, actor: Person, plane_id: int | None = None, on: date | None = None, **fields: Any
) -> RoofPlane:
    """Adds a roof plane, or changes the one with ``plane_id``; ``fields`` are those of RoofPlane."""
    with recording(job, actor, FIELD) as book:
        on = on or today()
        book.findings.happened(job, on)
        plane = _row(book, RoofPlane, plane_id, "plane_id", "That roof plane is no longer there.")
        former_name = plane.name
        changed = saved_fields(book.findings, plane, settled(plane, fields))
        check_shape(book.findings, plane)
        if any(p.name == plane.name and p.pk != plane.pk for p in job.site.roof_planes.all()):
            book.findings.add("name", f"Another plane is called {plane.name} already.")
        book.findings.refuse()
        if plane.pk and not changed:
            book.unchanged()
            return plane
        if plane.pk is None and "order" not in fields:
            plane.order = job.site.roof_planes.count()
        plane.save()
        renamed = {former_name: plane.name} if former_name and former_name != plane.name else {}
        consequence = _after(book, on, renamed)
        book.write("roof_plane_saved", on, name=plane.name, **consequence)
    return plane


def remove_roof_plane(*, job: Job, actor: Person, plane_id: int) -> None:
    with recording(job, actor, FIELD) as book:
        plane = _row(book, RoofPlane, plane_id, "plane_id", "That roof plane is no longer there.")
        name = plane.name
        plane.delete()
        consequence = _after(book, today())
        book.write("roof_plane_removed", name=name, **consequence)


def save_obstruction(
    *, job: Job, actor: Person, obstruction_id: int | None = None, on: date | None = None, **fields: Any
) -> Obstruction:
    """Adds a tree, building or chimney, or changes the one with ``obstruction_id``."""
    with recording(job, actor, FIELD) as book:
        on = on or today()
        book.findings.happened(job, on)
        row = _row(book, Obstruction, obstruction_id, "obstruction_id", "That obstruction is no longer there.")
        changed = saved_fields(book.findings, row, fields)
        if not book.findings.found and row.crown_base_m >= row.height_m:
            book.findings.add("crown_base_m", "The crown begins below the tree's top.")
        if any(not isinstance(month, int) or not 1 <= month <= 12 for month in row.leaf_months):
            book.findings.add("leaf_months", "Months by their number, 1 to 12.")
        book.findings.refuse()
        if row.pk and not changed:
            book.unchanged()
            return row
        row.save()
        Site.objects.filter(pk=job.site_id).update(obstructions_none_on=None)
        assessed(job, on)
        book.write("obstruction_saved", on, what=str(row))
    return row


def remove_obstruction(*, job: Job, actor: Person, obstruction_id: int) -> None:
    with recording(job, actor, FIELD) as book:
        row = _row(book, Obstruction, obstruction_id, "obstruction_id", "That obstruction is no longer there.")
        what = str(row)
        row.delete()
        book.write("obstruction_removed", what=what)


def record_no_obstructions(*, job: Job, actor: Person, on: date | None = None) -> Job:
    """Somebody looked, and nothing stands in the sun's way."""
    with recording(job, actor, FIELD) as book:
        on = on or today()
        book.findings.happened(job, on)
        if job.site.obstructions.exists():
            book.findings.add("", "Obstructions are recorded; remove them first.")
        book.findings.refuse()
        if job.site.obstructions_none_on is not None:
            book.unchanged()
            return job
        Site.objects.filter(pk=job.site_id).update(obstructions_none_on=on)
        assessed(job, on)
        book.write("obstructions_none", on)
    return job


def _row(book: Book, model: type[Row], pk: int | None, field: str, gone: str) -> Row:
    if pk is None:
        return model(site=book.job.site)
    found = model.objects.select_for_update().filter(site=book.job.site_id, pk=pk).first()
    if found is None:
        findings = Findings()
        findings.add(field, gone)
        findings.refuse()
    assert found is not None
    return found


def _after(book: Book, on: date, renamed: Mapping[str, str] | None = None) -> dict[str, Any]:
    """The house was looked at, and the design may have to follow."""
    assessed(book.job, on)
    return redraw.after_change(book.job, book.actor, on, renamed)


__all__ = [
    "book_visit",
    "record_no_obstructions",
    "record_service",
    "remove_load_line",
    "remove_obstruction",
    "remove_roof_plane",
    "save_load_line",
    "save_obstruction",
    "save_roof_plane",
    "set_loads",
]
