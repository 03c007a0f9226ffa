"""Everything wrong with a request, found before anything is computed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from sizing.errors import InputError, InputErrors
from sizing.study.request import StudyRequest
from sizing.study.rules import choice, within
from sizing.study.validate_equipment import equipment_problems, string_problems
from sizing.study.validate_house import load_problems, service_problems
from sizing.study.validate_money import money_problems
from sizing.study.validate_site import obstruction_problems, roof_rule_problems, site_problems


def check_request(request: StudyRequest) -> None:
    """Raise InputErrors naming every field that can't be used; return nothing if all is well."""
    problems = list(_not_numbers("", request))
    if not problems:
        problems = list(_problems(request))
    if problems:
        raise InputErrors(problems)


def _not_numbers(path: str, value: Any) -> Iterator[InputError]:
    """NaN and infinities anywhere would spread silently."""
    if isinstance(value, float) and not math.isfinite(value):
        yield InputError(path, "is not a finite number")
    elif isinstance(value, tuple):
        for i, item in enumerate(value):
            yield from _not_numbers(f"{path}[{i}]", item)
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            inner = f"{path}.{field.name}" if path else field.name
            yield from _not_numbers(inner, getattr(value, field.name))


def _problems(request: StudyRequest) -> Iterator[InputError]:
    """In the order in which the request has its parts."""
    yield from choice("system_type", request.system_type, ("off_grid", "grid_tied", "hybrid"))
    yield from site_problems(request)
    yield from equipment_problems(request)
    yield from string_problems(request)
    yield from obstruction_problems(request)
    yield from load_problems(request)
    yield from money_problems(request)
    yield from service_problems(request)
    yield from roof_rule_problems(request)
    for field in fields(request.losses):
        yield from within(f"losses.{field.name}", getattr(request.losses, field.name), 0.0, 0.9)
