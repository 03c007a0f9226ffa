"""A process that tells stories beside others. Imports no models: they can't be read before ``ready`` has run."""

from __future__ import annotations

import gc

import django
from django.db import connection

PATIENCE_S = 600
"""How long a story waits for its turn to write."""
COLLECT_EVERY = 50_000
"""New objects, instead of Python's 700: a page is laid out from many that all stay until it is drawn."""


def ready() -> None:
    """The other processes hold the book while they typeset, on a busy machine for long; nobody waits at a page, so this
    one is patient.
    """
    django.setup()
    gc.set_threshold(COLLECT_EVERY)
    if connection.vendor == "sqlite":
        connection.settings_dict.setdefault("OPTIONS", {})["timeout"] = PATIENCE_S
