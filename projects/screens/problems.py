"""Puts an action's problems beside the fields in which they were typed."""

from __future__ import annotations

from collections.abc import Iterable

from django import forms


def add_problems(form: forms.BaseForm, problems: Iterable) -> None:
    """Each problem has ``field`` and ``message``; one that names no field of the form goes to the top."""
    for problem in problems:
        form.add_error(problem.field if problem.field in form.fields else None, problem.message)
