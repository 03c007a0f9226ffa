"""Takes in what a tablet sends so that sending it twice records it once.

A tablet that gets no answer can't know whether its entry arrived. It sends it again with the same key, until it hears.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import IntegrityError, transaction

from projects.models import DeviceEntry, Person


class NotTaken(Exception):
    """Raised inside ``once`` by what refuses the entry: nothing of it stays, and its key is free for another try."""


@contextmanager
def once(*, actor: Person, key: str, address: str) -> Iterator[bool]:
    """True where the entry is new; what is recorded within stands or falls with the key. False where it was taken in
    before.
    """
    with transaction.atomic():
        try:
            with transaction.atomic():
                DeviceEntry.objects.create(sent_by=actor, key=key, address=address[:200])
        except IntegrityError:
            fresh = False
        else:
            fresh = True
        yield fresh
