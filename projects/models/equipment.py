"""The office's catalogue: datasheet values, in the units of sizing's dataclasses."""

from __future__ import annotations

from django.db import models


class Equipment(models.Model):
    name = models.CharField(max_length=80, unique=True)
    price_usd = models.DecimalField(max_digits=9, decimal_places=2, default=0)
    active = models.BooleanField(default=True)

    class Meta:
        abstract = True
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class ModuleModel(Equipment):
    power_w = models.FloatField()
    voc_v = models.FloatField()
    isc_a = models.FloatField()
    vmp_v = models.FloatField()
    imp_a = models.FloatField()
    temp_coeff_pmax_pct_per_c = models.FloatField()
    temp_coeff_voc_pct_per_c = models.FloatField()
    length_m = models.FloatField()
    width_m = models.FloatField()
    noct_c = models.FloatField(default=45)
    max_series_fuse_a = models.FloatField(default=25)
    weight_kg = models.FloatField(default=21)
    warranty_years = models.PositiveIntegerField(default=25)


class InverterModel(Equipment):
    class Kind(models.TextChoices):
        GRID_TIED = "grid_tied", "Grid-tied"
        HYBRID = "hybrid", "Hybrid"
        OFF_GRID = "off_grid", "Off-grid"

    kind = models.CharField(max_length=10, choices=Kind.choices)
    ac_power_w = models.FloatField()
    ac_voltage_v = models.FloatField(default=240)
    max_dc_voltage_v = models.FloatField()
    mppt_min_v = models.FloatField()
    mppt_max_v = models.FloatField()
    mppt_inputs = models.PositiveIntegerField()
    strings_per_mppt = models.PositiveIntegerField(default=1)
    max_input_current_a = models.FloatField()
    max_short_circuit_a = models.FloatField()
    efficiency = models.FloatField()
    backup_power_w = models.FloatField(default=0)
    surge_w = models.FloatField(default=0)
    surge_s = models.FloatField(default=10)
    standby_w = models.FloatField(default=20)
    warranty_years = models.PositiveIntegerField(default=12)


class BatteryModel(Equipment):
    class Coupling(models.TextChoices):
        DC = "dc", "To the inverter’s DC side"
        AC = "ac", "To the AC side, by an inverter of its own"

    coupling = models.CharField("connects", max_length=2, choices=Coupling.choices, default=Coupling.DC)
    """An AC-coupled unit forms the grid in an outage; its powers are those of its own inverter, on the AC side."""
    usable_kwh = models.FloatField()
    max_charge_kw = models.FloatField()
    max_discharge_kw = models.FloatField()
    surge_kw = models.FloatField("surge (kW)", null=True, blank=True)
    """What an AC-coupled unit gives for ``surge_s`` seconds; empty where its datasheet states none."""
    surge_s = models.FloatField("surge lasts (s)", null=True, blank=True)
    most_pv_kw = models.FloatField("PV inverters behind one unit (kW)", null=True, blank=True)
    """Rated AC power of the PV inverters that an AC-coupled unit can hold in check in an outage, as its maker states
    it; empty: what it charges at."""
    standby_w = models.FloatField("standby (W)", null=True, blank=True)
    """What an AC-coupled unit's own inverter draws while it forms a grid; empty where its datasheet states none."""
    round_trip_efficiency = models.FloatField()
    reserve_fraction = models.FloatField(default=0.1)
    listed_ul9540 = models.BooleanField(default=True)
    warranty_years = models.PositiveIntegerField(default=10)

    class Meta(Equipment.Meta):
        verbose_name_plural = "battery models"


class GeneratorModel(Equipment):
    power_w = models.FloatField()
    warranty_years = models.PositiveIntegerField(default=5)
