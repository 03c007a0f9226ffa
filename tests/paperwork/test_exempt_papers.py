"""Where a local rule asks for no permit: papers speak of that rule, of no permit and of no inspector."""

from __future__ import annotations

import pytest

from paperwork.batch import kinds_of
from paperwork.issue import issue_paper, paper_problems
from projects.models import Job, OfficeProfile, Person
from tests import factories
from tests.paperwork.reading import text_of

pytestmark = pytest.mark.django_db
RULE = "Ordinance 12-4: systems that stand alone"


def exempt(stage: str, kind: str = "off_grid", **changes: object) -> Job:
    place = factories.JurisdictionFactory(off_grid_exempt=True, off_grid_exemption_rule=RULE, rough_in_inspection=True)
    return factories.job_at(stage, kind, jurisdiction=place, **changes)


def test_there_is_no_permit_packet_to_hand_in(firm: OfficeProfile) -> None:
    job = exempt("permits")
    assert not any(kind.key.endswith("_packet") for kind in kinds_of(job))
    for kind in ("building_packet", "electrical_packet", "permit_packet"):
        told = " ".join(problem.message for problem in paper_problems(job=job, kind=kind))
        assert f"asks for no permit here ({RULE})" in told
    assert {"building_packet", "electrical_packet"} <= {kind.key for kind in kinds_of(exempt("permits", "hybrid"))}


def test_the_crew_is_told_by_which_rule_and_who_checks(firm: OfficeProfile, office: Person) -> None:
    text = text_of(bytes(issue_paper(job=exempt("installation"), kind="crew_sheet", actor=office).content))
    assert f"No permit is asked for here ({RULE}; confirmed " in text
    assert "until the licensed electrician's final check has passed" in text
    assert "The licensed electrician's final check" in text
    for untrue in (
        "Permit card",
        "Inspection day",
        "Notice to",
        "Rough-in seen",
        "submitted for a permit",
        "approved drawing",
    ):
        assert untrue not in text, untrue


@pytest.mark.parametrize(
    ("language", "said", "untrue"),
    [
        ("en", (f"No permit asked for: {RULE}", "the note that no permit was asked for"), "The passed inspection"),
        ("es", (f"No se pidió permiso: {RULE}", "la nota de que no se pidió permiso"), "La inspección aprobada"),
    ],
)
def test_the_handover_keeps_the_rule_in_place_of_an_inspection(
    firm: OfficeProfile, office: Person, language: str, said: tuple[str, ...], untrue: str
) -> None:
    job = exempt("in_service", preferred_language=language)
    text = text_of(bytes(issue_paper(job=job, kind="handover", actor=office).content))
    assert all(part in text for part in said) and untrue not in text
    usual = factories.job_at("in_service", "off_grid", preferred_language=language)
    assert untrue in text_of(bytes(issue_paper(job=usual, kind="handover", actor=office).content))


@pytest.mark.parametrize(
    ("language", "said"),
    [("en", "A local rule asks for no permit; we have that confirmed."), ("es", "Una regla local no pide permiso")],
)
def test_the_first_look_promises_no_permit(firm: OfficeProfile, office: Person, language: str, said: str) -> None:
    job = exempt("permits", preferred_language=language)
    text = text_of(bytes(issue_paper(job=job, kind="first_look", actor=office).content))
    assert said in text and f"Permits from {job.jurisdiction.name[:40]}" not in text
