"""The installation's day."""

from __future__ import annotations

from datetime import date

from projects.actions.appointment_days import day_set
from projects.actions.recording import recording
from projects.actions.roles import OFFICE
from projects.actions.route_checks import follows, must_be_open
from projects.models import Job, Person
from projects.route.holds import installation_problems


def book_installation(*, job: Job, actor: Person, on: date, reason: str = "") -> Job:
    """Books the installation, or moves it while it has not started (``reason``: why); never before the permits hold
    is satisfied."""
    with recording(job, actor, OFFICE) as book:
        if book.findings.booking(job, on):
            follows(book, "install_booked", on)
        must_be_open(book, "install_booked", again=True)
        book.findings.extend("", installation_problems(book.facts))
        if "install_started" in book.facts.marks:
            book.findings.add("on", "The installation has started already.")
        book.findings.refuse()
        if job.install_on == on:
            book.unchanged()
            return job
        book.write("install_booked", **day_set(job, "installation", on, reason))
    return job
