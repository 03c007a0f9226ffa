"""What a customer is told when their job moves, put into the outbox in the transaction that records the fact.

A message waits there whatever becomes of the sending; ``projects.mail`` writes the letter and sends it after the
commit. One fact is told once: the database keeps the fact's name unique.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from projects.models import Job, JournalEntry, Message
from projects.route.stages import STAGE_KEYS
from projects.route.standing_types import Standing

LATE_DAYS = 7
"""A fact that is entered later than that is history put in order: nobody writes to a customer about it."""
APPOINTMENTS = frozenset(
    {"visit_booked", "install_booked", "inspection_booked", "inspection_cancelled", "appointment_set",
     "appointment_planned", "appointment_cancelled", "appointment_undone"}
)  # fmt: skip
ABOUT_MAIL = frozenset({"mail_stopped", "mail_resumed"})
"""What was said about the letters themselves brings none."""
LATER_WINS = ("appointment", "stage")
"""Kinds of which only the newest is worth sending while older ones still wait."""

_senders: list[Callable[[], None]] = []


def on_waiting(sender: Callable[[], None]) -> None:
    """``sender`` is called after each commit that left something in the outbox."""
    if sender not in _senders:
        _senders.append(sender)


def wake() -> None:
    for sender in _senders:
        sender()


@contextmanager
def nobody_woken() -> Iterator[None]:
    """Inside, what waits stays in the outbox: for stories that are told of the past."""
    kept, _senders[:] = list(_senders), []
    try:
        yield
    finally:
        _senders[:] = kept


def after_fact(job: Job, entry: JournalEntry, stage_before: str, answer: Standing) -> Message | None:
    """Queues what the customer should read of the fact just recorded, if anything."""
    customer = job.customer
    if job.outcome or not customer.email or not customer.email_updates:
        return None
    if entry.kind in ABOUT_MAIL or _entered_late(entry):
        return None
    found = _told(job, entry, stage_before, answer)
    if found is None:
        return None
    kind, fact, data = found
    data |= {"stage": answer.stage, "needs": _needs(answer), "off_grid": job.system_kind == "off_grid"}
    if kind in LATER_WINS:
        older = Message.objects.filter(job=job, kind=kind, status=Message.Status.QUEUED)
        if kind == "appointment":
            older = older.filter(data__appointment=data["appointment"])
        older.update(status=Message.Status.SUPERSEDED)
    return queue(job=job, kind=kind, fact=fact, data=data, language=customer.preferred_language)


def queue(**fields: Any) -> Message | None:
    """A row that waits to be sent; None where its fact has been told already."""
    fields = {"queued_at": timezone.now(), "next_try_at": timezone.now(), **fields}
    Message.objects.bulk_create([Message(**fields)], ignore_conflicts=True)
    reader = {key: fields[key] for key in ("job", "person") if fields.get(key)}
    row = Message.objects.filter(fact=fields["fact"], **reader).first()
    if row is None or row.queued_at != fields["queued_at"]:
        return None
    transaction.on_commit(wake)
    return row


def _told(job: Job, entry: JournalEntry, stage_before: str, answer: Standing) -> tuple[str, str, dict[str, Any]] | None:
    """(kind, the fact's name, its values): the most telling one alone, for one deed brings one letter."""
    if entry.kind == "permission_granted":
        return "permission", "permission", {}
    if entry.kind in APPOINTMENTS and (found := _appointment(entry)):
        return "appointment", f"appointment:{entry.pk}", found
    if entry.kind == "customer_asked":
        return "asked", f"asked:{entry.data['ask']}", {"photo": entry.data["photo"]}
    moved = answer.stage != stage_before and STAGE_KEYS.index(answer.stage) > STAGE_KEYS.index(stage_before)
    if moved:
        return "stage", f"stage:{answer.stage}", {}
    needs = _needs(answer)
    new = sorted(set(needs) - _asked_for(job)) if needs else []
    return ("need", f"need:{'+'.join(new)}", {}) if new else None


def _appointment(entry: JournalEntry) -> dict[str, Any] | None:
    """A day that is booked, moved or off; what is only planned is the office's own business."""
    before, after = entry.data.get("before") or {}, entry.data.get("after") or {}
    now, was = after.get("on"), before.get("on")
    if now == was and after.get("at") == before.get("at"):
        return None
    if not now and not was:
        return None
    day = date.fromisoformat(now or was)
    if day < timezone.localdate():
        return None
    return {
        "appointment": entry.data["appointment"],
        "day": day.isoformat(),
        "at": after.get("at") if now else None,
        "was": was if now and was and was != now else None,
        "off": not now,
        "days": after.get("days", 1),
    }


def _needs(answer: Standing) -> list[str]:
    return sorted(step.key for step in answer.next_steps if step.party == "customer")


def _asked_for(job: Job) -> set[str]:
    """Requirements that a letter has asked the customer for."""
    told = Message.objects.filter(job=job).values_list("data", flat=True)
    return {key for data in told for key in data.get("needs", ())}


def _entered_late(entry: JournalEntry) -> bool:
    return entry.effective_on is not None and entry.effective_on < timezone.localdate() - timedelta(days=LATE_DAYS)
