"""What the forms of the office's registers share: a model's fields in groups, with plain labels and units."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import models
from django.forms.models import fields_for_model, model_to_dict

from projects.screens.fields import ExactField, NumberField, WholeField
from projects.screens.plain_form import PlainForm
from projects.screens.widgets import DateInput


def _field(db_field: models.Field, **kwargs: Any) -> forms.Field | None:
    kwargs.pop("widget", None)
    if isinstance(db_field, models.FloatField):
        wanted = {key: kwargs[key] for key in ("label", "help_text") if key in kwargs}
        wanted.setdefault("label", db_field.verbose_name.capitalize())
        if db_field.has_default():
            wanted["initial"] = db_field.get_default()
        return NumberField(required=not db_field.blank, **wanted)
    if isinstance(db_field, models.DateField):
        return db_field.formfield(widget=DateInput(), **kwargs)
    if not db_field.choices and isinstance(db_field, models.IntegerField | models.DecimalField):
        kwargs["form_class"] = WholeField if isinstance(db_field, models.IntegerField) else ExactField
    field = db_field.formfield(**kwargs)
    if isinstance(field, forms.IntegerField | forms.DecimalField):
        field.widget = forms.TextInput(attrs={"inputmode": "decimal"})
    if isinstance(field, forms.CharField) and isinstance(field.widget, forms.Textarea):
        field.widget.attrs["rows"] = 3
    return field


class RegisterForm(PlainForm):
    """Subclasses name a model, its fields in groups (title, names) and plain labels."""

    model: type[models.Model]
    groups: tuple[tuple[str, tuple[str, ...]], ...]
    labels: dict[str, str] = {}
    units: dict[str, str] = {}
    helps: dict[str, str] = {}
    fractions: tuple[str, ...] = ()
    """Kept between 0 and 1, and typed so or in percent, as on most datasheets: 0.97 or 97."""

    def __init__(self, *args: Any, row: models.Model | None = None, **kwargs: Any) -> None:
        if row is not None:
            kwargs["initial"] = model_to_dict(row) | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        names = [name for _, group in self.groups for name in group]
        built = fields_for_model(
            self.model, fields=names, formfield_callback=_field, labels=self.labels, help_texts=self.helps
        )
        for name in names:
            if name in built and name not in self.fields:
                self.fields[name] = built[name]

    def typed_unit(self, name: str) -> str:
        return super().typed_unit(name) or ("%" if name in self.fractions else "")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in self.fractions:
            if (value := cleaned.get(name)) is not None and 1 < value <= 100:
                cleaned[name] = value / 100
        return cleaned

    def grouped(self) -> list[tuple[str, list[tuple[forms.BoundField, str, str]]]]:
        """(title, [(field, unit, span)]) for the template."""
        return [
            (title, [(self[name], self.units.get(name, ""), self._span(name)) for name in names if name in self.fields])
            for title, names in self.groups
        ]

    def _span(self, name: str) -> str:
        widget = self.fields[name].widget
        if isinstance(widget, forms.Textarea):
            return "s12"
        return "s6" if name in ("name", "off_grid_exemption_rule", "street", "email") else "s3"
