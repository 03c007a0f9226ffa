"""The form under all forms: a number out of bounds is answered in plain words, with its unit."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from projects.number_words import bounds_of, reworded, unit_of

_IN_LABEL = re.compile(r"\(([^()\s]{1,5})\)$")
"""Of "Fee paid ($)"."""


class PlainForm(forms.Form):
    units: dict[str, str] = {}
    """Of fields whose name doesn't tell."""

    def full_clean(self) -> None:
        """A number may be typed with the unit that stands beside its field."""
        for name, field in self.fields.items():
            if getattr(field, "said_unit", None) == "":
                field.said_unit = self.typed_unit(name)  # type: ignore[attr-defined]
        super().full_clean()

    def typed_unit(self, name: str) -> str:
        return self.unit(name)

    def add_error(self, field: str | None, error: Any) -> None:
        if field in self.fields and isinstance(error, ValidationError) and not hasattr(error, "error_dict"):
            asked = self.fields[field]
            least, most = bounds_of(asked.validators)
            own = [code for code in asked.error_messages if code in ("min_value", "max_value")]
            error = ValidationError(reworded(error, unit=self.unit(field), least=least, most=most, keep=own))
        super().add_error(field, error)

    def unit(self, name: str) -> str:
        """ "A", "$" or "" where the field says none."""
        shown = _IN_LABEL.search(str(self.fields[name].label or ""))
        return self.units.get(name) or (shown[1] if shown else "") or unit_of(name)
