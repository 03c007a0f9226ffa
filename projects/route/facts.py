"""A job's facts, frozen: all that the route looks at. No Django, no clock, no database: today is a fact too."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal

SystemType = Literal["off_grid", "grid_tied", "hybrid"]
Party = Literal[
    "office",
    "crew",
    "customer",
    "engineer",
    "contractor",
    "electrician",
    "jurisdiction",
    "utility",
    "lender",
]
PermitKind = Literal["building", "electrical", "combined", "fire"]
InspectionKind = Literal["rough_in", "final"]
Outcome = Literal["pending", "corrections", "approved"]
PauseCause = Literal["undecided", "weather", "moratorium", "other", "closed"]
InspectionResult = Literal["booked", "corrections", "passed", "cancelled"]


@dataclass(frozen=True)
class Mark:
    """A plain fact: it became true on ``on``, recorded by ``by`` (a name for the screen)."""

    on: date
    by: str = ""
    note: str = ""


@dataclass(frozen=True)
class Comment:
    """A plan reviewer's, inspector's or utility's comment and whether it has been answered (or fixed)."""

    text: str
    answered_on: date | None = None


@dataclass(frozen=True)
class PauseFacts:
    """The job rests from ``on`` until, not including, ``ended_on``."""

    cause: PauseCause
    on: date
    look_again_on: date
    ended_on: date | None = None


@dataclass(frozen=True)
class ClaimFacts:
    """An open claim under a warranty."""

    covers: str
    reported_on: date
    visit_on: date | None = None
    """Day planned for a look at it."""


@dataclass(frozen=True)
class Submission:
    """One round of plan review."""

    submitted_on: date
    design_fingerprint: str
    outcome: Outcome = "pending"
    outcome_on: date | None = None
    comments: tuple[Comment, ...] = ()


@dataclass(frozen=True)
class PermitFacts:
    kind: PermitKind
    submissions: tuple[Submission, ...] = ()
    """Oldest first."""
    issued_on: date | None = None
    number: str = ""
    expires_on: date | None = None


@dataclass(frozen=True)
class InspectionFacts:
    kind: InspectionKind
    booked_for: date
    result: InspectionResult = "booked"
    result_on: date | None = None
    corrections: tuple[Comment, ...] = ()


@dataclass(frozen=True)
class InterconnectionFacts:
    submitted_on: date | None = None
    design_fingerprint: str = ""
    requests: tuple[tuple[Comment, date], ...] = ()
    """What the utility asked for and when it asked."""
    level: int | None = None
    """As applied for: 1 simplified, 2 fast track with screens, 3 with a study; None before the application."""
    complete_on: date | None = None
    screens_passed_on: date | None = None
    study_done_on: date | None = None
    queue_position: int | None = None
    meter_ordered_on: date | None = None
    approved_on: date | None = None
    agreement_signed_on: date | None = None
    inspection_sent_on: date | None = None
    meter_set_on: date | None = None
    witness_passed_on: date | None = None
    permission_on: date | None = None


@dataclass(frozen=True)
class LenderAsk:
    """Something that the lender asks for before it pays; ``party``: whose turn it is."""

    text: str
    party: Party
    asked_on: date
    met_on: date | None = None


@dataclass(frozen=True)
class JurisdictionProfile:
    name: str = "the jurisdiction"
    combined_permit: bool = False
    fire_review: bool = False
    structural_letter: bool = False
    rough_in_inspection: bool = False
    off_grid_exempt: bool = False
    off_grid_exemption_rule: str = ""
    building_review_days: int = 10
    """Business days."""
    electrical_review_days: int = 10
    fire_review_days: int = 10
    answer_days: int = 5
    """Business days in which the office should answer corrections."""
    inspection_notice_days: int = 2
    holidays: frozenset[date] = frozenset()
    """Days on which its counter is closed, weekends aside."""


@dataclass(frozen=True)
class UtilityProfile:
    name: str = "the utility"
    review_days: int = 15
    """Business days."""
    permission_days: int = 10
    witness_test: bool = False
    meter_swap: bool = True
    meter_days: int = 10
    answer_days: int = 5
    meter_order: bool = False
    """The installer orders the meter."""
    completeness_days: int = 0
    """Business days until it says whether the application is complete; 0: it doesn't say so separately."""
    simplified_up_to_kw: float = 10.0
    fast_track_up_to_kw: float = 2000.0
    screens_days: int = 15
    study_days: int = 45
    holidays: frozenset[date] = frozenset()
    """Public holidays of the house's state: days on which it counts nothing."""


@dataclass(frozen=True)
class JobFacts:
    """Everything known of one job on ``today``."""

    today: date
    system_type: SystemType | None
    received_at: datetime
    """When the lead came in (aware, office time): the 24-hour clock of the first-look report starts here."""
    marks: Mapping[str, Mark] = field(default_factory=dict)
    """Plain facts by key (see ``requirements``)."""
    waivers: Mapping[str, Mark] = field(default_factory=dict)
    permits: tuple[PermitFacts, ...] = ()
    inspections: tuple[InspectionFacts, ...] = ()
    """Oldest first, both kinds."""
    interconnection: InterconnectionFacts = InterconnectionFacts()
    jurisdiction: JurisdictionProfile = JurisdictionProfile()
    utility: UtilityProfile = UtilityProfile()
    contact_known: bool = False
    place_known: bool = True
    """False while the house lies only roughly: somewhere in the region of its ZIP code."""
    answers_known: bool = False
    """What must run, backup or payback first, and a bill or a worksheet."""
    service_recorded: bool = False
    roof_recorded: bool = False
    obstructions_recorded: bool = False
    """At least one, or recorded as none."""
    photos: frozenset[str] = frozenset()
    """Kinds photographed: "panel", "meter", "roof", ... """
    design_fingerprint: str = ""
    """Of the current design; empty where there is none. A preliminary one, drawn up before the roof was measured
    for the first-look report alone, doesn't count."""
    study_fingerprint: str = ""
    """Of the design that the latest finished study looked at."""
    failing_checks: tuple[str, ...] = ()
    """Labels of design checks that fail in the study of the current design."""
    papers: Mapping[str, tuple[date, str]] = field(default_factory=dict)
    """Latest issue per kind of paper: date and fingerprint of the design it shows."""
    design_changes: tuple[str, ...] = ()
    """What differs between the design last submitted with a permit and the current one, in words."""
    site_assessed_on: date | None = None
    """Day of the site assessment's last record, where known: the design's due date counts from it."""
    design_on: date | None = None
    """Day on which the current design was made."""
    study_on: date | None = None
    """Day on which the latest study of the current design finished."""
    ac_kw: float | None = None
    """AC rating of the current design's inverters together: the size that the utility asks for."""
    pauses: tuple[PauseFacts, ...] = ()
    """Oldest first; at most one of them runs."""
    claims: tuple[ClaimFacts, ...] = ()
    """Open ones."""
    service_visits: tuple[date, ...] = ()
    """Days of planned visits to a system in service that are not made yet, the earliest first."""
    wants_loan: bool = False
    loan_approved_on: date | None = None
    """By the lender's decision on the customer's application."""
    lender_asks: tuple[LenderAsk, ...] = ()
    visit_on: date | None = None
    install_on: date | None = None
    outcome: Literal["", "lost", "cancelled"] = ""
