"""When something that a design covers changes under it: a new revision, and reviews that no longer hold."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import Any

from django.utils import timezone

from projects.actions import freezing
from projects.models import Design, Job, JobMark, Person

REVIEWS = ("electrician_review", "contractor_review", "structural_letter")
"""Judgements of one particular design."""


def current_design(job: Job) -> Design | None:
    parts = ("module", "inverter", "battery", "generator")
    return Design.objects.filter(job=job).select_related(*parts).order_by("-revision").first()


def after_change(
    job: Job, actor: Person | None, on: date | None = None, renamed: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """To be called after the site or the kind of system changed; ``renamed``: roof planes, former name to new one.

    Returns what followed, for the journal row; empty where the design still says what it said.
    """
    design = current_design(job)
    if design is None or design.preliminary:
        return {}
    planes = list(job.site.roof_planes.all())
    known = {plane.name for plane in planes}
    kept = _kept(design.plane_modules, known, renamed or {})
    strings = _kept(design.strings, known, renamed or {})
    frozen = freezing.freeze(
        job=job,
        planes=planes,
        module=design.module,
        inverter=design.inverter,
        inverter_count=design.inverter_count,
        battery=design.battery,
        battery_count=design.battery_count,
        storage=design.storage,
        generator=design.generator,
        plane_modules=kept,
        strings=strings,
        connection=design.connection,
        dc_run_m=design.dc_run_m,
        ac_run_m=design.ac_run_m,
    )
    # A catalogue edited since then doesn't change what was designed.
    for part in ("module", "inverter", "battery", "generator"):
        frozen[part] = design.frozen[part]
    print_ = freezing.fingerprint(frozen)
    if print_ == design.fingerprint:
        return {}
    assert actor is not None
    design.pk = None
    design.id = None
    design._state.adding = True
    design.revision += 1
    design.plane_modules = kept
    design.strings = strings
    design.frozen, design.fingerprint = frozen, print_
    design.on = on or timezone.localdate()
    design.created_by = actor
    design.save()
    return {"new_revision": design.revision_letter, "dropped": drop_reviews(job)}


def _kept(
    lines: Sequence[Mapping[str, Any]], known: Collection[str], renamed: Mapping[str, str]
) -> list[dict[str, Any]]:
    now = [{**line, "plane": renamed.get(line["plane"], line["plane"])} for line in lines]
    return [line for line in now if line["plane"] in known]


def drop_reviews(job: Job) -> list[str]:
    """Takes back the reviews of the former design; returns their keys."""
    standing = JobMark.objects.filter(job=job, key__in=REVIEWS, withdrawn_at=None)
    keys = list(standing.order_by("id").values_list("key", flat=True))
    standing.update(withdrawn_at=timezone.now(), withdrawn_reason="The design changed.")
    return keys
