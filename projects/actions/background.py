"""Long work beside the pages: a row that tells how far it is, a thread that does it, and a second try after a crash.

Everything that must survive a restart stands on the row: state, sign of life, attempt. A worker that was believed dead
and comes back finds that its attempt is over and writes nothing.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from contextlib import suppress
from datetime import timedelta

from django.conf import settings
from django.db import DatabaseError, close_old_connections, connection, transaction
from django.db.models import F
from django.utils import timezone

from projects.actions.problems import Problems
from projects.models import DesignSearch, StudyRun

Run = StudyRun | DesignSearch
Work = Callable[[Run], None]

BEAT_EVERY_S = 10.0
SILENT_FOR = timedelta(seconds=60)
MOST_ATTEMPTS = 3
GONE = "It stopped without a result; run it again."
AGAIN = "Begun again: the program was restarted"
log = logging.getLogger(__name__)


def tell(run: Run, words: str, fraction: float) -> None:
    """Progress of the living attempt, for whoever watches."""
    living(run).update(progress=fraction, progress_words=words[:120], heard_at=timezone.now())


def living(run: Run):
    """The row, as long as this attempt is the one that counts."""
    return type(run)._default_manager.filter(pk=run.pk, state="running", attempts=run.attempts)


def fail(run: Run, problem: str, field: str = "") -> bool:
    """False where another attempt has taken over."""
    values = {"state": "failed", "problem": problem, "problem_field": field, "finished_at": timezone.now()}
    return bool(living(run).update(**values))


def launch(run: Run, work: Work) -> None:
    """Does the work once the transaction is through: in a thread, or here and now where threads are off."""
    if getattr(settings, "STUDIES_IN_BACKGROUND", True):
        transaction.on_commit(lambda: _thread(run, work).start())
        return
    with suppress(Problems):  # on the row already
        work(run)
    run.refresh_from_db()


def is_gone(run: Run) -> bool:
    """Running by its row, but silent for too long: its process is no more."""
    return run.state == "running" and timezone.now() - run.heard_at > SILENT_FOR


def settle(run: Run, work: Work) -> Run:
    """For whoever looks at a run: one whose process is gone is begun again, and given up after three tries."""
    if not is_gone(run):
        return run
    taken = living(run).filter(heard_at=run.heard_at)
    if run.attempts >= MOST_ATTEMPTS:
        taken.update(state="failed", problem=GONE, finished_at=timezone.now())
        run.refresh_from_db()
        return run
    mine = taken.update(attempts=F("attempts") + 1, heard_at=timezone.now(), progress=0, progress_words=AGAIN)
    run.refresh_from_db()
    if mine:  # whoever asks a moment later finds it alive
        log.warning("%s was left by a process that ended; it is begun again", run)
        launch(run, work)
    return run


def _thread(run: Run, work: Work) -> threading.Thread:
    def do() -> None:
        close_old_connections()
        over = threading.Event()
        threading.Thread(target=_beat, args=(run, over), name=f"beat-{run.pk}", daemon=True).start()
        try:
            work(run)
        except Problems:
            pass  # on the row already
        except Exception:
            log.exception("%s failed", run)
            fail(run, GONE)
        finally:
            over.set()
            connection.close()

    kind = "search" if isinstance(run, DesignSearch) else "study"
    return threading.Thread(target=do, name=f"{kind}-{run.pk}", daemon=True)


def _beat(run: Run, over: threading.Event) -> None:
    """A sign of life while a single step takes long."""
    while not over.wait(BEAT_EVERY_S):
        try:
            living(run).update(heard_at=timezone.now())
        except DatabaseError:
            log.info("%s could not give a sign of life", run)
        finally:
            connection.close()
