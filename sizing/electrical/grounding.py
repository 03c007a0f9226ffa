"""Equipment grounding and grounding electrode conductors, copper."""

from __future__ import annotations

from sizing.electrical.conductors import SIZES
from sizing.electrical.tables import column, table


def equipment_ground(overcurrent_a: float) -> str:
    """Size by the rating of the overcurrent device ahead. Source: NEC Table 250.122."""
    for row in table("equipment_ground"):
        if overcurrent_a <= float(row["to_a"]):
            return row["size"]
    raise ValueError(f"the table ends at 1200 A, asked for {overcurrent_a:.0f} A")


def upsized_equipment_ground(overcurrent_a: float, required_size: str, installed_size: str) -> str:
    """Size when the circuit conductors were made larger than required, in proportion of circular mils.

    Never larger than the circuit conductors themselves. Source: NEC 250.122(B). Not for PV circuits enlarged for
    voltage drop only (690.45).
    """
    mils = column("resistance", "size", "circular_mils")
    base = equipment_ground(overcurrent_a)
    needed = mils[base] * max(mils[installed_size] / mils[required_size], 1.0)
    for size in SIZES[SIZES.index(base) :]:
        if mils[size] >= needed - 1e-6 or size == installed_size:
            return size
    raise ValueError("no size in the table is large enough")


def electrode_ground(service_conductor: str) -> str:
    """Grounding electrode conductor by the largest service conductor. Source: NEC Table 250.66."""
    for row in table("electrode_ground"):
        if SIZES.index(service_conductor) <= SIZES.index(row["to_size"]):
            return row["size"]
    raise ValueError("larger than the table carried here")
