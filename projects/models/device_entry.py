"""What a tablet has sent, kept there while there was no signal, or a page that adds something: taken in once however
often it comes.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models


class DeviceEntry(models.Model):
    sent_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=64)
    """Made up by the tablet when the entry was typed; of a page, from its own key and what was typed."""
    address = models.CharField(max_length=200)
    """Where it was sent; of a page, where the answer led."""
    taken_in_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "device entries"
        constraints = [models.UniqueConstraint(fields=["sent_by", "key"], name="device_entry_once")]

    def __str__(self) -> str:
        return f"entry for {self.address}"
