"""Long work that the last process left behind, begun again by the next."""

from __future__ import annotations

import logging
import threading
import time

from django.db import DatabaseError, connection

from projects.actions import background, searching, study
from projects.models import DesignSearch, StudyRun

log = logging.getLogger(__name__)
WORK: tuple[tuple[type[background.Run], background.Work], ...] = (
    (StudyRun, study.carry_on),
    (DesignSearch, searching.carry_on),
)


def revive_gone() -> int:
    """Begins again (or gives up) every run that has gone silent; returns how many there were."""
    count = 0
    for model, work in WORK:
        for run in model._default_manager.filter(state="running"):
            if background.is_gone(run):
                background.settle(run, work)
                count += 1
    return count


def watch() -> threading.Thread:
    """One look, as soon as what the last process left has been silent for long enough to be told from living work."""

    def look() -> None:
        time.sleep(background.SILENT_FOR.total_seconds() + 5)
        try:
            revive_gone()
        except DatabaseError:
            log.exception("unfinished studies could not be looked for")
        finally:
            connection.close()

    thread = threading.Thread(target=look, name="revive", daemon=True)
    thread.start()
    return thread
