"""The place: address, electrical service, roof planes and what stands in the sun's way."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models


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
    covering = models.CharField(max_length=16, choices=Covering.choices, default=Covering.SHINGLE)
    age_years = models.PositiveIntegerField(null=True, blank=True, validators=[MaxValueValidator(120)])
    order = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["order", "id"]
        constraints = [models.UniqueConstraint(fields=["site", "name"], name="roof_plane_name_once_per_site")]

    def __str__(self) -> str:
        return self.name


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
    base_height_m = models.FloatField(default=0)
    note = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} at {self.bearing_deg:.0f}°"
