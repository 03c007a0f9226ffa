"""Fields that were typed for a row, put on it and validated by the model's own rules."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db.models import Model

from projects.actions.findings import Findings
from projects.number_words import bounds_of, reworded, unit_of


def saved_fields(findings: Findings, row: Model, fields: Mapping[str, Any], *, exclude: Iterable[str] = ()) -> bool:
    """Sets the fields on the row (not saved) and collects the model's problems; True where anything changed."""
    known = {field.name for field in row._meta.concrete_fields} - {"id"}
    unknown = sorted(set(fields) - known)
    if unknown:
        raise TypeError(f"{type(row).__name__} has no {', '.join(unknown)}")
    changed = False
    for name, value in fields.items():
        if isinstance(value, str):
            value = value.strip()
        # A new row has no related object yet, which Django reports as a missing attribute.
        if getattr(row, name, None) != value:
            setattr(row, name, value)
            changed = True
    # An empty list is an answer ("all year"), not a blank.
    lists = {field.name for field in row._meta.concrete_fields if getattr(row, field.attname) == []}
    try:
        row.full_clean(exclude={*exclude, *lists}, validate_constraints=False)
    except ValidationError as error:
        for name, reasons in error.error_dict.items():
            findings.extend("" if name == NON_FIELD_ERRORS else name, _in_words(row, name, reasons))
    return changed


def _in_words(row: Model, name: str, reasons: list[ValidationError]) -> list[str]:
    least, most = (None, None) if name == NON_FIELD_ERRORS else bounds_of(row._meta.get_field(name).validators)
    plain = reworded(ValidationError(reasons), unit=unit_of(name), least=least, most=most)
    return ValidationError(plain).messages
