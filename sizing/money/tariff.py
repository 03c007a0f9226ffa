"""Electric bills: what a month costs with tiers, fixed charges and credits for what is sent out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.climate.hours import Floats
from sizing.money.prices import energy_usd, export_prices, sums_by_month_and_period
from sizing.study.request import Tariff


@dataclass(frozen=True)
class TieredTariff:
    """A month's bill with blocks of energy at their own prices.

    ``tiers``: (block size in kWh, USD per kWh) in order; the last block may be infinite. ``rider_usd_per_kwh`` is added
    to every kWh (power cost, fuel); ``tax_fraction`` on everything, rounded to the cent as bills do.
    """

    tiers: tuple[tuple[float, float], ...]
    fixed_usd: float
    rider_usd_per_kwh: float = 0.0
    tax_fraction: float = 0.0


def tiered_bill_usd(tariff: TieredTariff, kwh: float) -> float:
    """The bill of one month in USD, every printed line rounded to the cent. Raises ValueError past the last block."""
    lines = [tariff.fixed_usd, kwh * tariff.rider_usd_per_kwh]
    left = kwh
    for size, price in tariff.tiers:
        used = min(left, size)
        lines.append(used * price)
        left -= used
    if left > 1e-9:
        raise ValueError(f"the tariff's blocks end {left:g} kWh short of the use")
    subtotal = sum(cents(line) for line in lines)
    return cents(subtotal + cents(subtotal * tariff.tax_fraction))


def cents(usd: float) -> float:
    """Rounded half up to the cent, as bills are."""
    return float(np.floor(usd * 100 + 0.5 + 1e-9) / 100)


@dataclass(frozen=True, eq=False)
class MeterYear:
    """One year at the meter, kWh, shape (12, p): months by price periods, the base price's hours last."""

    use: Floats
    produced: Floats
    imported: Floats
    """Hour by hour what the house drew beyond its own production."""
    exported: Floats
    self_used: Floats

    @property
    def use_kwh(self) -> Floats:
        return by_month(self.use)

    @property
    def produced_kwh(self) -> Floats:
        return by_month(self.produced)

    @property
    def import_kwh(self) -> Floats:
        return by_month(self.imported)

    @property
    def export_kwh(self) -> Floats:
        return by_month(self.exported)

    @property
    def self_used_kwh(self) -> Floats:
        return by_month(self.self_used)


def by_month(values: Floats) -> Floats:
    """All periods together, shape (12,)."""
    total: Floats = values.sum(axis=1)
    return total


def meter_year(use_w: Floats, ac_w: Floats, tariff: Tariff) -> MeterYear:
    """Split use and production at the meter hour by hour. ``use_w``, ``ac_w``: shape (8760,), W.

    Under "no_export" the inverter holds back whatever the house doesn't use, so nothing is exported.
    """
    self_used = np.minimum(use_w, ac_w)
    use, produced, own = (sums_by_month_and_period(watts, tariff.periods) / 1000 for watts in (use_w, ac_w, self_used))
    exported = np.zeros_like(own) if tariff.kind == "no_export" else np.maximum(produced - own, 0.0)
    return MeterYear(use, produced, np.maximum(use - own, 0.0), exported, own)


def bills_before_usd(meter: MeterYear, tariff: Tariff) -> Floats:
    """Twelve bills without solar, shape (12,)."""
    return np.array([_bill(energy_usd(month, tariff), tariff) for month in meter.use])


def bills_after_usd(meter: MeterYear, tariff: Tariff) -> Floats:
    """Twelve bills with solar, January first, shape (12,).

    net_metering: what a month sends out beyond its use is carried in kWh to the same price period of the following
    months; what is left at the end of December lapses (annual true-up, the year begins without credit). The fixed
    charge is always due. net_billing: imports at their prices, exports credited at theirs within the bill's energy
    part; a credit beyond it is carried in USD and lapses at the end of December. no_export: imports only.
    """
    out = np.zeros(12)
    credit_kwh, credit_usd = np.zeros(meter.use.shape[1]), 0.0
    for month in range(12):
        if tariff.kind == "net_metering":
            net = meter.imported[month] - meter.exported[month] - credit_kwh
            credit_kwh = np.maximum(-net, 0.0)
            energy = energy_usd(np.maximum(net, 0.0), tariff)
        else:
            credit = float(meter.exported[month] @ export_prices(tariff)) + credit_usd
            net_usd = energy_usd(meter.imported[month], tariff) - credit
            credit_usd = max(-net_usd, 0.0)
            energy = max(net_usd, 0.0)
        out[month] = _bill(energy, tariff)
    return out


def _bill(energy: float, tariff: Tariff) -> float:
    return max(energy + tariff.fixed_usd_per_month, tariff.minimum_usd_per_month) * (1 + tariff.tax_fraction)


def lapsed_kwh(meter: MeterYear) -> float:
    """kWh of credit that net metering leaves unused at the end of the year."""
    credit = np.zeros(meter.use.shape[1])
    for imported, exported in zip(meter.imported, meter.exported, strict=True):
        credit = np.maximum(credit + exported - imported, 0.0)
    return float(credit.sum())
