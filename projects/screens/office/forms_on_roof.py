"""What stands on a roof plane, typed a line each: what it is, where it begins, how large it is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from projects import studies
from projects.screens import measures

KINDS = {
    "vent": "vent",
    "skylight": "skylight",
    "chimney": "chimney",
    "escape window": "escape_window",
    "other": "other",
}
MOST = 30
MEASURES = ("u_m", "v_m", "width_m", "height_m")


class OnRoofField(forms.CharField):
    """Lines of text in, a list of plain dictionaries out; what was shown and comes back untouched stays as stored."""

    unit = measures.FEET

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.Textarea(attrs={"rows": 4, "placeholder": "skylight: 8, 4, 2, 3"}))
        super().__init__(required=False, max_length=2000, **kwargs)
        self.stored: Sequence[dict[str, Any]] = ()

    def prepare_value(self, value: Any) -> Any:
        return self.show(value) if isinstance(value, list | tuple) else value

    def show(self, rows: Sequence[dict[str, Any]]) -> str:
        words = {key: name for name, key in KINDS.items()}
        return "\n".join(
            f"{words[row['kind']]}: " + ", ".join(measures.show_length(row[key], self.unit) for key in MEASURES)
            for row in rows
        )

    def clean(self, value: Any) -> list[dict[str, Any]]:
        text = super().clean(value).replace("\r\n", "\n").strip()
        if text == self.show(self.stored).strip():
            return [dict(row) for row in self.stored]
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        if len(lines) > MOST:
            raise ValidationError(f"At most {MOST} lines.")
        found, problems = [], []
        for number, line in enumerate(lines, start=1):
            try:
                found.append(self._row(line))
            except ValueError as problem:
                problems.append(f"Line {number}, “{line[:40]}”: {problem}")
        if problems:
            raise ValidationError(problems)
        return found

    def _row(self, line: str) -> dict[str, Any]:
        """Raises ValueError with a sentence."""
        name, colon, rest = line.partition(":")
        kind = KINDS.get(name.strip().lower())
        if kind is None or not colon:
            raise ValueError(f"begin with what it is and a colon: {', '.join(KINDS)}.")
        parts = [part.strip() for part in rest.split(",")]
        if len(parts) != len(MEASURES) or not all(parts):
            raise ValueError("four lengths with commas: from the left, up from the eave, wide, high.")
        row = {key: measures.parse_length(part, self.unit) for key, part in zip(MEASURES, parts, strict=True)}
        if row["width_m"] <= 0 or row["height_m"] <= 0:
            raise ValueError("it is neither wide nor high.")
        return {"kind": kind, **row}


def off_plane(rows: Sequence[dict[str, Any]], ring: Sequence[tuple[float, float]]) -> list[str]:
    """Of what reaches over an edge of the plane: a sentence each. ``ring``: the plane's corners in order.

    A chimney may cut a hip or a valley: only its middle has to lie on the plane there.
    """
    slack_m = 0.05  # a tape's
    width_m, slope_m = max(u for u, _ in ring), max(v for _, v in ring)
    return [
        f"Line {number}: it reaches over the edge of the plane."
        for number, row in enumerate(rows, start=1)
        if row["u_m"] + row["width_m"] > width_m + slack_m
        or row["v_m"] + row["height_m"] > slope_m + slack_m
        or not studies.lies_on(ring, row["u_m"] + row["width_m"] / 2, row["v_m"] + row["height_m"] / 2)
    ]
