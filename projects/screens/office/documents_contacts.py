"""Everybody one may have to ring about a job, in one block. For the office and the owner alone."""

from __future__ import annotations

from dataclasses import dataclass

from projects.models import Job
from projects.queries.documents import JobDocuments
from projects.screens.office.documents_line import day_words, told
from projects.words import plain


@dataclass(frozen=True)
class Contact:
    part: str
    """What they have to do with the job."""
    name: str
    phone: str = ""
    email: str = ""
    words: tuple[str, ...] = ()

    def holds(self, wanted: list[str]) -> bool:
        spoken = plain(" ".join((self.part, self.name, self.phone, self.email, *self.words)))
        return all(word in spoken for word in wanted)


def contacts_of(found: JobDocuments, job: Job) -> list[Contact]:
    customer = job.customer
    people = [
        Contact(
            "Customer",
            customer.name,
            customer.phone,
            customer.email,
            told(
                job.site.address,
                f"Prefers {customer.get_preferred_language_display()}" if customer.preferred_language != "en" else "",
                "" if customer.email_updates or not customer.email else "Wants no e-mail about the job",
            ),
        )
    ]
    if job.jurisdiction:
        place = job.jurisdiction
        people.append(Contact("Jurisdiction", place.name, place.phone, place.email, told(place.counter_note)))
    if job.utility and job.system_kind != "off_grid":
        people.append(Contact("Utility", job.utility.name, job.utility.phone, job.utility.email))
    for loan in found.financing[:1]:
        reference = f"Reference {loan.reference}" if loan.reference else ""
        people.append(Contact("Lender", loan.lender, words=told(reference, loan.get_state_display())))
    for licence in found.licences:
        holder = licence.holder
        number = f"Licence {licence.number}, valid until {day_words(licence.expires_on)}"
        part = f"Licensed {licence.get_trade_display().lower()}"
        people.append(Contact(part, holder.name, holder.phone, holder.email, told(number)))
    if job.assigned_to:
        person = job.assigned_to
        people.append(Contact("Looks after the job", person.name, person.phone, person.email))
    return people
