"""What it takes to start a motor: locked-rotor current, stated starting power, or horsepower with its code letter."""

from __future__ import annotations

from dataclasses import dataclass

from sizing.study.request import Appliance
from sizing.working import Term

CODE_LETTER_KVA_PER_HP: dict[str, tuple[float, float]] = {
    "A": (0.0, 3.14),
    "B": (3.15, 3.54),
    "C": (3.55, 3.99),
    "D": (4.0, 4.49),
    "E": (4.5, 4.99),
    "F": (5.0, 5.59),
    "G": (5.6, 6.29),
    "H": (6.3, 7.09),
    "J": (7.1, 7.99),
    "K": (8.0, 8.99),
    "L": (9.0, 9.99),
    "M": (10.0, 11.19),
    "N": (11.2, 12.49),
    "P": (12.5, 13.99),
    "R": (14.0, 15.99),
    "S": (16.0, 17.99),
    "T": (18.0, 19.99),
    "U": (20.0, 22.39),
}
"""NEC Table 430.7(B), kilovolt-amperes per horsepower with locked rotor. A, D, F, G, H, J, K, L, M checked against a
public transcript of the table; the other letters from memory. V (22.4 and up) has no upper end and is not used."""

UNKNOWN_START_MULTIPLE = 6.0
"""Starting over running power of a motor of which nothing is known; common practice, no source, on the high side."""
SOFT_START_FACTOR = 0.4
"""What a soft starter leaves of the locked-rotor current (makers claim a cut of 60 to 70 %); common practice, no
source. Measure the start before relying on it."""
MOTOR_KINDS = ("motor", "well_pump", "central_air")


@dataclass(frozen=True)
class Start:
    """The start of one unit, in volt-amperes read as watts, with the formula behind it."""

    starting_w: float
    formula: str
    terms: tuple[Term, ...]
    source: str
    assumed: bool = False
    """True where nothing on the worksheet says how it starts."""


def locked_rotor_range_a(horsepower: float, code_letter: str, voltage_v: float, phases: int = 1) -> tuple[float, float]:
    """Locked-rotor current (A) at the lower and upper end of the code letter's range. Source: NEC Table 430.7(B)."""
    low, high = CODE_LETTER_KVA_PER_HP[code_letter.upper()]
    root = 3**0.5 if phases == 3 else 1.0
    return (horsepower * low * 1000 / (voltage_v * root), horsepower * high * 1000 / (voltage_v * root))


def start_of(appliance: Appliance) -> Start:
    """How one unit of an appliance starts; equal to its running power where there is no motor.

    The nameplate's locked-rotor amperes come first, then a stated starting power, then horsepower with code letter (the
    upper end of the range). A soft starter cuts it, but never below the running power.
    """
    running_w = appliance.watts
    if appliance.locked_rotor_a is not None:
        full_w = appliance.locked_rotor_a * appliance.voltage_v
        start = Start(
            full_w,
            "I_LR × V",
            (
                Term("I_LR", appliance.locked_rotor_a, "A", "nameplate"),
                Term("V", appliance.voltage_v, "V"),
            ),
            "nameplate locked-rotor current",
        )
    elif appliance.starting_w is not None:
        start = Start(
            appliance.starting_w, "P_start", (Term("P_start", appliance.starting_w, "W", "as stated"),), "maker's data"
        )
    elif appliance.horsepower is not None and (appliance.code_letter or "").upper() in CODE_LETTER_KVA_PER_HP:
        letter = (appliance.code_letter or "").upper()
        kva_per_hp = CODE_LETTER_KVA_PER_HP[letter][1]
        start = Start(
            appliance.horsepower * kva_per_hp * 1000,
            "hp × kVA/hp",
            (
                Term("hp", appliance.horsepower, "hp"),
                Term("kVA/hp", kva_per_hp, "kVA/hp", f"code letter {letter}, upper end"),
            ),
            "NEC Table 430.7(B)",
        )
    elif appliance.kind in MOTOR_KINDS and running_w > 0:
        start = Start(
            running_w * UNKNOWN_START_MULTIPLE,
            "P_run × k",
            (Term("P_run", running_w, "W"), Term("k", UNKNOWN_START_MULTIPLE, "", "nothing known of this motor")),
            "common practice, no source",
            assumed=True,
        )
    else:
        return Start(running_w, "P_run", (Term("P_run", running_w, "W"),), "worksheet")
    starting_w = start.starting_w
    if appliance.soft_starter:
        starting_w *= SOFT_START_FACTOR
        return Start(
            max(starting_w, running_w),
            f"{start.formula} × k_soft",
            (*start.terms, Term("k_soft", SOFT_START_FACTOR, "", "soft starter; common practice, no source")),
            start.source,
            start.assumed,
        )
    return Start(max(starting_w, running_w), start.formula, start.terms, start.source, start.assumed)


def group_starting_w(appliance: Appliance) -> float:
    """One unit starts while the other units of the line run, W."""
    if appliance.count <= 0:
        return 0.0
    return start_of(appliance).starting_w + appliance.watts * (appliance.count - 1)
