"""One circuit of the single-line diagram from its current to its conductor, ground, tubing and voltage drop."""

from __future__ import annotations

from dataclasses import dataclass

from sizing.electrical.conductors import SIZES, Choice, ampacity_a, choose_conductor, size_name
from sizing.electrical.conduit import conductors_area_in2, fill_fraction, smallest_emt
from sizing.electrical.editions import section, sections
from sizing.electrical.grounding import equipment_ground, upsized_equipment_ground
from sizing.electrical.tables import column
from sizing.electrical.voltage_drop import drop_pct, resistance_ohm_per_kft
from sizing.study.request import CodeEdition
from sizing.study.result import Circuit
from sizing.working import Term, Working

SMALLEST_ARRAY_SIZE = "10"
DROP_AIM_PCT = 3.0
"""A recommendation, not a rule: NEC 210.19(A), informational note."""


@dataclass(frozen=True)
class CircuitNeed:
    """What a circuit must carry. Currents in A, volts in V, lengths in m, one way."""

    key: str
    label: str
    current_a: float
    """Maximum circuit current."""
    continuous_factor: float
    current_formula: str
    current_terms: tuple[Term, ...]
    current_rule: str
    operating_a: float
    """For the voltage drop."""
    voltage_v: float
    ambient_c: float
    current_carrying: int
    power_conductors: int
    """All in the tubing but the equipment ground."""
    overcurrent_a: float | None
    ground_basis_a: float
    """Rating that sizes the equipment ground: the overcurrent device, or what it would be (690.45)."""
    length_m: float
    array_side: bool = False
    """Array circuits start at 10 AWG, the size of module leads (common practice, no source), and don't enlarge the
    equipment ground for voltage drop (690.45)."""
    size_rule: str = "conductor_size"
    overcurrent_rule: str = "dc_overcurrent"


def build(need: CircuitNeed, edition: CodeEdition) -> tuple[Circuit, tuple[Working, ...]]:
    """Size everything of one circuit. Raises ValueError where the tables end (more current than one set carries)."""
    choice = choose_conductor(
        need.current_a,
        ambient_c=need.ambient_c,
        current_carrying=need.current_carrying,
        continuous_factor=need.continuous_factor,
        overcurrent_a=need.overcurrent_a,
        smallest=SMALLEST_ARRAY_SIZE if need.array_side else "14",
    )
    installed = _enlarged_for_drop(need, choice.size)
    drop = drop_pct(installed, need.operating_a, need.length_m, need.voltage_v)
    if need.array_side:
        ground = equipment_ground(need.ground_basis_a)
    else:
        ground = upsized_equipment_ground(need.ground_basis_a, choice.size, installed)
    counts = {installed: need.power_conductors}
    counts[ground] = counts.get(ground, 0) + 1
    circuit = Circuit(
        key=need.key,
        label=need.label,
        current_a=need.current_a,
        required_ampacity_a=need.current_a * need.continuous_factor,
        overcurrent_a=need.overcurrent_a,
        conductor=f"{size_name(installed)} Cu THWN-2",
        conductors_in_conduit=need.power_conductors + 1,
        equipment_ground=f"{size_name(ground)} Cu",
        conduit=f"{smallest_emt(counts)} in EMT",
        length_m=need.length_m,
        voltage_drop_pct=drop,
    )
    return circuit, _working(need, choice, installed, ground, counts, circuit, edition)


def _enlarged_for_drop(need: CircuitNeed, size: str) -> str:
    """The same size, or the smallest larger one that keeps the voltage drop within the aim (4/0 at most)."""
    for candidate in SIZES[SIZES.index(size) : SIZES.index("4/0") + 1]:
        if drop_pct(candidate, need.operating_a, need.length_m, need.voltage_v) <= DROP_AIM_PCT:
            return candidate
    return size


def _working(
    need: CircuitNeed,
    choice: Choice,
    installed: str,
    ground: str,
    counts: dict[str, int],
    circuit: Circuit,
    edition: CodeEdition,
) -> tuple[Working, ...]:
    key, label = f"circuit.{need.key}", need.label
    tube_in2 = column("emt", "trade_size", "area_in2")[circuit.conduit.removesuffix(" in EMT")]
    fill_limit_in2 = tube_in2 * fill_fraction(circuit.conductors_in_conduit)
    return (
        Working(
            f"{key}.current",
            f"{label}: maximum circuit current",
            need.current_formula,
            need.current_terms,
            need.current_a,
            "A",
            section(need.current_rule, edition),
        ),
        *_overcurrent_working(need, edition),
        Working(
            f"{key}.terminal_ampacity",
            f"{label}: {size_name(choice.size)} at 75 °C terminals carries the continuous current",
            "I_75 ≥ I × k",
            (
                Term("I", need.current_a, "A"),
                Term("k", need.continuous_factor, "", "continuous"),
                Term("I_75", ampacity_a(choice.size, 75), "A", "75 °C column"),
            ),
            choice.terminal_ampacity_a,
            "A",
            sections(edition, need.size_rule, "ampacity", "terminals"),
            limit=circuit.required_ampacity_a,
            passes=choice.terminal_ampacity_a >= circuit.required_ampacity_a - 1e-9,
            remark=f"Settled by: {choice.governed_by}.",
        ),
        Working(
            f"{key}.corrected_ampacity",
            f"{label}: {size_name(choice.size)} after ambient and bundling",
            "I_90 × f_T × f_n ≥ I",
            (
                Term("I_90", ampacity_a(choice.size, 90), "A", "90 °C column"),
                Term("f_T", choice.ambient_factor, "", f"at {need.ambient_c:.1f} °C"),
                Term("f_n", choice.bundling_factor, "", f"{need.current_carrying} current-carrying conductors"),
                Term("I", need.current_a, "A"),
            ),
            choice.corrected_ampacity_a,
            "A",
            sections(edition, "ampacity", "ambient", "bundling", "rooftop"),
            limit=need.current_a,
            passes=choice.corrected_ampacity_a >= need.current_a - 1e-9,
        ),
        Working(
            f"{key}.voltage_drop",
            f"{label}: voltage drop in {size_name(installed)}",
            "2 × L × 3.281 × R / 1000 × I / V × 100",
            (
                Term("L", need.length_m, "m", "one way"),
                Term("R", resistance_ohm_per_kft(installed), "ohm/kft", "NEC Chapter 9 Table 8"),
                Term("I", need.operating_a, "A"),
                Term("V", need.voltage_v, "V"),
            ),
            circuit.voltage_drop_pct,
            "%",
            section("voltage_drop", edition) + ", a recommendation",
            limit=DROP_AIM_PCT,
            passes=circuit.voltage_drop_pct <= DROP_AIM_PCT,
            remark="" if installed == choice.size else f"Enlarged from {size_name(choice.size)} for voltage drop.",
        ),
        Working(
            f"{key}.equipment_ground",
            f"{label}: equipment grounding conductor {size_name(ground)}",
            "table by the overcurrent rating",
            (
                Term(
                    "I_oc", need.ground_basis_a, "A", "" if need.overcurrent_a else "assumed, no device in the circuit"
                ),
            ),
            need.ground_basis_a,
            "A",
            sections(edition, "pv_equipment_ground", "equipment_ground")
            if need.array_side
            else section("equipment_ground", edition),
        ),
        Working(
            f"{key}.conduit_fill",
            f"{label}: {circuit.conduit} for {circuit.conductors_in_conduit} conductors",
            "Σ n × A",
            tuple(
                Term(f"n({size_name(size)})", float(count), "", f"{conductors_area_in2({size: 1}):.4f} in2 each")
                for size, count in counts.items()
            ),
            conductors_area_in2(counts),
            "in2",
            section("conduit_fill", edition) + ", Tables 4 and 5",
            limit=fill_limit_in2,
            passes=conductors_area_in2(counts) <= fill_limit_in2 + 1e-9,
            remark=f"{fill_fraction(circuit.conductors_in_conduit):.0%} of {tube_in2:g} in2",
        ),
    )


def _overcurrent_working(need: CircuitNeed, edition: CodeEdition) -> tuple[Working, ...]:
    """The device's rating, or nothing where none is required: the array's circuits say why elsewhere."""
    if need.overcurrent_a is None:
        return ()
    return (
        Working(
            f"circuit.{need.key}.overcurrent",
            f"{need.label}: overcurrent device",
            "next standard rating ≥ I × k",
            (Term("I", need.current_a, "A"), Term("k", need.continuous_factor, "", "continuous")),
            need.overcurrent_a,
            "A",
            sections(edition, need.overcurrent_rule, "standard_rating"),
        ),
    )
