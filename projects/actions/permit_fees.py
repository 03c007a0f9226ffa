"""A permit's fee by the jurisdiction's rule: flat, per kW of array, per $1,000 of valuation, or several together.

The valuation is the job's price, and each $1,000 begun counts whole: "for each additional $1,000 or fraction thereof",
as fee tables of building departments have it (1997 Uniform Building Code, Table 1-A; from memory). The power counts as
it is, in kW DC. Cents are rounded half up.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from projects.models import Design, Job, Jurisdiction

CENT = Decimal("0.01")
THOUSAND = Decimal(1000)


@dataclass(frozen=True)
class Fee:
    """``total_usd`` None: the rule asks for something that isn't known, or there is no rule."""

    total_usd: Decimal | None
    words: str
    """The working: "145.00 + 8.80 kW at 6.00 = 197.80"; or what is missing."""


def fee(
    *,
    flat_usd: Decimal,
    per_kw_usd: Decimal = Decimal(0),
    per_thousand_usd: Decimal = Decimal(0),
    array_kw: Decimal | None,
    valuation_usd: Decimal | None,
) -> Fee:
    parts, total = ([f"{flat_usd:.2f}"] if flat_usd else []), flat_usd
    if per_kw_usd:
        if array_kw is None:
            return Fee(None, f"{per_kw_usd:.2f} a kW, and there is no design yet")
        total += array_kw * per_kw_usd
        parts.append(f"{array_kw:.2f} kW at {per_kw_usd:.2f}")
    if per_thousand_usd:
        if valuation_usd is None:
            return Fee(None, f"{per_thousand_usd:.2f} per $1,000 of valuation, and the job has no price yet")
        thousands = (valuation_usd / THOUSAND).to_integral_value(ROUND_CEILING)
        total += thousands * per_thousand_usd
        parts.append(f"{thousands} begun $1,000 at {per_thousand_usd:.2f}")
    if not parts:
        return Fee(None, "")
    total = total.quantize(CENT, ROUND_HALF_UP)
    words = " + ".join(parts)
    return Fee(total, words if words == f"{total:.2f}" else f"{words} = {total:.2f}")


def fee_of_job(job: Job, kind: str, design: Design | None) -> Fee:
    """By the profile as it stands. A combined permit pays the building permit's rule."""
    profile = job.jurisdiction
    if profile is None:
        return Fee(None, "")
    array_kw = Decimal(str(round(design.array_kw, 6))) if design is not None else None
    return fee(array_kw=array_kw, valuation_usd=job.price_usd, **_rule(profile, kind))


def _rule(profile: Jurisdiction, kind: str) -> dict[str, Decimal]:
    if kind == "fire":
        return {"flat_usd": profile.fire_fee_usd}
    name = "electrical" if kind == "electrical" else "building"
    return {
        "flat_usd": getattr(profile, f"{name}_fee_usd"),
        "per_kw_usd": getattr(profile, f"{name}_fee_per_kw_usd"),
        "per_thousand_usd": getattr(profile, f"{name}_fee_per_thousand_usd"),
    }
