"""Strings, circuits and checks in a study's answer."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Circuit:
    """One circuit of the single-line diagram, with its ratings and call-outs."""

    key: str
    """"pv_source", "pv_output", "inverter_output", "battery", "backup_feeder", "generator" """
    label: str
    current_a: float
    """Maximum circuit current before the continuous factor."""
    required_ampacity_a: float
    overcurrent_a: float | None
    """None where none is required; the working says why."""
    conductor: str
    """"10 AWG Cu THWN-2" """
    conductors_in_conduit: int
    equipment_ground: str
    conduit: str
    length_m: float
    voltage_drop_pct: float


@dataclass(frozen=True)
class Check:
    key: str
    label: str
    passes: bool
    value: str
    limit: str
    source: str
    advice: str = ""


@dataclass(frozen=True)
class Electrical:
    strings_proposed: bool
    strings: tuple[tuple[str, int, int, int], ...]
    """(plane, modules_in_series, strings, mppt)"""
    voc_cold_v: float
    """Open-circuit voltage of the longest string at the record low."""
    vmp_hot_v: float
    """Of the shortest string on a 2 % hot day."""
    circuits: tuple[Circuit, ...]
    backfeed_breaker_a: float | None
    busbar_allowed_a: float | None
    """Inverter current that the busbar rule still allows."""
    rapid_shutdown: str
    checks: tuple[Check, ...]
    ac_disconnect_a: float | None = None
    """Usual switch rating of one inverter's AC disconnect; of all sources' where PV and battery share a feeder."""
    length_verdicts: tuple[tuple[int, str], ...] = ()
    """(modules in series, why not); the reason is empty where that length is allowed."""
    backup_busbar_a: float | None = None
    """Least standard busbar of the critical-loads panel where PV and an AC-coupled battery feed it; None elsewhere."""
