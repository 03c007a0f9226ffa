"""Form fields that take measures as people say them, and hand on metres and degrees."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from projects.screens import measures
from projects.screens.plain_form import PlainForm

FARTHEST_POINT_DEG = 45.0
"""Letters that disagree with the degrees by more are a slip of one of the two: 192 and S agree, 192 and N don't."""


class AsWritten:
    """A number as people write it: ``12,400`` and ``12400.5`` alike, and with the unit that its field shows, as in
    ``$1,080.00``, ``97 %`` or ``9,400 kWh``. Another unit is refused: nothing is converted.
    """

    said_unit = ""
    """Told by the form (``PlainForm``)."""

    def to_python(self, value: Any) -> Any:
        return super().to_python(self.bare(value) if isinstance(value, str) else value)  # type: ignore[misc]

    def bare(self, text: str) -> str:
        text, unit = text.strip(), self.said_unit
        if unit == "$":
            text = re.sub(r"^([-−]?)\s*\$\s*", r"\1", text)
        elif unit:
            for words in (unit, unit.split()[0]):
                if text.lower().endswith(words.lower()) and text[0].isdigit():
                    text = text[: -len(words)].rstrip()
                    break
        return text.replace(",", "") if re.fullmatch(r"[-−]?\d{1,3}(,\d{3})+(\.\d*)?", text) else text


class WholeField(AsWritten, forms.IntegerField):
    """A whole number as people write it."""


class ExactField(AsWritten, forms.DecimalField):
    """An exact number, money above all, as people write it."""


class NumberField(AsWritten, forms.FloatField):
    """A number as people write it. The keyboard of a tablet shows digits."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal"}))
        super().__init__(**kwargs)

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, float):
            return f"{value:.6f}".rstrip("0").rstrip(".")
        return value


class MeasureField(forms.CharField):
    """Text in, a float out. What was shown and came back untouched keeps its exact stored value."""

    def __init__(
        self, *, least: float | None = None, most: float | None = None, bounds_words: str = "", **kwargs: Any
    ) -> None:
        kwargs.setdefault("max_length", 40)
        super().__init__(**kwargs)
        self.least, self.most, self.bounds_words = least, most, bounds_words
        self.stored: float | None = None

    def parse(self, text: str) -> float:
        raise NotImplementedError

    def show(self, value: float | None) -> str:
        raise NotImplementedError

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, int | float) and not isinstance(value, bool):
            self.stored = float(value)
            return self.show(float(value))
        return value

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        if self.stored is not None and text == self.show(self.stored):
            return self.stored
        try:
            number = self.parse(text)
        except ValueError as problem:
            raise ValidationError(str(problem)) from None
        too_small = self.least is not None and number < self.least
        if too_small or (self.most is not None and number > self.most):
            raise ValidationError(self.bounds_words or self._bounds())
        return number

    def _bounds(self) -> str:
        if self.most is None:
            return f"That is less than {self.show(self.least)}: please look again."
        return f"That should be between {self.show(self.least)} and {self.show(self.most)}."

    def has_changed(self, initial: Any, data: Any) -> bool:
        return (
            self.show(initial) != (data or "")
            if isinstance(initial, int | float)
            else super().has_changed(initial, data)
        )


class LengthField(MeasureField):
    """A length; ``unit`` is what a bare number means ("ft" or "m"; set by the form)."""

    unit = measures.FEET

    def parse(self, text: str) -> float:
        negative = text.strip().startswith("-")
        length = measures.parse_length(text.strip().lstrip("-"), self.unit)
        return -length if negative else length

    def show(self, value: float | None) -> str:
        return measures.show_length(value, self.unit)


class SpacingField(LengthField):
    """Centre to centre of rafters: where feet and inches are spoken, a bare number means inches."""

    def parse(self, text: str) -> float:
        bare = re.fullmatch(r"\d+(\.\d+)?", text.strip())
        return super().parse(f'{text.strip()}"' if bare and self.unit == measures.FEET else text)

    def show(self, value: float | None) -> str:
        if value is None or self.unit == measures.METRES:
            return super().show(value)
        return f"{value / measures.METRES_PER_INCH:.2f}".rstrip("0").rstrip(".") + '"'


class PitchField(MeasureField):
    def parse(self, text: str) -> float:
        return measures.parse_pitch(text)

    def show(self, value: float | None) -> str:
        return measures.show_pitch(value)


class BearingField(MeasureField):
    def parse(self, text: str) -> float:
        # "192° SSW" is how a bearing is shown; the letters only repeat the number, and may lose the sign in a copy.
        shown = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*(?:°|deg|degrees)?\s*([A-Za-z]{1,3})\s*", text)
        if shown is None or shown[2].lower() == "deg":
            return measures.parse_bearing(text)
        degrees, point = measures.parse_bearing(shown[1]), measures.parse_bearing(shown[2])
        if abs((degrees - point + 180) % 360 - 180) > FARTHEST_POINT_DEG:
            raise ValueError(f"{shown[1]}° is {measures.compass(degrees)}, not {shown[2].upper()}: which one is it?")
        return degrees

    def show(self, value: float | None) -> str:
        return measures.show_bearing(value)


class MeasuredForm(PlainForm):
    """A form with lengths: tells each of them the unit, and lets untouched values keep what was stored."""

    def __init__(self, *args: Any, unit: str = measures.FEET, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            if isinstance(field, LengthField):
                field.unit = unit
            if isinstance(field, MeasureField):
                stored = self.initial.get(name, field.initial)
                field.stored = float(stored) if isinstance(stored, int | float) else None
