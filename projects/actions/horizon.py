"""The measured horizon around a house: hills and far lines of trees, by bearing and height."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

from projects.actions.findings import today
from projects.actions.recording import recording
from projects.actions.roles import FIELD
from projects.actions.visits import assessed
from projects.models import Job, Person, Site

MOST_POINTS = 72
"""One every five degrees: more than anybody reads off a clinometer."""
HIGHEST_DEG = 80.0


def record_horizon(*, job: Job, actor: Person, points: Sequence[tuple[float, float]], on: date | None = None) -> Job:
    """Records (bearing, height) in degrees, in any order; none: the horizon is level all around.

    Problems stand at "points", each naming the line it is about.
    """
    with recording(job, actor, FIELD) as book:
        on = on or today()
        findings = book.findings
        findings.happened(job, on)
        if len(points) > MOST_POINTS:
            findings.add("points", f"At most {MOST_POINTS} directions.")
        seen: set[float] = set()
        for number, (bearing, height) in enumerate(points, start=1):
            if not (math.isfinite(bearing) and 0 <= bearing <= 360):
                findings.add("points", f"Line {number}: a bearing is between 0° and 360°.")
            elif bearing % 360 in seen:
                findings.add("points", f"Line {number}: {bearing:g}° stands there twice.")
            if not (math.isfinite(height) and 0 <= height <= HIGHEST_DEG):
                findings.add("points", f"Line {number}: the horizon’s height is between 0° and {HIGHEST_DEG:g}°.")
            seen.add(bearing % 360)
        findings.refuse()
        horizon = [
            {"bearing_deg": float(bearing % 360), "elevation_deg": float(height)} for bearing, height in sorted(points)
        ]
        if job.site.horizon == horizon:
            book.unchanged()
            return job
        Site.objects.filter(pk=job.site_id).update(horizon=horizon)
        assessed(job, on)
        book.write("horizon_recorded", on, horizon=_words(horizon))
    return job


def _words(horizon: Sequence[dict[str, float]]) -> str:
    if not horizon:
        return "level all around"
    highest = max(point["elevation_deg"] for point in horizon)
    directions = "1 direction" if len(horizon) == 1 else f"{len(horizon)} directions"
    return f"{directions}, highest {highest:g}°"
