"""What stands in the sun's way, as it is measured from the middle of the house."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.dates import MONTHS as NAMES

from projects.models import Obstruction
from projects.models.leaves import ends_of
from projects.screens.fields import BearingField, LengthField, MeasuredForm, NumberField
from projects.screens.widgets import ChoiceDots

MONTHS = [("", "As usual here"), *((number, str(name)) for number, name in NAMES.items())]
LIGHT = {"leaf_on_pct": "transmittance_leaf_on", "leaf_off_pct": "transmittance_leaf_off"}


class ObstructionForm(MeasuredForm):
    kind = forms.ChoiceField(label="What is it", choices=Obstruction.Kind.choices, widget=ChoiceDots, initial="tree")
    bearing_deg = BearingField(
        label="Bearing from the house’s middle", help_text="150, SSE or south-east", least=0, most=360
    )
    distance_m = LengthField(label="Distance", least=0.2, most=500, help_text="From the house’s middle to its middle")
    height_m = LengthField(label="Height of its top above ground", least=0.2, most=120)
    width_m = LengthField(label="Width across", least=0.1, most=200)
    depth_m = LengthField(
        label="Depth, away from the house", required=False, least=0.05, most=200, help_text="Empty: as deep as wide"
    )
    crown_base_m = LengthField(
        label="Crown begins at", required=False, least=0, most=60, help_text="Trees: bare trunk below"
    )
    evergreen = forms.BooleanField(label="Evergreen: keeps its leaves in winter", required=False)
    leaf_on_pct = NumberField(
        label="Light through its crown in leaf",
        required=False,
        min_value=0,
        max_value=100,
        help_text="Left empty: 15 %, dense; an open crown lets 20 to 30 % through",
    )
    leaf_off_pct = NumberField(
        label="Light through it bare", required=False, min_value=0, max_value=100, help_text="Left empty: 55 %"
    )
    leaf_from = forms.TypedChoiceField(
        label="In leaf from", required=False, choices=MONTHS, coerce=int, empty_value=None
    )
    leaf_until = forms.TypedChoiceField(
        label="In leaf until the end of", required=False, choices=MONTHS, coerce=int, empty_value=None
    )
    base_height_m = LengthField(
        label="Its foot above ground", required=False, least=0, most=60, help_text="A chimney stands on the roof"
    )
    note = forms.CharField(label="Note", required=False, max_length=120)

    FIELDS = (
        "kind",
        "bearing_deg",
        "distance_m",
        "height_m",
        "width_m",
        "depth_m",
        "crown_base_m",
        "evergreen",
        "base_height_m",
        "note",
    )

    @classmethod
    def initial_from(cls, obstruction: Obstruction | None) -> dict[str, Any]:
        if obstruction is None:
            return {}
        initial = {name: getattr(obstruction, name) for name in cls.FIELDS}
        for name, field in LIGHT.items():
            share = getattr(obstruction, field)
            initial[name] = None if share is None else round(share * 100, 6)
        initial["leaf_from"], initial["leaf_until"] = ends_of(obstruction.leaf_months)
        return initial | {"leaf_months": obstruction.leaf_months}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in ("crown_base_m", "base_height_m"):
            if name not in self.errors and cleaned.get(name) is None:
                cleaned[name] = 0.0
        top, crown = cleaned.get("height_m"), cleaned.get("crown_base_m")
        if top is not None and crown is not None and crown >= top:
            self.add_error("crown_base_m", "The crown begins below the top.")
        self._leaves(cleaned)
        return cleaned

    def _leaves(self, cleaned: dict[str, Any]) -> None:
        """Shares of one, and the months in leaf as a list; of what is no tree, or keeps its leaves, without meaning."""
        tree = cleaned.get("kind") == Obstruction.Kind.TREE
        drops = tree and not cleaned.get("evergreen")
        for name, field in LIGHT.items():
            percent = cleaned.pop(name, None)
            asked = tree if field == "transmittance_leaf_on" else drops
            cleaned[field] = percent / 100 if percent is not None and asked else None
        first, last = cleaned.pop("leaf_from", None), cleaned.pop("leaf_until", None)
        if drops and (first is None) != (last is None):
            self.add_error("leaf_from" if first is None else "leaf_until", "Both months, or neither.")
        stored = self.initial.get("leaf_months") or []
        if not drops or first is None or last is None:
            cleaned["leaf_months"] = []
        elif (first, last) == ends_of(stored):
            cleaned["leaf_months"] = list(stored)
        else:
            cleaned["leaf_months"] = sorted((first - 1 + step) % 12 + 1 for step in range((last - first) % 12 + 1))
