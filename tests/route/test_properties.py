"""What holds for any set of facts, however odd."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from projects.route.facts import InspectionFacts, JobFacts, Mark
from projects.route.requirements import REQUIREMENTS
from projects.route.stages import STAGE_KEYS
from projects.route.standing import standing
from tests.route.scenarios import REMOVALS, ROUTES, Change, blank_job, complete_job, kinds_asked

FIELDS = (
    *("system_type", "contact_known", "answers_known", "service_recorded", "roof_recorded", "obstructions_recorded"),
    *("design_fingerprint", "study_fingerprint", "visit_on", "install_on", "site_assessed_on", "design_on", "study_on"),
)
TROUBLES = [key for key in REMOVALS if key.endswith(("_corrections", "_renewal")) or key == "utility_requests"]


def additions(route: str) -> dict[str, Change]:
    """Every fact of the complete job on its own, to be added to any job of that route."""
    whole = complete_job(route)

    def field(name: str) -> Change:
        return lambda f: replace(f, **{name: getattr(whole, name)})

    def member(name: str, key: str) -> Change:
        return lambda f: replace(f, **{name: {**getattr(f, name), key: getattr(whole, name)[key]}})

    def photo(kind: str) -> Change:
        return lambda f: replace(f, photos=f.photos | {kind})

    def permit(index: int) -> Change:
        return lambda f: replace(f, permits=(*f.permits, whole.permits[index]))

    def inspected(index: int) -> Change:
        return lambda f: replace(f, inspections=(*f.inspections, whole.inspections[index]))

    def side(name: str) -> Change:
        value = getattr(whole.interconnection, name)
        return lambda f: replace(f, interconnection=replace(f.interconnection, **{name: value}))

    facts: dict[str, Change] = {name: field(name) for name in FIELDS}
    facts |= {f"mark {key}": member("marks", key) for key in whole.marks}
    facts |= {f"paper {key}": member("papers", key) for key in whole.papers}
    facts |= {f"photo {kind}": photo(kind) for kind in whole.photos}
    facts |= {f"permit {p.kind}": permit(i) for i, p in enumerate(whole.permits)}
    facts |= {f"inspection {i.kind}": inspected(n) for n, i in enumerate(whole.inspections)}
    names = [name for name in vars(whole.interconnection) if name.endswith("_on")]
    return facts | {f"utility {name}": side(name) for name in names}


ADDITIONS = {route: additions(route) for route in ROUTES}


@st.composite
def jobs(draw: st.DrawFn) -> tuple[str, JobFacts, list[str]]:
    """A job with any set of facts, often nearly complete, and the names of the facts it lacks."""
    route = draw(st.sampled_from(sorted(ROUTES)))
    names = sorted(ADDITIONS[route])
    if draw(st.booleans()):
        lacking = draw(st.lists(st.sampled_from(names), unique=True, min_size=1, max_size=5))
    else:
        lacking = draw(st.lists(st.sampled_from(names), unique=True, min_size=1))
    facts = blank_job(route)
    for name in names:
        if name not in lacking:
            facts = ADDITIONS[route][name](facts)
    return route, facts, lacking


def place(stage: str) -> int:
    return STAGE_KEYS.index(stage)


@given(jobs(), st.data())
@settings(max_examples=200, deadline=None)
def test_a_fact_more_never_moves_the_stage_back(job: tuple[str, JobFacts, list[str]], data: st.DataObject) -> None:
    route, facts, lacking = job
    more = ADDITIONS[route][data.draw(st.sampled_from(lacking))](facts)
    assert place(standing(more).stage) >= place(standing(facts).stage)


@given(jobs(), st.sets(st.sampled_from([r.key for r in REQUIREMENTS])), st.sets(st.sampled_from(TROUBLES), max_size=2))
@settings(max_examples=300, deadline=None)
def test_the_facts_always_support_the_stage(
    job: tuple[str, JobFacts, list[str]], waived: set[str], troubles: set[str]
) -> None:
    """Read from the facts by hand, whatever is waived and whatever goes wrong."""
    _, facts, _ = job
    for key in sorted(troubles):
        facts = REMOVALS[key](facts)
    facts = replace(facts, waivers={key: Mark(date(2026, 6, 30)) for key in waived})
    answer = standing(facts)
    reached = place(answer.stage)
    if reached > place("lead"):
        assert facts.system_type is not None
    if reached > place("installation"):
        assert facts.system_type is not None
        kinds = kinds_asked(facts.system_type, facts.jurisdiction)
        issued = {permit.kind for permit in facts.permits if permit.issued_on}
        assert issued >= set(kinds)
        assert kinds or "permit_exemption" in facts.marks
        for permit in facts.permits:
            if permit.kind in kinds:
                assert permit.submissions[-1].outcome != "corrections"
                assert permit.submissions[-1].design_fingerprint == facts.design_fingerprint
    if reached > place("inspection"):
        exempt = facts.system_type == "off_grid" and facts.jurisdiction.off_grid_exempt
        finals = [i for i in facts.inspections if i.kind == "final"]
        assert "final_check" in facts.marks if exempt else finals and finals[-1].result == "passed"
    if reached > place("operation") and facts.system_type != "off_grid":
        assert facts.interconnection.permission_on is not None
    assert answer.in_service == all(r.done for r in answer.requirements)


@given(jobs(), st.sets(st.sampled_from(TROUBLES), max_size=2))
@settings(max_examples=150, deadline=None)
def test_a_job_not_in_service_always_has_a_next_step(job: tuple[str, JobFacts, list[str]], troubles: set[str]) -> None:
    _, facts, _ = job
    for key in sorted(troubles):
        facts = REMOVALS[key](facts)
    answer = standing(facts)
    assert bool(answer.next_steps) != answer.in_service
    assert all(r.after for r in answer.requirements if r.state == "waiting")
    current = {r.state for r in answer.requirements if r.stage == answer.stage and not r.done}
    assert answer.in_service or current


@given(jobs())
@settings(max_examples=100, deadline=None)
def test_the_same_facts_give_the_same_standing(job: tuple[str, JobFacts, list[str]]) -> None:
    _, facts, _ = job
    again = replace(
        facts,
        marks=dict(reversed(list(facts.marks.items()))),
        papers=dict(reversed(list(facts.papers.items()))),
        permits=tuple(reversed(facts.permits)),
    )
    assert standing(facts) == standing(again)


TROUBLED: dict[str, Change] = {
    "a failed inspection": lambda f: replace(
        f, inspections=(*f.inspections, InspectionFacts("final", date(2026, 6, 1), "corrections", date(2026, 6, 1)))
    ),
    "a changed design": lambda f: replace(f, design_fingerprint="D2"),
    "corrections to a permit": REMOVALS["permit_building_corrections"],
}


@pytest.mark.parametrize("trouble", TROUBLED)
def test_only_trouble_moves_a_job_back(trouble: str) -> None:
    change: Callable[[JobFacts], JobFacts] = TROUBLED[trouble]
    assert place(standing(change(complete_job())).stage) < place("in_service")
