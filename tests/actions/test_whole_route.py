"""A job driven from stage to stage through the actions alone."""

from __future__ import annotations

import pytest

from projects.actions.standing import standing_of
from projects.route.stages import STAGE_KEYS
from tests.factories import job_at

pytestmark = pytest.mark.django_db
KINDS = ("grid_tied", "hybrid", "off_grid")


@pytest.mark.parametrize(
    ("stage", "kind"),
    [(stage, kind) for kind in KINDS for stage in STAGE_KEYS if (stage, kind) != ("interconnection", "off_grid")],
)
def test_a_job_stands_where_its_facts_put_it(stage: str, kind: str) -> None:
    job = job_at(stage, kind)
    assert job.stage == stage
    assert job.next_step


@pytest.mark.parametrize("kind", KINDS)
def test_a_finished_job_waits_on_nobody(kind: str) -> None:
    job = job_at("done", kind, step_by_step=True)
    assert standing_of(job).in_service
    assert (job.stage, job.next_step, job.waiting_on, job.due_on) == ("in_service", "", "", None)
