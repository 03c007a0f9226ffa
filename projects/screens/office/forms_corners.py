"""The corners of a roof plane of any shape, typed as pairs: along the eave, up the slope."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from projects.models.roof_shape import EDGES
from projects.screens import measures

MOST = 20
_NAMED = re.compile(rf"^(.*\S)\s+({'|'.join(EDGES)})$", re.IGNORECASE)


class CornersField(forms.CharField):
    """ "0, 0; 12, 0 hip; 8, 5; 4, 5" in, plain dictionaries out; what comes back untouched stays as stored."""

    unit = measures.FEET

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.Textarea(attrs={"rows": 3, "placeholder": "0, 0; 40, 0; 28, 17; 12, 17"}))
        super().__init__(required=False, max_length=1000, **kwargs)
        self.stored: Sequence[dict[str, Any]] = ()

    def prepare_value(self, value: Any) -> Any:
        return self.show(value) if isinstance(value, list | tuple) else value

    def show(self, corners: Sequence[dict[str, Any]]) -> str:
        return "; ".join(
            f"{measures.show_length(corner['u_m'], self.unit)}, {measures.show_length(corner['v_m'], self.unit)}"
            + (f" {corner['kind']}" if corner.get("kind") else "")
            for corner in corners
        )

    def clean(self, value: Any) -> list[dict[str, Any]]:
        text = super().clean(value).strip()
        if text == self.show(self.stored):
            return [dict(corner) for corner in self.stored]
        pairs = [pair.strip() for pair in re.split(r"[;\n]", text) if pair.strip()]
        if len(pairs) > MOST:
            raise ValidationError(f"At most {MOST} corners.")
        found, problems = [], []
        for number, pair in enumerate(pairs, start=1):
            try:
                found.append(self._corner(pair))
            except ValueError as problem:
                problems.append(f"Corner {number}, “{pair[:40]}”: {problem}")
        if problems:
            raise ValidationError(problems)
        return found

    def _corner(self, pair: str) -> dict[str, Any]:
        """Raises ValueError with a sentence."""
        named = _NAMED.match(pair)
        lengths, kind = (named[1], named[2].lower()) if named else (pair, "")
        parts = [part.strip() for part in lengths.split(",")]
        if len(parts) != 2 or not all(parts):
            raise ValueError("two lengths with a comma, along the eave and up the slope; corners with semicolons.")
        along, up = (measures.parse_length(part, self.unit) for part in parts)
        return {"u_m": along, "v_m": up, "kind": kind}
