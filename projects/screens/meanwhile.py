"""Two people, or two tabs, at one form: whoever sends second is told what was changed meanwhile, and decides.

The page carries a short mark of each value that it was opened with. A value that has changed in the book since then is
not written over unseen: it is told at its field, what was typed stays, and sending again says that it is meant.

Looking and saving are one: both happen while nobody else can write the row (``alone_with``).
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from django import forms
from django.db import models, transaction
from django.http import Http404, HttpRequest

from projects.actions.problems import Problem, Problems
from projects.models import Job
from projects.screens.problems import add_problems

NAME = "opened_with"
"""The hidden field's name, in ``office/opened_with.html``."""
MARK_LENGTH = 8
LONGEST_SHOWN = 200


@contextmanager
def alone_with(request: HttpRequest, *rows: models.Model | None) -> Iterator[None]:
    """Around building, checking and saving a form that writes over ``rows``: one transaction, in which each row is
    locked and read afresh. A page that is only looked at locks nothing.

    The job comes first, as in every action, so that no two wait for each other.
    """
    if request.method != "POST":
        yield
        return
    # SQLite has no row locks: its transactions begin IMMEDIATE, one writer at a time.
    with transaction.atomic():
        for row in rows:
            if row is None or row._state.adding:
                continue
            manager = type(row)._base_manager
            # Of registers a weaker lock: rows that refer to them may still come in.
            locked = manager.select_for_update(no_key=not isinstance(row, Job))
            try:
                row.refresh_from_db(from_queryset=locked)
            except type(row).DoesNotExist:
                raise Http404("Somebody took it out a moment ago.") from None
        yield


def fits(form: forms.Form, request: HttpRequest) -> bool:
    """Valid as typed, and nothing was changed meanwhile. Both are said at once: the page that comes back carries new
    marks."""
    valid = form.is_valid()
    return not told(form, request.POST.get(NAME, "")) and valid


@dataclass(frozen=True)
class Saved:
    row: Any
    """What the action answered."""


def saved(
    form: forms.Form,
    request: HttpRequest,
    action: Callable[..., Any],
    *,
    placed: Callable[[Problems], Iterable[Problem]] = iter,
    **known: Any,
) -> Saved | None:
    """Checks what was sent and has ``action`` save it, with what is ``known`` and all that was typed. None: nothing was
    sent, or the form says beside its fields what is wrong.

    ``placed``: for a form whose fields go by other names than the action's.
    """
    if request.method != "POST" or not fits(form, request):
        return None
    try:
        return Saved(action(**known, **form.cleaned_data))
    except Problems as problems:
        add_problems(form, placed(problems))
        return None


def _standing(form: forms.Form, name: str) -> Any:
    return form.get_initial_for_field(form.fields[name], name)


def _mark(value: Any) -> str:
    plain = "" if value in (None, [], ()) else str(value)
    return hashlib.sha256(plain.encode()).hexdigest()[:MARK_LENGTH]


def opened_with(form: forms.Form) -> str:
    """What stands in the book now, as marks by field."""
    return json.dumps({name: _mark(_standing(form, name)) for name in form.fields})


def told(form: forms.Form, sent: str) -> bool:
    """True where something that this form would write over was changed since its page was opened; it is said at the
    fields. A page without marks (an old one, a script's) is taken at its word."""
    try:
        marks = json.loads(sent or "{}")
    except ValueError:
        marks = {}
    if not isinstance(marks, dict) or not marks:
        return False

    def opened(name: str) -> str:
        # What the page hadn't got yet (one more price, one more part of a schedule) stood empty.
        return marks[name] if name in marks else _mark(form.fields[name].initial)

    changed = [
        name
        for name in form.changed_data
        if opened(name) != _mark(_standing(form, name)) and not _says_the_same(form, name)
    ]
    for name in changed:
        form.add_error(name, f"Changed meanwhile to {_shown(form, name)}. Send again to write what stands here.")
    return bool(changed)


def _as_shown(form: forms.Form, name: str) -> Any:
    return form.fields[name].prepare_value(_standing(form, name))


def _says_the_same(form: forms.Form, name: str) -> bool:
    """What was typed is, letter for letter, what the page would show now."""
    typed, shown = form[name].data, _as_shown(form, name)
    return isinstance(typed, str) and typed.replace("\r\n", "\n").strip() == str("" if shown is None else shown).strip()


def _shown(form: forms.Form, name: str) -> str:
    value = _as_shown(form, name)
    if value in (None, "", [], ()):
        return "nothing"
    if isinstance(value, bool):
        return "ticked" if value else "not ticked"
    choices = {str(key): str(words) for key, words in getattr(form.fields[name], "choices", ()) if key != ""}
    words = [choices.get(str(one), str(one)) for one in (value if isinstance(value, list | tuple) else [value])]
    text = ", ".join(words)
    return f"“{text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + '…'}”"
