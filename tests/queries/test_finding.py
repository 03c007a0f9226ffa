"""The search over everything: what it finds, in which order, and with how many queries."""

from __future__ import annotations

import pytest
from django.utils import timezone

from projects.actions import closing, intake, papers, permits
from projects.models import SearchTerm
from projects.queries.finding import find
from projects.words import terms_of, wanted_terms
from tests.factories import JurisdictionFactory, ModuleFactory, PersonFactory, job_at, lead, licence, office_person
from tests.queries.crowd import crowd

pytestmark = pytest.mark.django_db


def test_jobs_are_found_by_the_beginnings_of_their_words_the_newest_first() -> None:
    old, new = lead(name="Kari Lund"), lead(name="Kari Halvorsen", street="9 Heron Court")
    assert find("kar").jobs == (new, old)
    assert find("LUND kari").jobs == (old,)
    assert find("heron ct").jobs == ()
    assert find("ari").jobs == ()


def test_a_jobs_own_number_stands_first() -> None:
    first = lead()
    for _ in range(11):
        lead()
    assert find("1").jobs[0] == first
    assert find("0001").jobs[0] == first
    assert find(str(first.number)).jobs[0] == first


def test_accents_and_case_do_not_matter() -> None:
    job = lead(name="Señora Núñez")
    assert find("nunez").jobs == find("SEÑORA NÚ").jobs == (job,)


def test_closed_jobs_are_found_too_and_an_address_that_changed_is_found_by_the_new_one_alone() -> None:
    job, actor = lead(street="4 Reed Row"), office_person()
    place = {"city": "Marrow Bay", "state": "NC", "zip_code": "28557"}
    intake.update_address(job=job, actor=actor, street="5 Plover Path", **place)
    closing.close_job(job=job, actor=actor, outcome="lost", reason="They move.")
    assert find("plover").jobs == (job,)
    assert find("reed").jobs == ()


def test_a_permit_number_shows_its_permit_and_a_papers_number_its_paper() -> None:
    job = job_at("permits")
    permits.submit_permit(
        job=job, kind="building", actor=office_person(), on=timezone.localdate(), how="online",
        licence=licence("contractor"), number="BLD-2026-0147",
    )  # fmt: skip
    for text in ("bld-2026-0147", "2026-0147", "0147"):
        assert find(text).jobs == (job,), text
    assert [permit.number for permit in find("bld-2026").permits] == ["BLD-2026-0147"]
    papers.record_paper_issued(
        job=job, actor=office_person(), kind="checklist", on=timezone.localdate(), number=f"{job.label}-CL-1",
        design_fingerprint="",
    )  # fmt: skip
    assert [paper.number for paper in find(f"{job.label}-cl").papers] == [f"{job.label}-CL-1"]
    assert find("9999-CL-1").papers == ()


def test_registers_are_found_by_any_part_of_their_names() -> None:
    bay, module, person = (
        JurisdictionFactory(name="Town of Kestrel"),
        ModuleFactory(),
        PersonFactory(last_name="Osprey"),
    )
    assert [(line.noun, line.pk) for line in find("town kestr").registers] == [("jurisdictions", bay.pk)]
    assert [(line.noun, line.pk) for line in find("wader").registers] == [("modules", module.pk)]
    assert [(line.noun, line.pk) for line in find("osprey ada").registers] == [("people", person.pk)]


@pytest.mark.parametrize("text", ["", " ", "k", "%", "'; drop", "\x00", "🌊" * 200, "_" * 50, "1" * 60, "\\"])
def test_whatever_is_typed_is_answered(text: str) -> None:
    lead(name="Kari Lund")
    assert not find(text).jobs


@pytest.mark.parametrize("size", [10, 60])
def test_it_takes_at_most_five_queries_however_many_jobs(size: int, django_assert_num_queries) -> None:
    jobs = crowd(size)
    with django_assert_num_queries(4):  # ids, jobs, permits, registers; a paper's number asks for the papers too
        found = find("hou")
        str([(job.customer.name, job.site.street) for job in found.jobs])
    assert len(found.jobs) == min(8, size - 8)
    with django_assert_num_queries(3):  # ids (of no job), papers, registers
        assert find(f"{jobs[0].label}-XX").papers == ()


def test_the_index_holds_exactly_the_words_of_each_job() -> None:
    job = lead(name="Nell Harrow-Lark", email="nell.h@mail.example", phone="(252) 555-0117")
    stored = set(SearchTerm.objects.filter(job=job).values_list("term", flat=True))
    assert stored == terms_of(job.search_text, 60)
    assert {"nell", "harrow-lark", "lark", "5550117", "0117", "2525550117", "mail.example"} <= stored


def test_words_in_every_spelling() -> None:
    assert terms_of("BLD-2026-0147", 60) == {"bld-2026-0147", "2026-0147", "0147", "147"}
    assert wanted_terms("+1 (252) 555-0117", 60) == ["2525550117"]
    assert wanted_terms("a bb  a,", 60) == ["bb", "a"]
