"""Ampacity of copper conductors and the smallest one that a circuit may use."""

from __future__ import annotations

from dataclasses import dataclass

from sizing.electrical.overcurrent import next_rating_a
from sizing.electrical.tables import column, table

SIZES = tuple(row["size"] for row in table("ampacity"))
"""From small to large, AWG then kcmil."""
SMALL_CONDUCTOR_MAX_A = {"14": 15.0, "12": 20.0, "10": 30.0}
"""Copper, NEC 240.4(D)."""
SMALL_CONDUCTOR_MAX_ALUMINUM_A = {"12": 15.0, "10": 25.0}
ROOFTOP_ADDER_K = 33.0
"""Added to the ambient of raceways in sun closer to the roof than the limit below. NEC 310.15(B)(2) (2020)."""
ROOFTOP_CLEARANCE_MM = 23.0
"""7/8 in."""


def size_name(size: str) -> str:
    """ "10 AWG", "250 kcmil"."""
    return f"{size} AWG" if "/" in size or int(size) < 250 else f"{size} kcmil"


def ampacity_a(size: str, insulation_c: int = 90) -> float:
    """Table ampacity in A at 30 °C, for the 60, 75 or 90 °C column."""
    return column("ampacity", "size", f"a_{insulation_c}c")[size]


def ambient_factor(ambient_c: float, insulation_c: int = 90) -> float:
    """Correction for ambient temperature. Raises ValueError where the table allows no current."""
    for row in table("ambient"):
        if ambient_c <= float(row["to_c"]):
            if not row[f"f_{insulation_c}c"]:
                break
            return float(row[f"f_{insulation_c}c"])
    raise ValueError(f"no conductor with {insulation_c} °C insulation may be used at {ambient_c:.0f} °C")


def bundling_factor(current_carrying: int) -> float:
    """Adjustment for more than three current-carrying conductors in one raceway."""
    return next(float(row["factor"]) for row in table("bundling") if current_carrying <= int(row["to_count"]))


def conduit_ambient_c(ambient_c: float, in_sun_on_roof: bool, above_roof_mm: float) -> float:
    """Ambient a raceway works in: on the roof in the sun it counts warmer unless it stands off enough."""
    return ambient_c + ROOFTOP_ADDER_K if in_sun_on_roof and above_roof_mm < ROOFTOP_CLEARANCE_MM else ambient_c


@dataclass(frozen=True)
class Choice:
    """A conductor and why no smaller one will do. Currents in A."""

    size: str
    terminal_ampacity_a: float
    """75 °C column, before correction: what the terminals allow."""
    corrected_ampacity_a: float
    """90 °C column after ambient and bundling."""
    ambient_factor: float
    bundling_factor: float
    governed_by: str
    """What ruled out the next smaller size; the smallest size used where nothing did."""


def choose_conductor(
    current_a: float,
    *,
    ambient_c: float,
    current_carrying: int,
    continuous_factor: float = 1.25,
    overcurrent_a: float | None = None,
    terminal_c: int = 75,
    smallest: str = "14",
) -> Choice:
    """The smallest 90 °C copper conductor for a maximum circuit current.

    Three conditions: the terminal column carries current x continuous factor without correction; the 90 °C column
    carries the current after ambient and bundling; the overcurrent device, where there is one, protects it (corrected
    ampacity, capped at the terminal column, at most one standard size below, and the small-conductor rule).
    Source: NEC 690.8(B), 310.15, 110.14(C), 240.4(B) and (D). Raises ValueError where no size in the table will do.
    """
    warm, bundled = ambient_factor(ambient_c), bundling_factor(current_carrying)
    why = f"smallest size used here, {size_name(smallest)}"
    for size in SIZES[SIZES.index(smallest) :]:
        terminal, corrected = ampacity_a(size, terminal_c), ampacity_a(size) * warm * bundled
        if terminal < current_a * continuous_factor - 1e-9:
            why = "continuous current at the terminals"
        elif corrected < current_a - 1e-9:
            why = "current after ambient and bundling"
        elif overcurrent_a is not None and not protects(overcurrent_a, size, min(terminal, corrected)):
            why = "protection by the overcurrent device"
        else:
            return Choice(size, terminal, corrected, warm, bundled, why)
    raise ValueError(f"no single conductor up to {size_name(SIZES[-1])} carries {current_a:.0f} A here")


def protects(overcurrent_a: float, size: str, usable_a: float) -> bool:
    """Whether an overcurrent device (up to 800 A) protects a conductor whose usable ampacity is given."""
    if size in SMALL_CONDUCTOR_MAX_A and overcurrent_a > SMALL_CONDUCTOR_MAX_A[size]:
        return False
    return overcurrent_a <= usable_a or overcurrent_a <= next_rating_a(usable_a)
