"""What happens to a job beside its route: put off, paused, another job at the same site, a picture for the office."""

from __future__ import annotations

from datetime import date, time, timedelta

from paperwork.demo.clock import office_time, standing_at, weekday
from paperwork.demo.households import Household
from paperwork.demo.pictures import photo
from projects.actions import closing, customer_pictures, mailing, pausing, sharing_site, snoozing
from projects.models import Job, Person

REASONS = {
    "lost_price": "Took a lower offer, without a battery.",
    "lost_roof": "The roof is to be renewed first; no date yet.",
    "lost_shade": "Too much shade by the first look, and the trees stay.",
    "lost_silent": "No answer to three calls and two letters.",
}
MOVES_AWAY = "Moves to another county next year."
WORDS = {
    "en": {"panel": "With the label inside its door to be read.", "meter": "With its number to be read."},
    "es": {"panel": "Que se lea la etiqueta de la puerta.", "meter": "Que se lea su número."},
}
"""What the picture should show, as the office writes it to the household."""


def lose(*, job: Job, household: Household, actor: Person) -> None:
    reason = next((REASONS[name] for name in REASONS if name in household.options), MOVES_AWAY)
    closing.close_job(job=job, actor=actor, outcome="lost", reason=reason)


def beside_the_route(*, job: Job, household: Household, actor: Person, today: date) -> None:
    """By the household's options, once its story is told."""
    job.refresh_from_db()
    if "put_off" in household.options:
        snoozing.snooze(
            job=job,
            key=job.next_key,
            actor=actor,
            until=weekday(today + timedelta(days=4)),
            reason="They are away until then and asked us to wait.",
        )
    if "paused" in household.options:
        _pause(job, actor, weekday(today - timedelta(days=household.rested_days - 4)), today)
    if "no_mail" in household.options:
        mailing.set_email_updates(job=job, actor=None, wanted=False)
    if "same_site" in household.options:
        earlier = Job.objects.filter(site__street=household.street).exclude(pk=job.pk).order_by("number").first()
        sharing_site.share_site(job=job, with_job=earlier, actor=actor)
    _pictures(job, household, actor)


def _pause(job: Job, actor: Person, on: date, today: date) -> None:
    with standing_at(office_time(on, time(11, 20))):
        pausing.pause_job(
            job=job,
            actor=actor,
            cause="undecided",
            reason="They talk it over with their daughter, who comes for the holidays.",
            look_again_on=weekday(today + timedelta(days=18)),
            on=on,
        )


def _pictures(job: Job, household: Household, actor: Person) -> None:
    """ "asks_panel": asked for; "sent_meter": asked for and sent, and nobody in the office has looked at it yet."""
    words = WORDS[household.language]
    for option in sorted(household.options):
        what, _, kind = option.partition("_")
        if what in ("asks", "sent") and kind in words:
            ask = customer_pictures.ask_customer(job=job, actor=actor, kind=kind, words=words[kind])
            if what == "sent":
                customer_pictures.send_picture(ask=ask, actor=None, upload=photo(kind, "sent by the household"))
