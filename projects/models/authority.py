"""Who must say yes: jurisdictions (building departments) and utilities. Their profiles change a job's route."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models


class Jurisdiction(models.Model):
    name = models.CharField(max_length=80, unique=True)
    state = models.CharField(max_length=2)
    counter_note = models.TextField(blank=True)
    """Where and how to submit, opening hours."""
    packet_list = models.TextField(blank=True)
    """Its own list for a permit packet, one a line, as ``projects.actions.packet_list`` reads it."""
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    combined_permit = models.BooleanField(default=False)
    fire_review = models.BooleanField(default=False)
    structural_letter = models.BooleanField(default=False)
    rough_in_inspection = models.BooleanField(default=False)
    off_grid_exempt = models.BooleanField(default=False)
    off_grid_exemption_rule = models.CharField(max_length=160, blank=True)
    building_review_days = models.PositiveIntegerField(default=10, validators=[MaxValueValidator(250)])
    electrical_review_days = models.PositiveIntegerField(default=10, validators=[MaxValueValidator(250)])
    fire_review_days = models.PositiveIntegerField(default=10, validators=[MaxValueValidator(250)])
    answer_days = models.PositiveIntegerField(default=5, validators=[MaxValueValidator(250)])
    inspection_notice_days = models.PositiveIntegerField(default=2, validators=[MaxValueValidator(60)])
    permit_valid_days = models.PositiveIntegerField(default=180)
    building_fee_usd = models.DecimalField(max_digits=8, decimal_places=2, default=0)
    electrical_fee_usd = models.DecimalField(max_digits=8, decimal_places=2, default=0)
    building_fee_per_kw_usd = models.DecimalField(max_digits=8, decimal_places=2, default=0)
    building_fee_per_thousand_usd = models.DecimalField(max_digits=8, decimal_places=2, default=0)
    electrical_fee_per_kw_usd = models.DecimalField(max_digits=8, decimal_places=2, default=0)
    electrical_fee_per_thousand_usd = models.DecimalField(max_digits=8, decimal_places=2, default=0)
    fire_fee_usd = models.DecimalField(max_digits=8, decimal_places=2, default=0)
    asks_insurance = models.BooleanField(default=False)
    code_edition = models.CharField(max_length=4, choices=[(e, e) for e in ("2017", "2020", "2023")], default="2020")
    record_low_c = models.FloatField(null=True, blank=True, validators=[MinValueValidator(-60), MaxValueValidator(30)])
    high_2pct_c = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(60)])
    wind_speed_mph = models.PositiveIntegerField(default=115)
    ground_snow_psf = models.PositiveIntegerField(default=10)
    roof_gcp = models.FloatField(null=True, blank=True, validators=[MinValueValidator(-6), MaxValueValidator(0)])
    """External pressure coefficient of the roof zone, negative for uplift; None: no structure sheet is worked out."""
    access_edition = models.CharField(
        max_length=4, choices=[(e, e) for e in ("2015", "2018", "2021", "2024")], default="2021"
    )
    """Of the residential and fire codes whose pathways and setbacks count."""
    hip_valley_setback_in = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(72)]
    )
    """Its own, free on each side of every hip and valley; None: as the edition has it."""

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(off_grid_exempt=False) | ~models.Q(off_grid_exemption_rule=""),
                name="an_exemption_names_its_rule",
            )
        ]

    def __str__(self) -> str:
        return self.name


class JurisdictionClosure(models.Model):
    jurisdiction = models.ForeignKey(Jurisdiction, on_delete=models.CASCADE, related_name="closures")
    on = models.DateField()
    reason = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["on"]
        constraints = [models.UniqueConstraint(fields=["jurisdiction", "on"], name="one_closure_a_day")]

    def __str__(self) -> str:
        return f"{self.on}: {self.reason}"


class Utility(models.Model):
    name = models.CharField(max_length=80, unique=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    review_days = models.PositiveIntegerField(default=15, validators=[MaxValueValidator(250)])
    permission_days = models.PositiveIntegerField(default=10, validators=[MaxValueValidator(250)])
    meter_days = models.PositiveIntegerField(default=10, validators=[MaxValueValidator(250)])
    answer_days = models.PositiveIntegerField(default=5, validators=[MaxValueValidator(250)])
    witness_test = models.BooleanField(default=False)
    meter_swap = models.BooleanField(default=True)
    meter_order = models.BooleanField(default=False)
    """The installer orders the meter; else the utility sends one by itself."""
    completeness_days = models.PositiveIntegerField(default=0, validators=[MaxValueValidator(250)])
    """Business days until it says whether the application is complete; 0: it doesn't say so separately."""
    simplified_up_to_kw = models.FloatField(default=10, validators=[MinValueValidator(0), MaxValueValidator(100_000)])
    """AC. The 10 kW inverter process and the fast track up to 2 MW of FERC Order 2006 (from memory): every utility
    sets its own."""
    fast_track_up_to_kw = models.FloatField(default=2000, validators=[MinValueValidator(0), MaxValueValidator(100_000)])
    screens_days = models.PositiveIntegerField(default=15, validators=[MaxValueValidator(250)])
    study_days = models.PositiveIntegerField(default=45, validators=[MaxValueValidator(250)])
    tariff_kind = models.CharField(
        max_length=12,
        choices=[
            ("net_metering", "Net metering"),
            ("net_billing", "Net billing"),
            ("no_export", "No export"),
        ],
        default="net_billing",
    )
    energy_usd_per_kwh = models.DecimalField(max_digits=6, decimal_places=4, default="0.1350")
    export_usd_per_kwh = models.DecimalField(max_digits=6, decimal_places=4, default="0.0400")
    fixed_usd_per_month = models.DecimalField(max_digits=6, decimal_places=2, default="14.00")
    minimum_usd_per_month = models.DecimalField(max_digits=6, decimal_places=2, default="0.00")
    tax_pct = models.FloatField(default=0, validators=[MinValueValidator(0), MaxValueValidator(50)])
    """On the whole bill."""
    escalation_pct_per_year = models.FloatField(default=0, validators=[MinValueValidator(-10), MaxValueValidator(15)])
    energy_blocks = models.JSONField(default=list, blank=True)
    """[{"kwh", "usd_per_kwh"}, ...] of a month's energy, in order; beyond the last the price above counts."""
    rate_periods = models.JSONField(default=list, blank=True)
    """[{"name", "usd_per_kwh", "export_usd_per_kwh", "from_hour", "to_hour", "months", "days"}, ...]"""

    class Meta:
        ordering = ["name"]
        verbose_name_plural = "utilities"

    def __str__(self) -> str:
        return self.name
