"""Site assessment: what is read off the panel, measured on the roof and seen in the sun's way."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

from django import forms

from projects.actions.roof_shapes import corner_problems, narrow_problems, settled
from projects.models import Evidence, RoofPlane, Site
from projects.models.roof_shape import Shape, ring_of
from projects.screens.fields import BearingField, LengthField, MeasuredForm, PitchField, SpacingField
from projects.screens.measures import FEET
from projects.screens.office.forms_corners import CornersField
from projects.screens.office.forms_on_roof import OnRoofField, off_plane
from projects.screens.plain_form import PlainForm
from projects.screens.widgets import ChoiceDots

NUMBER_ATTRS = {"inputmode": "numeric"}


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
        help_text="From the label inside the door; off the grid, of the panel that the sources feed",
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
    shape = forms.ChoiceField(
        label="Shape, facing the roof", required=False, choices=Shape.choices, widget=ChoiceDots, initial="rectangle"
    )
    width_m = LengthField(
        label="Along the eave",
        required=False,
        least=0.5,
        most=100,
        help_text="Beside a valley: along the ridge, the longer of the two",
    )
    slope_length_m = LengthField(label="Eave to ridge, on the slope", required=False, least=0.5, most=60)
    narrow_m = LengthField(
        label="The shorter length",
        required=False,
        least=0.1,
        most=100,
        help_text="Between hips: the ridge. Beside a valley: the eave",
    )
    narrow_from_left_m = LengthField(
        label="Ridge or point begins, from the left",
        required=False,
        least=0,
        most=100,
        help_text="From the left end of the eave; left empty: in the middle",
    )
    corners = CornersField(
        label="Corners, around the plane",
        help_text="Along the eave from the left, a comma, up the slope; semicolons between corners. The edge that "
        "follows a corner may be named: 40, 0 hip; 28, 17 ridge",
    )
    modules_beyond = forms.BooleanField(
        label="Modules may lie beyond its hips and valleys too",
        required=False,
        initial=True,
        help_text="Older fire codes then keep 18 in free on each side",
    )
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
        "shape",
        "narrow_m",
        "narrow_from_left_m",
        "corners",
        "modules_beyond",
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
        corners = self.fields["corners"]
        assert isinstance(corners, CornersField)
        corners.unit, corners.stored = unit, self.initial.get("corners") or ()

    @classmethod
    def initial_from(cls, plane: RoofPlane | None) -> dict[str, Any]:
        if plane is None:
            return {"eave_height_m": 3.0, "pathway": "right", "shape": Shape.RECTANGLE, "modules_beyond": True}
        return {name: getattr(plane, name) for name in cls.FIELDS} | {"ends_at_wall": not plane.ridge_at_top}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self._shape(cleaned)
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
            for problem in off_plane(cleaned["obstacles"], ring_of(SimpleNamespace(**cleaned))):
                self.add_error("obstacles", problem)
        return cleaned

    def _shape(self, cleaned: dict[str, Any]) -> None:
        """What the shape asks for is there and fits; what it doesn't know is left out."""
        shape = cleaned["shape"] = cleaned.get("shape") or Shape.RECTANGLE.value
        cleaned |= settled(RoofPlane(), cleaned)
        if shape == Shape.CORNERS:
            if "corners" not in self.errors:
                for problem in corner_problems(cleaned["corners"]):
                    self.add_error("corners", problem)
            return
        for name in ("width_m", "slope_length_m"):
            if name not in self.errors and cleaned.get(name) is None:
                self.add_error(name, forms.Field.default_error_messages["required"])
        if not self.errors:
            for field, problem in narrow_problems(
                shape, cleaned["width_m"], cleaned["narrow_m"], cleaned["narrow_from_left_m"]
            ):
                self.add_error(field, problem)


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
