"""Writes a message's letter: subject, text and HTML, from the values that were frozen when its fact was recorded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.conf import settings
from django.core import signing
from django.template.loader import render_to_string
from django.urls import reverse

from projects.mail import words
from projects.models import Evidence, Message, OfficeProfile
from projects.screens.customer import words as page_words

STOP_SALT = "no more e-mail"
STAYS_OFF = ("installation", "inspection", "interconnection", "operation")
"""Stages in which equipment may be on the wall and must stay off."""


@dataclass(frozen=True)
class Letter:
    subject: str
    text: str
    html: str
    stop_address: str = ""


def letter(message: Message) -> Letter:
    """Raises KeyError for a kind that nobody has words for."""
    if message.kind == "digest":
        return _digest(message)
    language = message.language if message.language in words.LETTER else "en"
    told, data = words.LETTER[language], message.data
    stage = page_words.stage_words(data["stage"], language, off_grid=data.get("off_grid", False))
    subject, lines = _opening(message, language, stage.title)
    stop = stop_address(message)
    firm = OfficeProfile.current()
    context = {
        "language": language,
        "hello": told["hello"].format(name=message.job.customer.name),
        "lines": lines,
        "where": told["where"].format(stage=stage.title),
        "now": stage.now,
        "hold": page_words.PAGE[language]["hold"] if data["stage"] in STAYS_OFF else "",
        "need": told["need"],
        "needs": [page_words.CUSTOMER_STEPS[language][key] for key in data.get("needs", ())
                  if key in page_words.CUSTOMER_STEPS[language]],
        "page": told["page"] if message.job.customer_links.filter(revoked_at=None).exists() else "",
        "call": told["call"],
        "firm": firm,
        "why": told["why"].format(job=message.job.label),
        "stop": told["stop"] if stop else told["stop_by_hand"],
        "stop_address": stop,
        "subject": subject,
    }  # fmt: skip
    return Letter(
        subject,
        render_to_string("emails/customer.txt", context),
        render_to_string("emails/customer.html", context),
        stop,
    )


def _opening(message: Message, language: str, stage_title: str) -> tuple[str, list[str]]:
    """The subject and what this letter is about."""
    told, subjects, data = words.LETTER[language], words.SUBJECTS[language], message.data
    if message.kind == "appointment":
        return _appointment(data, language)
    if message.kind == "permission":
        return subjects["permission"], [told["permission"]]
    if message.kind == "asked":
        photo = str(Evidence.Kind(data["photo"]).label)
        name = words.PHOTOS_ES.get(data["photo"], photo) if language == "es" else photo.lower()
        return subjects["asked"], [told["asked"].format(photo=name)]
    if message.kind == "need":
        return subjects["need"], []
    if message.kind == "stage":
        return subjects["stage"].format(stage=stage_title), []
    raise KeyError(message.kind)


def _appointment(data: dict[str, Any], language: str) -> tuple[str, list[str]]:
    told, subjects = words.LETTER[language], words.SUBJECTS[language]
    what = words.APPOINTMENTS[language][data["appointment"]]
    day = day_in_words(date.fromisoformat(data["day"]), language)
    if data["off"]:
        return subjects["appointment_off"].format(what=what, day=day), [told["off"].format(what=what, day=day)]
    subject = subjects["appointment_moved" if data["was"] else "appointment"].format(what=what, day=day)
    booked = told["booked_at" if data["at"] else "booked"].format(what=what, day=day, at=data["at"])
    lines = [booked]
    if data["was"]:
        lines.append(told["moved"].format(was=day_in_words(date.fromisoformat(data["was"]), language)))
    if data["days"] > 1:
        lines.append(told["days"].format(days=data["days"]))
    return subject, [" ".join(lines), told[data["appointment"]]]


def day_in_words(day: date, language: str) -> str:
    """ "Thursday, November 26" or "jueves 26 de noviembre"."""
    if language == "es":
        return f"{words.WEEKDAYS_ES[day.weekday()]} {day.day} de {words.MONTHS_ES[day.month - 1]}"
    return f"{day:%A}, {day:%B} {day.day}"


def stop_address(message: Message) -> str:
    """Where the customer ends the e-mail with one press; empty where the book has no address of its own."""
    if not settings.OFFICE_ADDRESS or not message.job_id:
        return ""
    token = signing.dumps(message.job_id, salt=STOP_SALT)
    return f"{settings.OFFICE_ADDRESS.rstrip('/')}{reverse('mail-stop', args=[token])}"


def _digest(message: Message) -> Letter:
    context = {**message.data, "person": message.person, "address": settings.OFFICE_ADDRESS.rstrip("/")}
    return Letter(
        message.data["subject"],
        render_to_string("emails/digest.txt", context),
        render_to_string("emails/digest.html", context),
    )
