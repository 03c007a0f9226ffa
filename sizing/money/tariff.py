"""Electric bills: what a month costs with tiers, fixed charges and credits for what is sent out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.climate.hours import Floats, sum_by_month
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
    """One year at the meter, kWh per month, arrays of shape (12,)."""

    use_kwh: Floats
    produced_kwh: Floats
    import_kwh: Floats
    """Hour by hour what the house drew beyond its own production."""
    export_kwh: Floats
    self_used_kwh: Floats


def meter_year(use_w: Floats, ac_w: Floats, tariff: Tariff) -> MeterYear:
    """Split use and production at the meter hour by hour. ``use_w``, ``ac_w``: shape (8760,), W.

    Under "no_export" the inverter holds back whatever the house doesn't use, so nothing is exported.
    """
    self_used = np.minimum(use_w, ac_w)
    exported = np.zeros_like(ac_w) if tariff.kind == "no_export" else ac_w - self_used
    return MeterYear(
        use_kwh=sum_by_month(use_w) / 1000,
        produced_kwh=sum_by_month(ac_w) / 1000,
        import_kwh=sum_by_month(use_w - self_used) / 1000,
        export_kwh=sum_by_month(exported) / 1000,
        self_used_kwh=sum_by_month(self_used) / 1000,
    )


def bills_before_usd(meter: MeterYear, tariff: Tariff) -> Floats:
    """Twelve bills without solar, shape (12,)."""
    return meter.use_kwh * tariff.energy_usd_per_kwh + tariff.fixed_usd_per_month


def bills_after_usd(meter: MeterYear, tariff: Tariff) -> Floats:
    """Twelve bills with solar, January first, shape (12,).

    net_metering: what a month sends out beyond its use is carried in kWh to the following months; what is left at the
    end of December lapses (annual true-up, the year begins without credit). The fixed charge is always due.
    net_billing: imports at the energy price, exports credited at theirs within the bill's energy part; a credit beyond
    it is carried in USD and lapses at the end of December. no_export: imports only.
    """
    out = np.zeros(12)
    credit_kwh = credit_usd = 0.0
    for month in range(12):
        if tariff.kind == "net_metering":
            net = float(meter.import_kwh[month] - meter.export_kwh[month]) - credit_kwh
            credit_kwh = max(-net, 0.0)
            energy = max(net, 0.0) * tariff.energy_usd_per_kwh
        else:
            net_usd = (
                float(meter.import_kwh[month]) * tariff.energy_usd_per_kwh
                - float(meter.export_kwh[month]) * tariff.export_usd_per_kwh
                - credit_usd
            )
            credit_usd = max(-net_usd, 0.0)
            energy = max(net_usd, 0.0)
        out[month] = energy + tariff.fixed_usd_per_month
    return out


def lapsed_kwh(meter: MeterYear) -> float:
    """kWh of credit that net metering leaves unused at the end of the year."""
    credit = 0.0
    for imported, exported in zip(meter.import_kwh, meter.export_kwh, strict=True):
        credit = max(credit + float(exported - imported), 0.0)
    return credit
