"""Site assessment: what is read off the panel, measured on the roof and seen in the sun's way."""

from __future__ import annotations

import math
from typing import Any

from django import forms

from projects.models import Evidence, Obstruction, RoofPlane, Site
from projects.screens.fields import BearingField, LengthField, MeasuredForm, PitchField, SpacingField
from projects.screens.measures import FEET
from projects.screens.office.forms_on_roof import OnRoofField, off_plane
from projects.screens.widgets import ChoiceDots

NUMBER_ATTRS = {"inputmode": "numeric"}

from projects.screens.plain_form import PlainForm

class ServiceForm(PlainForm):
    rating_a = forms.IntegerField(
        label="Service rating", min_value=30, max_value=1200, widget=forms.TextInput(attrs=NUMBER_ATTRS)
    )
    main_breaker_a = forms.IntegerField(
        label="Main breaker", min_value=30, max_value=1200, widget=forms.TextInput(attrs=NUMBER_ATTRS)
    )
    busbar_a = forms.IntegerField(
        label="Busbar rating",
        min_value=30,
        max_value=1200,
        widget=forms.TextInput(attrs=NUMBER_ATTRS),
        help_text="From the label inside the door",
    )
    free_spaces = forms.IntegerField(
        label="Free breaker spaces", min_value=0, max_value=84, widget=forms.TextInput(attrs=NUMBER_ATTRS)
    )
    panel_note = forms.CharField(
        label="Note on the panel",
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Make, condition, meter-main, sub-panels, where the disconnect could go",
    )

    @staticmethod
    def initial_from(site: Site) -> dict[str, Any]:
        return {
            "rating_a": site.service_rating_a,
            "main_breaker_a": site.main_breaker_a,
            "busbar_a": site.busbar_a,
            "free_spaces": site.free_breaker_spaces,
            "panel_note": site.panel_note,
        }


class PlaneForm(MeasuredForm):
    name = forms.CharField(label="Name", max_length=40, help_text="Such as: south main, garage west")
    covering = forms.ChoiceField(label="Covering", choices=RoofPlane.Covering.choices)
    azimuth_deg = BearingField(
        label="Faces", help_text="Downhill direction from true north: 192, SSW or south-west", least=0, most=360
    )
    tilt_deg = PitchField(
        label="Pitch",
        help_text="6:12, or degrees with the sign: 26.6°",
        least=0,
        most=75,
        bounds_words="A pitch is between flat and 75°.",
    )
    width_m = LengthField(label="Along the eave", least=0.5, most=100)
    slope_length_m = LengthField(label="Eave to ridge, on the slope", least=0.5, most=60)
    eave_height_m = LengthField(label="Eave above ground", least=0, most=20)
    rafter_spacing_m = SpacingField(label="Rafters, centre to centre", required=False, least=0.1, most=3)
    rafter_wood = forms.ChoiceField(
        label="Rafters’ wood",
        required=False,
        choices=[("", "Not known"), *(RoofPlane._meta.get_field("rafter_wood").choices or [])],
        help_text="From the grade stamp",
    )
    age_years = forms.IntegerField(
        label="Age of the covering (years)",
        required=False,
        min_value=0,
        max_value=120,
        widget=forms.TextInput(attrs=NUMBER_ATTRS),
    )
    pathway = forms.ChoiceField(
        label="Fire pathway at",
        required=False,
        choices=RoofPlane._meta.get_field("pathway").choices or [],
        help_text="Facing the roof; kept free as the fire code of the place asks",
    )
    ends_at_wall = forms.BooleanField(label="Ends at a wall or a higher roof, not in a ridge", required=False)
    obstacles = OnRoofField(
        label="On the plane",
        help_text="One a line: vent, skylight, chimney, escape window or other, then from the left end, up from the "
        "eave, width, height",
    )
    x_m = LengthField(
        label="Middle: east of the house’s middle",
        required=False,
        least=-200,
        most=200,
        help_text="Minus for west; left empty: beside the ridge over the middle",
    )
    y_m = LengthField(
        label="Middle: north of the house’s middle", required=False, least=-200, most=200, help_text="Minus for south"
    )

    FIELDS = (
        "name",
        "covering",
        "azimuth_deg",
        "tilt_deg",
        "width_m",
        "slope_length_m",
        "eave_height_m",
        "rafter_spacing_m",
        "rafter_wood",
        "age_years",
        "pathway",
        "obstacles",
        "x_m",
        "y_m",
    )

    def __init__(self, *args: Any, unit: str = FEET, **kwargs: Any) -> None:
        super().__init__(*args, unit=unit, **kwargs)
        on_roof = self.fields["obstacles"]
        assert isinstance(on_roof, OnRoofField)
        on_roof.unit, on_roof.stored = unit, self.initial.get("obstacles") or ()

    @classmethod
    def initial_from(cls, plane: RoofPlane | None) -> dict[str, Any]:
        if plane is None:
            return {"eave_height_m": 3.0, "pathway": "right"}
        return {name: getattr(plane, name) for name in cls.FIELDS} | {"ends_at_wall": not plane.ridge_at_top}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("x_m") is None and cleaned.get("y_m") is None and not self.errors:
            # A gable's ridge runs over the middle of the house: half the plane's plan depth towards where it faces.
            offset = cleaned["slope_length_m"] * math.cos(math.radians(cleaned["tilt_deg"])) / 2
            towards = math.radians(cleaned["azimuth_deg"])
            if cleaned["tilt_deg"] < 2:
                offset = 0.0
            cleaned["x_m"] = round(offset * math.sin(towards), 2)
            cleaned["y_m"] = round(offset * math.cos(towards), 2)
        for name in ("x_m", "y_m"):
            if cleaned.get(name) is None:
                cleaned[name] = 0.0
        cleaned["pathway"] = cleaned.get("pathway") or "right"
        cleaned["ridge_at_top"] = not cleaned.pop("ends_at_wall", False)
        if not self.errors:
            for problem in off_plane(cleaned["obstacles"], cleaned["width_m"], cleaned["slope_length_m"]):
                self.add_error("obstacles", problem)
        return cleaned


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
        return {name: getattr(obstruction, name) for name in cls.FIELDS}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in ("crown_base_m", "base_height_m"):
            if name not in self.errors and cleaned.get(name) is None:
                cleaned[name] = 0.0
        top, crown = cleaned.get("height_m"), cleaned.get("crown_base_m")
        if top is not None and crown is not None and crown >= top:
            self.add_error("crown_base_m", "The crown begins below the top.")
        return cleaned


class PhotoForm(PlainForm):
    kind = forms.ChoiceField(label="Shows", choices=Evidence.Kind.choices)
    upload = forms.FileField(
        label="Photo",
        widget=forms.FileInput(attrs={"accept": "image/*", "data-preview": "photo-preview"}),
        error_messages={"required": "Choose a photo, or take one."},
    )
    note = forms.CharField(label="Note", required=False, max_length=200)
    key = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)


class UnitForm(PlainForm):
    unit = forms.ChoiceField(choices=(("ft", "feet and inches"), ("m", "metres")))
