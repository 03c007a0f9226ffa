"""Where mail goes while no mail server is set: a file each in the data folder, and a line on the console."""

from __future__ import annotations

import logging
import re
import uuid
from collections.abc import Sequence
from pathlib import Path

from django.conf import settings
from django.core.mail import EmailMessage
from django.core.mail.backends.base import BaseEmailBackend
from django.utils import timezone

log = logging.getLogger("projects.mail")


class FileAndConsole(BaseEmailBackend):
    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        folder = Path(settings.MAIL_FOLDER)
        folder.mkdir(parents=True, exist_ok=True)
        for mail in email_messages:
            words = re.sub(r"[^a-z0-9]+", "-", mail.subject.lower())[:40].strip("-")
            name = f"{timezone.now():%Y%m%d-%H%M%S}-{words}-{uuid.uuid4().hex[:6]}.eml"
            (folder / name).write_bytes(mail.message().as_bytes())
            log.info("No mail server is set. To %s: %s (%s)", ", ".join(mail.to), mail.subject, folder / name)
        return len(email_messages)
