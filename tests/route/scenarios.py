"""A complete job with every fact in place, the routes it can take, and how to take one fact away again."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime

from projects.route.facts import (
    ClaimFacts,
    Comment,
    InspectionFacts,
    InterconnectionFacts,
    JobFacts,
    JurisdictionProfile,
    LenderAsk,
    Mark,
    Party,
    PermitFacts,
    PermitKind,
    Submission,
    SystemType,
    UtilityProfile,
)
from projects.route.marks import MARKS

RECEIVED = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
"""A Monday."""
TODAY = date(2026, 7, 1)
COUNTY = "Pelican County"
POWER = "Sound & Shore Power"

DAYS = {
    "go_ahead": date(2026, 3, 5),
    "contract_signed": date(2026, 3, 23),
    "loan_approved": date(2026, 3, 27),
    "electrician_review": date(2026, 3, 24),
    "contractor_review": date(2026, 3, 24),
    "structural_letter": date(2026, 3, 25),
    "permit_exemption": date(2026, 4, 13),
    "equipment_ordered": date(2026, 4, 15),
    "equipment_received": date(2026, 4, 27),
    "install_started": date(2026, 5, 4),
    "mounted": date(2026, 5, 5),
    "wired": date(2026, 5, 6),
    "labels": date(2026, 5, 7),
    "commissioning_tests": date(2026, 5, 7),
    "final_check": date(2026, 5, 12),
    "switched_on": date(2026, 6, 8),
    "handover": date(2026, 6, 9),
    "warranty_registered": date(2026, 6, 10),
}

ROUTES: dict[str, tuple[SystemType, JurisdictionProfile, UtilityProfile, bool]] = {
    "grid-tied, plain": ("grid_tied", JurisdictionProfile(name=COUNTY), UtilityProfile(name=POWER), False),
    "grid-tied, bare": (
        "grid_tied",
        JurisdictionProfile(name=COUNTY, combined_permit=True),
        UtilityProfile(name=POWER, meter_swap=False),
        False,
    ),
    "hybrid, everything asked": (
        "hybrid",
        JurisdictionProfile(name=COUNTY, fire_review=True, structural_letter=True, rough_in_inspection=True),
        UtilityProfile(name=POWER, witness_test=True, completeness_days=5, meter_order=True, simplified_up_to_kw=6.0),
        True,
    ),
    "hybrid, combined permit, everything asked": (
        "hybrid",
        JurisdictionProfile(
            name=COUNTY, combined_permit=True, fire_review=True, structural_letter=True, rough_in_inspection=True
        ),
        UtilityProfile(name=POWER, witness_test=True, simplified_up_to_kw=3.0, fast_track_up_to_kw=6.0),
        True,
    ),
    "off-grid, permitted": (
        "off_grid",
        JurisdictionProfile(name=COUNTY, rough_in_inspection=True),
        UtilityProfile(name=POWER),
        True,
    ),
    "off-grid, exempt": (
        "off_grid",
        JurisdictionProfile(
            name=COUNTY,
            off_grid_exempt=True,
            off_grid_exemption_rule="County ordinance 14-3",
            rough_in_inspection=True,
            fire_review=True,
        ),
        UtilityProfile(name=POWER),
        False,
    ),
}


def kinds_asked(system_type: SystemType, jurisdiction: JurisdictionProfile) -> tuple[PermitKind, ...]:
    """Written out by hand, not read from the route."""
    if system_type == "off_grid" and jurisdiction.off_grid_exempt:
        return ()
    kinds: tuple[PermitKind, ...] = ("combined",) if jurisdiction.combined_permit else ("building", "electrical")
    return (*kinds, "fire") if jurisdiction.fire_review else kinds


def issued(kind: PermitKind, fingerprint: str = "D1") -> PermitFacts:
    approved = Submission(date(2026, 3, 30), fingerprint, "approved", date(2026, 4, 10))
    return PermitFacts(kind, (approved,), issued_on=date(2026, 4, 13), number="B-1")


def blank_job(route: str = "grid-tied, plain") -> JobFacts:
    """Just received: nothing known but the lead itself."""
    _, jurisdiction, utility, loan = ROUTES[route]
    return JobFacts(
        today=TODAY,
        system_type=None,
        received_at=RECEIVED,
        jurisdiction=jurisdiction,
        utility=utility,
        wants_loan=loan,
    )


def complete_job(route: str = "grid-tied, plain") -> JobFacts:
    """In service: every fact of the route is there."""
    system_type, jurisdiction, _, _ = ROUTES[route]
    final = InspectionFacts("final", date(2026, 5, 12), "passed", date(2026, 5, 12))
    rough = InspectionFacts("rough_in", date(2026, 5, 6), "passed", date(2026, 5, 6))
    return replace(
        blank_job(route),
        system_type=system_type,
        marks={key: Mark(DAYS[key]) for key in MARKS},
        permits=tuple(issued(kind) for kind in kinds_asked(system_type, jurisdiction)),
        inspections=(rough, final),
        interconnection=InterconnectionFacts(
            submitted_on=date(2026, 3, 26),
            design_fingerprint="D1",
            requests=((Comment("A photo of the meter", date(2026, 4, 2)), date(2026, 4, 1)),),
            complete_on=date(2026, 4, 2),
            screens_passed_on=date(2026, 4, 14),
            study_done_on=date(2026, 4, 14),
            meter_ordered_on=date(2026, 4, 21),
            approved_on=date(2026, 4, 16),
            agreement_signed_on=date(2026, 4, 20),
            inspection_sent_on=date(2026, 5, 13),
            meter_set_on=date(2026, 5, 26),
            witness_passed_on=date(2026, 5, 27),
            permission_on=date(2026, 6, 5),
        ),
        contact_known=True,
        answers_known=True,
        service_recorded=True,
        roof_recorded=True,
        obstructions_recorded=True,
        photos=frozenset({"panel", "meter", "roof", "array", "inverter", "labels", "battery"}),
        ac_kw=7.6,
        design_fingerprint="D1",
        study_fingerprint="D1",
        papers={"first_look": (date(2026, 3, 3), "D0"), "single_line": (date(2026, 3, 20), "D1")},
        site_assessed_on=date(2026, 3, 10),
        design_on=date(2026, 3, 16),
        study_on=date(2026, 3, 17),
        visit_on=date(2026, 3, 10),
        install_on=date(2026, 5, 4),
    )


Change = Callable[[JobFacts], JobFacts]


def without_mark(key: str) -> Change:
    return lambda f: replace(f, marks={k: m for k, m in f.marks.items() if k != key})


def without_photo(kind: str) -> Change:
    return lambda f: replace(f, photos=f.photos - {kind})


def without_paper(kind: str) -> Change:
    return lambda f: replace(f, papers={k: p for k, p in f.papers.items() if k != kind})


def utility_side(**changes: object) -> Change:
    return lambda f: replace(f, interconnection=replace(f.interconnection, **changes))  # type: ignore[arg-type]


def permit_side(kind: PermitKind, change: Callable[[PermitFacts], PermitFacts]) -> Change:
    return lambda f: replace(f, permits=tuple(change(p) if p.kind == kind else p for p in f.permits))


def latest_round(kind: PermitKind, **changes: object) -> Change:
    """The latest submission of a permit, otherwise."""

    def change(permit: PermitFacts) -> PermitFacts:
        *earlier, last = permit.submissions
        return replace(permit, submissions=(*earlier, replace(last, **changes)))  # type: ignore[arg-type]

    return permit_side(kind, change)


def inspections(*wanted: InspectionFacts) -> Change:
    """These inspections of their kind instead of those recorded."""
    kinds = {i.kind for i in wanted}
    return lambda f: replace(f, inspections=(*(i for i in f.inspections if i.kind not in kinds), *wanted))


def without_inspection(kind: str) -> Change:
    return lambda f: replace(f, inspections=tuple(i for i in f.inspections if i.kind != kind))


def failed(kind: str, *fixed: date | None) -> Change:
    """The inspection found one correction per given day (None: not fixed yet)."""
    found = tuple(Comment(f"correction {n}", day) for n, day in enumerate(fixed, 1))
    return inspections(
        InspectionFacts(kind, date(2026, 5, 12), "corrections", date(2026, 5, 12), found)  # type: ignore[arg-type]
    )


REMOVALS: dict[str, Change] = {
    "contact": lambda f: replace(f, contact_known=False),
    "answers": lambda f: replace(f, answers_known=False),
    "system_type": lambda f: replace(f, system_type=None),
    "first_look": without_paper("first_look"),
    "go_ahead": without_mark("go_ahead"),
    "visit_booked": lambda f: replace(f, visit_on=None),
    "service": lambda f: replace(f, service_recorded=False),
    "roof": lambda f: replace(f, roof_recorded=False),
    "obstructions": lambda f: replace(f, obstructions_recorded=False),
    "site_photos": without_photo("panel"),
    "design": lambda f: replace(f, design_fingerprint=""),
    "study": lambda f: replace(f, study_fingerprint="D0"),
    "design_checks": lambda f: replace(f, failing_checks=("busbar",)),
    "single_line": without_paper("single_line"),
    "electrician_review": without_mark("electrician_review"),
    "contractor_review": without_mark("contractor_review"),
    "structural_letter": without_mark("structural_letter"),
    "contract": without_mark("contract_signed"),
    "financing": without_mark("loan_approved"),
    "permit_exemption": without_mark("permit_exemption"),
    "permits_match_design": lambda f: replace(f, design_fingerprint="D2", study_fingerprint="D2"),
    "permits_hold": lambda f: replace(f, permits=(), marks=without_mark("permit_exemption")(f).marks),
    "equipment_ordered": without_mark("equipment_ordered"),
    "equipment_received": without_mark("equipment_received"),
    "install_booked": lambda f: replace(f, install_on=None),
    "install_started": without_mark("install_started"),
    "mounted": without_mark("mounted"),
    "wired": without_mark("wired"),
    "rough_in_corrections": failed("rough_in", None),
    "rough_in_booked": without_inspection("rough_in"),
    "rough_in": inspections(InspectionFacts("rough_in", date(2026, 5, 6))),
    "labels": without_mark("labels"),
    "install_photos": without_photo("array"),
    "commissioning_tests": without_mark("commissioning_tests"),
    "final_corrections": failed("final", date(2026, 5, 13), None),
    "final_booked": without_inspection("final"),
    "final_passed": inspections(InspectionFacts("final", date(2026, 5, 12))),
    "final_check": without_mark("final_check"),
    "application": utility_side(submitted_on=None),
    "utility_requests": utility_side(requests=((Comment("A photo of the meter"), date(2026, 4, 1)),)),
    "application_matches_design": utility_side(design_fingerprint="D0"),
    "application_complete": utility_side(complete_on=None, approved_on=None),
    "screens": utility_side(screens_passed_on=None, approved_on=None),
    "grid_study": utility_side(study_done_on=None, approved_on=None),
    "meter_ordered": utility_side(meter_ordered_on=None, meter_set_on=None),
    "utility_approval": utility_side(approved_on=None),
    "agreement": utility_side(agreement_signed_on=None),
    "inspection_sent": utility_side(inspection_sent_on=None),
    "meter": utility_side(meter_set_on=None),
    "witness": utility_side(witness_passed_on=None),
    "permission": utility_side(permission_on=None),
    "switched_on": without_mark("switched_on"),
    "handover": without_mark("handover"),
    "warranty": without_mark("warranty_registered"),
    "claims_settled": lambda f: replace(f, claims=(ClaimFacts("Workmanship", date(2026, 6, 29)),)),
    "service_visit": lambda f: replace(f, service_visits=(date(2026, 7, 6),)),
}
"""What takes the fact of a requirement away, or brings the trouble that a conditional one is about."""

LENDER_PARTIES: tuple[Party, ...] = ("customer", "office", "lender")


def _lender_asks(party: Party) -> Change:
    asks = (LenderAsk("The signed contract", party, date(2026, 6, 1)),)
    return lambda f: replace(f, lender_asks=asks)


REMOVALS.update({f"lender_asks_{party}": _lender_asks(party) for party in LENDER_PARTIES})

_KINDS: tuple[PermitKind, ...] = ("building", "electrical", "combined", "fire")
for _kind in _KINDS:
    REMOVALS[f"permit_{_kind}_submitted"] = permit_side(_kind, lambda p: replace(p, submissions=()))
    REMOVALS[f"permit_{_kind}_corrections"] = latest_round(_kind, outcome="corrections", comments=(Comment("one"),))
    REMOVALS[f"permit_{_kind}_issued"] = permit_side(_kind, lambda p: replace(p, issued_on=None))

_expired: Mapping[str, PermitKind] = {f"permit_{kind}_renewal": kind for kind in _KINDS}


def _expire(kind: PermitKind) -> Change:
    """Expired while the final inspection is still booked."""
    lapse = permit_side(kind, lambda p: replace(p, expires_on=date(2026, 6, 30)))
    return lambda f: lapse(inspections(InspectionFacts("final", date(2026, 7, 10)))(f))


REMOVALS.update({key: _expire(kind) for key, kind in _expired.items()})


def without(facts: JobFacts, key: str) -> JobFacts:
    """The same job without the fact of this requirement."""
    return REMOVALS[key](facts)


def changed(facts: JobFacts, *changes: Change) -> JobFacts:
    for change in changes:
        facts = change(facts)
    return facts
