"""Sends what waits in the outbox: claimed one by one, so that two processes never send the same letter.

What could not be sent waits longer each time and is shown to the office in the end. A letter that was being sent when
the program died may have arrived: nobody sends it again but a person who looked.
"""

from __future__ import annotations

import logging
import smtplib
import threading
from dataclasses import dataclass
from datetime import timedelta

from django.conf import settings
from django.core.mail import EmailMultiAlternatives, get_connection
from django.db import close_old_connections, connection
from django.utils import timezone

from projects.mail.letters import letter
from projects.models import Message, OfficeProfile

FIRST_WAIT = timedelta(minutes=5)
LONGEST_WAIT = timedelta(hours=6)
MOST_ATTEMPTS = 8
"""With the waits doubling that is about a day."""
GIVEN_UP_AFTER = timedelta(minutes=10)
UNSURE = "The program stopped while it was being sent, so it may have arrived. Ask before sending it again."
BATCH = 50
log = logging.getLogger(__name__)
_running = threading.Lock()


@dataclass
class Tally:
    sent: int = 0
    waiting: int = 0
    failed: int = 0
    stopped: int = 0


def send_waiting() -> Tally:
    """Sends everything that is due now; safe to run in several processes at once."""
    tally = Tally()
    now = timezone.now()
    left = Message.objects.filter(status=Message.Status.SENDING, claimed_at__lt=now - GIVEN_UP_AFTER)
    tally.failed += left.update(status=Message.Status.FAILED, last_error=UNSURE)
    while rows := _due():
        for pk in rows:
            _send_one(pk, tally)
    return tally


def _due() -> list[int]:
    due = Message.objects.filter(status=Message.Status.QUEUED, next_try_at__lte=timezone.now()).order_by("id")
    return list(due.values_list("pk", flat=True)[:BATCH])


def _send_one(pk: int, tally: Tally) -> None:
    waiting = Message.objects.filter(pk=pk, status=Message.Status.QUEUED)
    if not waiting.update(status=Message.Status.SENDING, claimed_at=timezone.now()):
        return  # another process has it
    message = Message.objects.select_related("job__customer", "person").get(pk=pk)
    to_address, refused = _reader(message)
    if refused:
        _leave(message, status=Message.Status.STOPPED, last_error=refused)
        tally.stopped += 1
        return
    try:
        _hand_over(message, to_address)
    except smtplib.SMTPRecipientsRefused as error:
        codes = [code for code, _ in error.recipients.values()]
        _failed(message, tally, f"The address is refused: {error.recipients}", for_good=all(c >= 500 for c in codes))
    except Exception as error:  # whatever the mail server or the network does, the letter stays in the outbox
        log.warning("message %s could not be sent: %s", message.pk, error)
        _failed(message, tally, f"{type(error).__name__}: {error}", for_good=isinstance(error, KeyError))
    else:
        _leave(message, status=Message.Status.SENT, sent_at=timezone.now(), to_address=to_address, last_error="")
        tally.sent += 1


def _reader(message: Message) -> tuple[str, str]:
    """(address, why nobody is to be written to)."""
    if message.person is not None:
        person = message.person
        return person.email, "" if person.email and person.is_active else "This person gets no e-mail."
    assert message.job is not None
    customer = message.job.customer
    if not customer.email_updates:
        return "", "The customer wants no e-mail."
    if message.job.outcome:
        return "", "The job is closed."
    return customer.email, "" if customer.email else "There is no e-mail address."


def _hand_over(message: Message, to_address: str) -> None:
    written = letter(message)
    firm = OfficeProfile.current()
    headers = {"Auto-Submitted": "auto-generated"}
    if written.stop_address:
        # RFC 8058: the mail program's own "unsubscribe" is one POST.
        headers |= {
            "List-Unsubscribe": f"<{written.stop_address}>",
            "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
        }
    mail = EmailMultiAlternatives(
        written.subject,
        written.text,
        to=[to_address],
        reply_to=[firm.email] if firm and firm.email else None,
        headers=headers,
        connection=get_connection(),
    )
    mail.attach_alternative(written.html, "text/html")
    Message.objects.filter(pk=message.pk).update(subject=written.subject[:160], text=written.text)
    mail.send()


def _failed(message: Message, tally: Tally, why: str, *, for_good: bool) -> None:
    attempts = message.attempts + 1
    over = for_good or attempts >= MOST_ATTEMPTS
    _leave(
        message,
        status=Message.Status.FAILED if over else Message.Status.QUEUED,
        attempts=attempts,
        next_try_at=timezone.now() + min(FIRST_WAIT * 2 ** (attempts - 1), LONGEST_WAIT),
        last_error=why[:300],
    )
    if over:
        tally.failed += 1
    else:
        tally.waiting += 1


def _leave(message: Message, **columns: object) -> None:
    Message.objects.filter(pk=message.pk, status=Message.Status.SENDING).update(claimed_at=None, **columns)


def send_soon() -> None:
    """After a commit: in the background, so that nobody waits for a mail server; at once where settings say so."""
    if not getattr(settings, "MAIL_IN_BACKGROUND", True):
        send_waiting()
    elif not _running.locked():
        threading.Thread(target=_in_background, name="mail", daemon=True).start()


def _in_background() -> None:
    if not _running.acquire(blocking=False):
        return
    try:
        close_old_connections()
        send_waiting()
    except Exception:
        log.exception("sending stopped; the outbox keeps what waits")
    finally:
        _running.release()
        connection.close()
