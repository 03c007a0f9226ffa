"""The job journal: its kinds, and the one place in which an entry becomes a sentence.

``data`` holds references (a person's id, a permit's kind) and plain values; never a customer's name or contact, which
might have to be removed one day while the journal can't be.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from projects.actions.findings import in_words
from projects.actions.journal_money import MONEY_KINDS
from projects.models import Appointment, Evidence, Inspection, Job, JournalEntry, Permit, Person, SystemKind
from projects.route.marks import MARKS

KINDS: dict[str, str] = {
    # intake
    "lead_received": "Lead received",
    "answers_updated": "Answers updated: {fields}",
    "contact_updated": "Contact updated: {fields}",
    "address_updated": "Address corrected",
    "marked_duplicate": "Closed as a duplicate of job {of}",
    "system_decided": "System type decided: {system}{against}",
    # site assessment
    "visit_booked": "Site visit booked for {day}{moved}",
    "service_recorded": "Electrical service recorded: {rating_a} A, busbar {busbar_a} A{consequence}",
    "roof_plane_saved": "Roof plane {name} recorded{consequence}",
    "roof_plane_removed": "Roof plane {name} removed{consequence}",
    "obstruction_saved": "Obstruction recorded: {what}",
    "obstruction_removed": "Obstruction removed: {what}",
    "obstructions_none": "Nothing stands in the sun's way",
    "horizon_recorded": "Horizon recorded: {horizon}",
    "fire_access_recorded": "For the fire code: {house}",
    "loads_set": "Load worksheet set: {lines} lines",
    "load_saved": "Load line saved: {name}",
    "load_removed": "Load line removed: {name}",
    "photo_added": "Photo added: {photo}",
    "photo_removed": "Photo removed: {photo}",
    # engineering
    "design_saved": "Design revision {revision} saved{consequence}",
    "design_proposed": "Design proposed for the first-look report (revision {revision})",
    "loan_terms_set": "Loan terms set: {rate_pct} % over {months} months",
    "weather_chosen": "Weather for the study: {weather}",
    "weather_changed": "The nearest weather is now that of {weather}, {km} km away",
    "incentive_entered": "Incentive entered: {name}, ${usd}",
    "incentive_withdrawn": "Incentive no longer counted: {name}",
    "study_done": "Study of design revision {revision} finished{failing}",
    "search_done": "Searched the catalogue: {tried} designs tried, {passing} pass every check",
    "search_failed": "The search for designs could not be run",
    "study_failed": "Study of design revision {revision} could not be run",
    # plain facts
    "mark_recorded": "{mark}",
    "mark_withdrawn": "Taken back: {mark}",
    "waived": "Waived: {requirement} Reason: {reason}",
    "waiver_withdrawn": "Waiver withdrawn: {requirement}",
    # permits
    "permit_submitted": "{permit} submitted, round {round}{fee}",
    "permit_corrections": "{permit}: corrections asked for ({comments})",
    "comment_answered": "{permit}: plan review comment answered ({open} left)",
    "permit_issued": "{permit} issued, number {number}",
    "permit_renewed": "{permit} renewed until {day}",
    "permit_voided": "{permit} {number} void: {reason}",
    # installation and inspection
    "install_booked": "Installation booked for {day}{moved}",
    "inspection_booked": "{inspection} booked for {day}{moved}",
    "inspection_passed": "{inspection} passed",
    "inspection_corrections": "{inspection}: {corrections} to correct",
    "inspection_cancelled": "{inspection} of {day} cancelled{moved}",
    "correction_fixed": "{inspection}: correction fixed ({open} left)",
    # e-mail
    "mail_stopped": "The customer wants no more e-mail",
    "mail_resumed": "The customer is written to again",
    # calendar
    "appointment_planned": "{appointment} planned for {day}{moved}",
    "appointment_set": "{appointment} of {day} arranged{moved}",
    "appointment_cancelled": "{appointment} of {day} called off{moved}",
    "appointment_undone": "Taken back: {appointment} {again}",
    # interconnection
    "application_submitted": "Interconnection application submitted",
    "application_revised": "The utility told of design revision {revision}",
    "application_complete": "Interconnection application found complete",
    "application_queued": "Number {position} in the utility's queue",
    "application_level": "The utility takes the application on level {level}, {name}",
    "screens_passed": "The utility's screens passed",
    "grid_study_done": "The utility's study finished",
    "meter_ordered": "Meter ordered from the utility",
    "utility_request": "The utility asked for more",
    "utility_request_answered": "The utility's request answered",
    "interconnection_approved": "Interconnection approved by the utility",
    "agreement_signed": "Interconnection agreement signed",
    "inspection_sent": "Passed inspection sent to the utility",
    "meter_set": "Meter set by the utility",
    "witness_passed": "Witness test passed",
    "permission_granted": "Permission to operate granted",
    # in service
    "warranties_registered": "Warranties registered: workmanship {years} years, {parts} makers' warranties",
    "claim_reported": "Warranty claim: {covers}{late}",
    "claim_settled": "Warranty claim settled, {covers}: {outcome}",
    "service_visit_planned": "Service visit planned for {day}{moved}",
    "service_visit_moved": "Service visit set for {day}{moved}",
    "service_visit_done": "Service visit made",
    "service_visit_cancelled": "Service visit of {day} cancelled",
    "reading_entered": "Production read for {month}: {kwh} kWh",
    # pauses and places
    "paused": "Paused until {day}: {cause}. {reason}",
    "pause_moved": "Still paused, look again {day}. {reason}",
    "resumed": "Goes on after {days} days of rest",
    "site_shared": "At the same site as job {of}",
    "site_unshared": "No longer at one site with job {of}",
    # the customer's pictures
    "customer_asked": "The customer asked for a picture: {photo}",
    "customer_ask_closed": "No longer asked of the customer: {photo}",
    "customer_sent": "The customer sent a picture: {photo}",
    "customer_picture_accepted": "The customer's picture accepted: {photo}",
    "customer_picture_refused": "The customer's picture not usable: {photo}. {reason}",
    # office
    "paper_issued": "Issued {number}",
    "price_set": "Price set: ${price_usd}",
    "assigned": "Assigned to {person}",
    "authorities_set": "Jurisdiction and utility set{consequence}",
    "profile_changed": "The profile of the {authority} changed, and with it this job's route",
    "link_shared": "Status link made for the customer",
    "links_revoked": "Status links revoked ({count})",
    "snoozed": "Put off until {day}: {matter}. Reason: {reason}",
    "snooze_ended": "Back on the desk: {matter}",
    "closed": "Closed as {outcome}: {reason}",
    "reopened": "Reopened: {reason}",
    **MONEY_KINDS,
}


class UnknownKind(ValueError):
    """A kind that no table row explains can't be written: nobody could read it later."""


def append(job: Job, actor: Person | None, kind: str, on: date | None, data: Mapping[str, Any]) -> JournalEntry:
    line = entry(job, actor, kind, on, data)
    line.save(force_insert=True)
    return line


def entry(job: Job, actor: Person | None, kind: str, on: date | None, data: Mapping[str, Any]) -> JournalEntry:
    """Not written yet: for whoever writes many at once."""
    if kind not in KINDS:
        raise UnknownKind(kind)
    return JournalEntry(job=job, actor=actor, kind=kind, effective_on=on, data=dict(data))


def sentence(entry: JournalEntry, people: Mapping[int, str] | None = None) -> str:
    """What happened, in words, without who and when. ``people``: names by id, where the caller has them."""
    if entry.kind not in KINDS:
        raise UnknownKind(entry.kind)
    return KINDS[entry.kind].format_map(_words(entry.data, people))


def sentences(entries: Iterable[JournalEntry]) -> list[tuple[JournalEntry, str]]:
    """Entries with their sentences; people are looked up once for all."""
    rows = list(entries)
    wanted = {row.data["person"] for row in rows if row.data.get("person")}
    people = {person.pk: person.name for person in Person.objects.filter(pk__in=wanted)} if wanted else {}
    return [(row, sentence(row, people)) for row in rows]


def _words(data: Mapping[str, Any], people: Mapping[int, str] | None) -> dict[str, str]:
    words = {key: ", ".join(value) if isinstance(value, list) else str(value) for key, value in data.items()}
    if data.get("person"):
        person_id = data["person"]
        if people is None:
            people = {person.pk: person.name for person in Person.objects.filter(pk=person_id)}
        words["person"] = people.get(person_id, "somebody")
    elif "person" in data:
        words["person"] = "nobody"
    if "permit" in data:
        words["permit"] = Permit.Kind(data["permit"]).label
    if "inspection" in data:
        words["inspection"] = Inspection.Kind(data["inspection"]).label
    if "appointment" in data:
        words["appointment"] = str(Appointment.Kind(data["appointment"]).label)
        words["again"] = _again(data.get("after", {}))
    words["moved"] = _moved(data)
    if "photo" in data:
        words["photo"] = str(Evidence.Kind(data["photo"]).label).lower()
    if "system" in data:
        words["system"] = SystemKind(data["system"]).label
    if "mark" in data:
        words["mark"] = MARKS[data["mark"]].sentence if data["mark"] in MARKS else data["mark"]
    if "day" in data:
        words["day"] = in_words(date.fromisoformat(data["day"]))
    words["against"] = f" (recommended was {SystemKind(data['recommended']).label})" if data.get("recommended") else ""
    words["failing"] = f": failing {', '.join(data['failing'])}" if data.get("failing") else ""
    words["fee"] = f", fee ${data['fee_usd']}" if data.get("fee_usd") else ""
    words["consequence"] = _consequence(data)
    return words


def _moved(data: Mapping[str, Any]) -> str:
    """What an appointment's change says beside its day: where it was, who goes, why."""
    parts = [f"was {in_words(date.fromisoformat(data['was']))}"] if data.get("was") else []
    if data.get("crew"):
        parts.append(data["crew"])
    at = data.get("after", {}).get("at")
    if at and at != data.get("before", {}).get("at"):
        parts.append(f"at {at}")
    if data.get("reason") and ("appointment" in data or "visit" in data):
        parts.append(data["reason"])
    return f" ({'; '.join(parts)})" if parts else ""


def _again(state: Mapping[str, Any]) -> str:
    if state.get("on"):
        return f"is booked for {in_words(date.fromisoformat(state['on']))} again"
    if state.get("planned_on"):
        return f"is planned for {in_words(date.fromisoformat(state['planned_on']))} again"
    return "has no day again"


def _consequence(data: Mapping[str, Any]) -> str:
    """What else the change did: a new design revision, reviews that no longer hold."""
    parts = []
    if data.get("new_revision"):
        parts.append(f"makes design revision {data['new_revision']}")
    if data.get("dropped"):
        reviews = " and ".join(key.replace("_", " ") for key in data["dropped"])
        parts.append(f"{reviews} must be done again")
    return f" ({'; '.join(parts)})" if parts else ""
