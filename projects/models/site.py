"""The place: address, electrical service, roof planes and what stands in the sun's way."""

from __future__ import annotations

from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from projects.models import leaves, roof_shape


class Site(models.Model):
    customer = models.ForeignKey("Customer", on_delete=models.PROTECT, related_name="sites")
    street = models.CharField(max_length=160)
    city = models.CharField(max_length=80)
    state = models.CharField(max_length=2)
    zip_code = models.CharField("ZIP", max_length=10)
    county = models.CharField(max_length=80, blank=True)
    latitude_deg = models.FloatField(validators=[MinValueValidator(-90), MaxValueValidator(90)])
    longitude_deg = models.FloatField(validators=[MinValueValidator(-180), MaxValueValidator(180)])
    elevation_m = models.FloatField(default=0)
    time_zone = models.CharField(max_length=60)
    located_from = models.CharField(
        max_length=12,
        choices=[("zip", "ZIP code"), ("typed", "typed coordinates"), ("region", "ZIP region, roughly")],
        default="zip",
    )
    owns_home = models.BooleanField(default=True)

    service_rating_a = models.PositiveIntegerField("service rating (A)", null=True, blank=True)
    busbar_a = models.PositiveIntegerField("busbar rating (A)", null=True, blank=True)
    main_breaker_a = models.PositiveIntegerField("main breaker (A)", null=True, blank=True)
    free_breaker_spaces = models.PositiveIntegerField("free breaker spaces", null=True, blank=True)
    panel_note = models.TextField(blank=True)
    service_recorded_on = models.DateField(null=True, blank=True)
    obstructions_none_on = models.DateField(null=True, blank=True)
    """Set when somebody looked and found nothing in the sun's way."""
    horizon = models.JSONField(default=list, blank=True)
    """Hills and far lines of trees, [{"bearing_deg", "elevation_deg"}] around the circle; empty: level, or not looked
    at."""
    sprinklered = models.BooleanField("fire sprinklers throughout", default=False)
    detached_nonhabitable = models.BooleanField("a detached building that nobody lives in", default=False)
    """What the roof planes belong to."""
    roof_plan_area_m2 = models.FloatField(
        "whole roof seen from above (m²)",
        null=True,
        blank=True,
        validators=[MinValueValidator(4), MaxValueValidator(10_000)],
    )
    """With the slopes that carry nothing; empty: the recorded planes alone, which keeps more of them free."""
    assessed_on = models.DateField(null=True, blank=True)
    """The day of the latest record made at the house."""
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [models.Index(fields=["zip_code", "street"])]

    def __str__(self) -> str:
        return self.street

    @property
    def address(self) -> str:
        return f"{self.street}, {self.city}, {self.state} {self.zip_code}"


class RoofPlane(models.Model):
    class Covering(models.TextChoices):
        SHINGLE = "shingle", "Asphalt shingle"
        METAL_SEAM = "metal_seam", "Standing-seam metal"
        METAL_RIBBED = "metal_ribbed", "Ribbed metal"
        TILE = "tile", "Tile"
        FLAT = "flat", "Low-slope membrane"
        GROUND = "ground", "Ground mount"

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="roof_planes")
    name = models.CharField(max_length=40)
    tilt_deg = models.FloatField(validators=[MinValueValidator(0), MaxValueValidator(75)])
    azimuth_deg = models.FloatField(validators=[MinValueValidator(0), MaxValueValidator(360)])
    width_m = models.FloatField(validators=[MinValueValidator(0.5), MaxValueValidator(100)])
    slope_length_m = models.FloatField(validators=[MinValueValidator(0.5), MaxValueValidator(60)])
    eave_height_m = models.FloatField(default=3.0, validators=[MinValueValidator(0), MaxValueValidator(20)])
    x_m = models.FloatField("east of the house's middle (m)", default=0)
    y_m = models.FloatField("north of the house's middle (m)", default=0)
    rafter_spacing_m = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0.1), MaxValueValidator(3)]
    )
    rafter_wood = models.CharField(
        max_length=20,
        blank=True,
        choices=[
            ("spruce-pine-fir", "Spruce-pine-fir"),
            ("hem-fir", "Hem-fir"),
            ("douglas fir-larch", "Douglas fir-larch"),
            ("southern pine", "Southern pine"),
        ],
    )
    pathway = models.CharField(
        "fire pathway at",
        max_length=10,
        choices=[
            ("right", "Right end"),
            ("left", "Left end"),
            ("both", "Both ends"),
            ("elsewhere", "Another plane"),
        ],
        default="right",
    )
    """Seen facing the roof."""
    ridge_at_top = models.BooleanField("ridge at the top", default=True)
    obstacles = models.JSONField(default=list, blank=True)
    """Vents, skylights and the like on the plane: [{"kind", "u_m", "v_m", "width_m", "height_m"}], as sizing's."""
    shape = models.CharField(max_length=12, choices=roof_shape.Shape.choices, default=roof_shape.Shape.RECTANGLE)
    narrow_m = models.FloatField(
        "shorter length (m)", null=True, blank=True, validators=[MinValueValidator(0.1), MaxValueValidator(100)]
    )
    """Of a hipped plane its ridge, of one that a valley cuts its eave; ``width_m`` is the longer of the two."""
    narrow_from_left_m = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(100)]
    )
    """Between hips: where the ridge (or the point) begins, from the left end of the eave; empty: in the middle."""
    corners = models.JSONField(default=list, blank=True)
    """Of any other shape: [{"u_m", "v_m", "kind"}] in order around the plane; ``kind`` may be empty."""
    modules_beyond = models.BooleanField("modules beyond its hips and valleys too", default=True)
    """On the side on which more stays free."""
    covering = models.CharField(max_length=16, choices=Covering.choices, default=Covering.SHINGLE)
    age_years = models.PositiveIntegerField(null=True, blank=True, validators=[MaxValueValidator(120)])
    order = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["order", "id"]
        constraints = [models.UniqueConstraint(fields=["site", "name"], name="roof_plane_name_once_per_site")]

    def __str__(self) -> str:
        return self.name

    @property
    def outline(self) -> list[dict[str, Any]]:
        """Corners with the edges between them, as ``sizing`` takes them; empty for a rectangle."""
        return roof_shape.outline_of(self)


class Obstruction(models.Model):
    class Kind(models.TextChoices):
        TREE = "tree", "Tree"
        BUILDING = "building", "Building"
        CHIMNEY = "chimney", "Chimney"

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="obstructions")
    kind = models.CharField(max_length=10, choices=Kind.choices, default=Kind.TREE)
    bearing_deg = models.FloatField(validators=[MinValueValidator(0), MaxValueValidator(360)])
    distance_m = models.FloatField(validators=[MinValueValidator(0.2), MaxValueValidator(500)])
    height_m = models.FloatField(validators=[MinValueValidator(0.2), MaxValueValidator(120)])
    width_m = models.FloatField(validators=[MinValueValidator(0.1), MaxValueValidator(200)])
    depth_m = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0.05), MaxValueValidator(200)])
    """Away from the house; empty: as deep as wide."""
    crown_base_m = models.FloatField(default=0, validators=[MinValueValidator(0), MaxValueValidator(60)])
    evergreen = models.BooleanField(default=False)
    transmittance_leaf_on = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(1)]
    )
    """Share of the sun's beam that a tree's crown lets through; empty, as for the bare crown: sizing's usual."""
    transmittance_leaf_off = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(1)]
    )
    leaf_months = models.JSONField(default=list, blank=True)
    """Months (1 to 12) in which a tree that drops its leaves has them; empty: as usual at the latitude."""
    base_height_m = models.FloatField(default=0)
    note = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} at {self.bearing_deg:.0f}°"

    @property
    def in_leaf(self) -> str:
        """The months seen in leaf, in words; empty for what keeps its leaves, has none, or was not watched."""
        return "" if self.evergreen else leaves.in_words(self.leaf_months)
