"""The job journal: known kinds only, sentences without customers, nothing ever rewritten."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.models import ProtectedError
from django.db.utils import DatabaseError

from projects.actions import journal, office
from projects.models import Job, JournalEntry, Person, journal_triggers
from tests.factories import job_at, lead, office_person

pytestmark = pytest.mark.django_db


def test_an_unknown_kind_is_refused() -> None:
    job = lead()
    with pytest.raises(journal.UnknownKind):
        journal.append(job, None, "gossip", None, {})
    with pytest.raises(journal.UnknownKind):
        journal.sentence(JournalEntry(job=job, kind="gossip"))


def test_every_entry_of_a_whole_job_is_a_sentence() -> None:
    job = job_at("done")
    told = journal.sentences(job.journal.select_related("actor"))
    assert len(told) > 35
    for _, sentence in told:
        assert sentence
        assert sentence[0].isupper()
        assert "{" not in sentence
        assert "None" not in sentence


def test_a_whole_jobs_journal_names_no_customer() -> None:
    job = job_at("done")
    written = " ".join(str(entry.data) for entry in job.journal.all())
    for private in ("Nell", "Harrow", "mail.example", "555", "Spartina"):
        assert private not in written


def test_sentences_look_people_up_once(django_assert_num_queries) -> None:
    job = lead()
    for person in (office_person(), None, office_person()):
        office.assign(job=job, person=person, actor=office_person())
    entries = list(job.journal.all())
    with django_assert_num_queries(1):
        told = [sentence for _, sentence in journal.sentences(entries)]
    assert told[-3:] == [
        f"Assigned to {office_person().name}",
        "Assigned to nobody",
        f"Assigned to {office_person().name}",
    ]


@pytest.mark.parametrize(
    ("kind", "data", "sentence"),
    [
        (
            "permit_submitted",
            {"permit": "building", "round": 2, "fee_usd": "90.00"},
            "Building permit submitted, round 2, fee $90.00",
        ),
        ("inspection_booked", {"inspection": "final", "day": "2026-03-04"}, "Final inspection booked for 4 Mar 2026"),
        ("system_decided", {"system": "hybrid", "recommended": ""}, "System type decided: Hybrid"),
        (
            "system_decided",
            {"system": "hybrid", "recommended": "grid_tied"},
            "System type decided: Hybrid (recommended was Grid-tied)",
        ),
        (
            "design_saved",
            {"revision": "C", "dropped": ["electrician_review"]},
            "Design revision C saved (electrician review must be done again)",
        ),
        ("mark_recorded", {"mark": "wired"}, "The electrical work is done under the electrician's licence"),
        (
            "study_done",
            {"revision": "B", "failing": ["String voltage"]},
            "Study of design revision B finished: failing String voltage",
        ),
        ("photo_added", {"photo": "panel"}, "Photo added: main service panel"),
    ],
)
def test_sentences(kind: str, data: dict, sentence: str) -> None:
    assert journal.sentence(JournalEntry(kind=kind, data=data)) == sentence


def test_the_triggers_stand() -> None:
    """A migration that rebuilds the table on SQLite drops them: then this fails."""
    assert journal_triggers.present(connection) == journal_triggers.names(connection.vendor)


def test_the_database_refuses_to_rewrite_the_journal() -> None:
    job = lead()
    rewritings = (
        lambda: JournalEntry.objects.filter(job=job).update(kind="closed"),
        lambda: JournalEntry.objects.filter(job=job).delete(),
        lambda: job.journal.first().save(),
        lambda: connection.cursor().execute("DELETE FROM projects_journalentry"),
    )
    before = list(JournalEntry.objects.values())
    for rewrite in rewritings:
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            rewrite()
    assert list(JournalEntry.objects.values()) == before


def test_a_job_or_person_with_history_is_not_deleted() -> None:
    job = lead()
    with pytest.raises(ProtectedError):
        job.delete()
    with pytest.raises(ProtectedError):
        Person.objects.get(pk=job.journal.last().actor_id).delete()
    assert Job.objects.filter(pk=job.pk).exists()


@pytest.mark.django_db(transaction=True)
def test_a_transactional_test_can_flush_and_leaves_the_triggers_standing() -> None:
    lead()


@pytest.mark.django_db(transaction=True)
def test_and_the_next_one_finds_them() -> None:
    assert not JournalEntry.objects.exists()
    assert journal_triggers.present(connection) == journal_triggers.names(connection.vendor)
    lead()
    with pytest.raises((DatabaseError, IntegrityError), match="append-only"):
        JournalEntry.objects.all().delete()
