"""Takes in what a tablet or a page sends so that sending it twice records it once.

A tablet that gets no answer can't know whether its entry arrived. It sends it again with the same key, until it hears.
A page that adds something has a key as well, against the double click; it is remembered for a day.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta

from django.db import IntegrityError, transaction
from django.utils import timezone

from projects.models import DeviceEntry, Person

PAGE = "page:"
PAGES_ARE_KNOWN = timedelta(days=1)
LONGEST_KEY, LONGEST_ADDRESS = 64, 200


class NotTaken(Exception):
    """Raised inside ``once`` by what refuses the entry: nothing of it stays, and its key is free for another try."""


class Entry:
    """What has come in; true where it is new."""

    def __init__(self, row: DeviceEntry, *, fresh: bool) -> None:
        self._row, self._fresh = row, fresh

    def __bool__(self) -> bool:
        return self._fresh

    @property
    def led_to(self) -> str:
        """Where a page's first sending led; empty where that address was too long to be kept."""
        return self._row.address

    def leads_to(self, address: str) -> None:
        """Keeps where a page's sending led, and drops what this person's pages sent before yesterday."""
        own = DeviceEntry.objects.filter(sent_by=self._row.sent_by_id)
        own.filter(key__startswith=PAGE, taken_in_at__lt=timezone.now() - PAGES_ARE_KNOWN).delete()
        own.filter(pk=self._row.pk).update(address=address if len(address) <= LONGEST_ADDRESS else "")

    def forget(self) -> None:
        """It was looked at and recorded nothing: it may come again."""
        self._row.delete()


@contextmanager
def once(*, actor: Person, key: str, address: str) -> Iterator[Entry]:
    """What is recorded within stands or falls with the key. The entry is false where it was taken in before."""
    with transaction.atomic():
        try:
            with transaction.atomic():
                row = DeviceEntry.objects.create(sent_by=actor, key=key, address=address[:LONGEST_ADDRESS])
        except IntegrityError:
            entry = Entry(DeviceEntry.objects.get(sent_by=actor, key=key), fresh=False)
        else:
            entry = Entry(row, fresh=True)
        yield entry


def page_key(digest: str) -> str:
    """The key of what was sent from a page: ``digest`` (hexadecimal) tells the page and all that was typed."""
    return (PAGE + digest)[:LONGEST_KEY]
