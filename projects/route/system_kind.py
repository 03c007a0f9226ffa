"""Which kind of system fits a household's answers, why, and what each kind would mean. The office decides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from projects.route.facts import SystemType
from projects.route.system_meanings import MEANINGS, Meaning

LINE_EXTENSION_M = 500.0
"""Nearer than this a line extension is worth a question to the utility. Common practice, no source."""
LONG_OUTAGE_DAYS = 3.0
"""From here on sun and battery alone are a gamble in a dark week. Common practice, no source."""
SHORT_OUTAGE_DAYS = 1.0
"""Every household is asked for at least this; more is a wish for backup whatever comes first."""

_MEDICAL = ("medical", "oxygen", "cpap", "dialysis", "ventilator", "nebulizer")


@dataclass(frozen=True)
class Answers:
    """What the household said."""

    grid_available: bool = True
    distance_to_grid_m: float | None = None
    wants_backup: bool = False
    wants_payback: bool = False
    must_run: tuple[str, ...] = ()
    """Appliance keys or plain words."""
    outage_days_wanted: float = SHORT_OUTAGE_DAYS
    wants_loan: bool = False
    wants_warranty: bool = False
    diy_comfort: str = "none"
    """ "none", "some" or "much"."""
    owns_home: bool = True


@dataclass(frozen=True)
class Recommendation:
    kind: SystemType
    reasons: tuple[str, ...]
    """Whole sentences, the deciding ones first, then what to mind."""
    meanings: Mapping[SystemType, Meaning]


def recommend(answers: Answers) -> Recommendation:
    """Off-grid without a line, hybrid where outages matter, else grid-tied; always with the reasons."""
    kind = _kind(answers)
    return Recommendation(kind, (*_deciding(kind, answers), *_to_mind(kind, answers)), MEANINGS)


def _wants_backup(answers: Answers) -> bool:
    return answers.wants_backup or answers.outage_days_wanted > SHORT_OUTAGE_DAYS or _medical(answers)


def _medical(answers: Answers) -> bool:
    return any(word in item.lower() for item in answers.must_run for word in _MEDICAL)


def _kind(answers: Answers) -> SystemType:
    if not answers.grid_available:
        return "off_grid"
    return "hybrid" if _wants_backup(answers) else "grid_tied"


def _deciding(kind: SystemType, answers: Answers) -> list[str]:
    if kind == "off_grid":
        return [
            "There is no utility line at the house, so the system has to carry it alone.",
            "A generator belongs to it: a dark week comes sooner or later, and nobody else supplies the house then.",
        ]
    if kind == "grid_tied":
        return [
            "Lower bills come first, and a system without a battery costs least for each kilowatt-hour it makes.",
            "It goes dark together with the grid: if the house must stay on in an outage, choose hybrid instead.",
        ]
    reasons = []
    if answers.wants_backup:
        reasons.append("The house should stay on when the grid fails, which takes a battery.")
    elif _medical(answers):
        reasons.append("Something that must run is medical, and a system without a battery goes dark with the grid.")
    else:
        days = f"{answers.outage_days_wanted:g}"
        reasons.append(f"You want {days} days through an outage, which a system without a battery can't give at all.")
    if answers.wants_payback:
        reasons.append(
            "While the grid is up it lowers the bills like a grid-tied system, but the battery adds to the price "
            "and rarely pays for itself on bills alone."
        )
    else:
        reasons.append("The grid stays as the second source, so the battery can be smaller than off-grid needs.")
    return reasons


def _to_mind(kind: SystemType, answers: Answers) -> list[str]:
    reasons = []
    if kind == "off_grid" and answers.distance_to_grid_m is not None:
        metres = f"{answers.distance_to_grid_m:,.0f} m"
        if answers.distance_to_grid_m <= LINE_EXTENSION_M:
            reasons.append(f"The line is only {metres} away: ask the utility what extending it costs before deciding.")
        else:
            reasons.append(f"The nearest line is {metres} away, and extending it would be a large part of the price.")
    if kind == "hybrid" and answers.outage_days_wanted >= LONG_OUTAGE_DAYS:
        days = f"{answers.outage_days_wanted:g}"
        reasons.append(
            f"For {days} days sun and battery alone depend on the weather: the study shows how often they last, and "
            "a generator closes the gap."
        )
    if _medical(answers):
        reasons.append(
            "Don't let medical equipment depend on this system alone: keep the maker's own reserve, and ask the "
            "utility for its list of medical customers."
        )
    if not answers.owns_home:
        reasons.append("The house is rented: its owner must agree in writing, and signs permits and agreements.")
    if answers.wants_loan:
        reasons.append("For a loan the lender usually asks for permits, licensed installation and a fixed price.")
    if answers.wants_warranty:
        reasons.append("Makers' warranties ask for installation by their instructions, by trained or licensed people.")
    if answers.diy_comfort == "much":
        reasons.append(
            "Wishing to help is welcome for clearing and digging; roof and electrical work stay with trained and "
            "licensed people."
        )
    elif answers.diy_comfort == "none" and kind == "off_grid":
        reasons.append("Living off-grid means looking after it: battery, generator and use need attention every week.")
    return reasons
