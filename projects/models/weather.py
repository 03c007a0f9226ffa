"""The office's shelf of typical-year files, and which weather a site is studied with."""

from __future__ import annotations

from django.conf import settings
from django.db import models


def shelved_at(weather: WeatherFile, filename: str) -> str:
    return f"weather/{weather.sha256[:16]}.{filename.rsplit('.', 1)[-1].lower()}"


class WeatherFile(models.Model):
    """A year of hourly weather that passed the checks. It stays for good: studies name it; a retired one serves no new
    study."""

    class Kind(models.TextChoices):
        TMY2 = "TMY2", "TMY2"
        TMY3 = "TMY3", "TMY3"
        EPW = "EPW", "EPW"

    name = models.CharField(max_length=120)
    """As the file's head says, such as "Marrow Bay, NC"."""
    kind = models.CharField(max_length=4, choices=Kind.choices)
    source = models.CharField(max_length=160)
    """Where the office has it from."""
    filename = models.CharField(max_length=120)
    file = models.FileField(upload_to=shelved_at, max_length=120)
    sha256 = models.CharField(max_length=64, unique=True)
    latitude_deg = models.FloatField()
    longitude_deg = models.FloatField()
    elevation_m = models.FloatField()
    ghi_kwh_per_m2_year = models.FloatField()
    temp_air_min_c = models.FloatField()
    temp_air_max_c = models.FloatField()
    record_low_c = models.FloatField(null=True, blank=True)
    high_2pct_c = models.FloatField(null=True, blank=True)
    closure_w_per_m2 = models.FloatField()
    """By how much beam, diffuse and global irradiance miss each other on average, the sun at mid-hour."""
    remarks = models.JSONField(default=list)
    """What the checks had to say about a file that they let pass."""
    added_at = models.DateTimeField(auto_now_add=True)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    retired_at = models.DateTimeField(null=True, blank=True)
    retired_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    retired_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["name", "id"]

    def __str__(self) -> str:
        return f"{self.name} ({self.kind})"


class SiteWeather(models.Model):
    """The office's choice for one site; without a row, the nearest file serves it."""

    class Choice(models.TextChoices):
        NEAREST = "nearest", "The nearest file on the shelf"
        FILE = "file", "One file, chosen on purpose"
        MEANS = "means", "Twelve monthly means, typed in"

    site = models.OneToOneField("Site", on_delete=models.CASCADE, related_name="weather")
    choice = models.CharField(max_length=7, choices=Choice.choices, default=Choice.NEAREST)
    file = models.ForeignKey(WeatherFile, on_delete=models.PROTECT, null=True, blank=True, related_name="sites")
    ghi_kwh_per_m2_day = models.JSONField(default=list, blank=True)
    """Twelve means of daily global horizontal irradiation, January first; kept while another choice is in use."""
    temp_air_c = models.JSONField(default=list, blank=True)
    """Twelve mean air temperatures."""
    means_source = models.CharField(max_length=160, blank=True)

    def __str__(self) -> str:
        return f"{self.get_choice_display()} for {self.site_id}"
