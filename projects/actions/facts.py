"""A job's rows turned into the frozen facts that the route looks at, with a constant number of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from django.db.models import Exists, Max, OuterRef, Prefetch, QuerySet, prefetch_related_objects
from django.utils import timezone

from projects.actions.differences import differences
from projects.actions.findings import today as office_today
from projects.actions.holidays import public_holidays
from projects.models import (
    Design,
    Evidence,
    FinancingApplication,
    Inspection,
    InspectionCorrection,
    Interconnection,
    Job,
    JobMark,
    Jurisdiction,
    LeadAnswers,
    Obstruction,
    PaperIssue,
    Pause,
    Permit,
    PermitSubmission,
    PlanComment,
    RoofPlane,
    ServiceVisit,
    Site,
    StudyRun,
    Utility,
    UtilityRequest,
    Waiver,
    WarrantyClaim,
)
from projects.route import facts as route


def facts_of(job: Job, today: date | None = None) -> route.JobFacts:
    return facts_of_many([job], today)[job.pk]


def facts_of_many(jobs: Iterable[Job], today: date | None = None) -> dict[int, route.JobFacts]:
    """Facts by the job's primary key; the number of queries doesn't grow with the number of jobs."""
    jobs = list(jobs)
    if not jobs:
        return {}
    today = today or office_today()
    rows = Rows(jobs)
    return {job.pk: rows.facts(job, today) for job in jobs}


class Rows:
    """All rows of some jobs, fetched table by table.

    ``shown``: with whatever a page about a job shows besides, so that it reads no table a second time.
    """

    def __init__(self, jobs: Sequence[Job], *, shown: bool = False) -> None:
        ids = [job.pk for job in jobs]
        site_ids = [job.site_id for job in jobs]
        # On the given instances, and only where they weren't loaded yet.
        prefetch_related_objects(list(jobs), "customer", "site", "jurisdiction__closures", "utility")
        self.answers = {a.job_id: a for a in LeadAnswers.objects.filter(job__in=ids)}
        self.marks = _grouped(JobMark.objects.filter(job__in=ids, withdrawn_at=None).select_related("recorded_by"))
        self.waivers = _grouped(Waiver.objects.filter(job__in=ids, withdrawn_at=None).select_related("waived_by"))
        permits = Permit.objects.filter(job__in=ids).prefetch_related(*_submissions(people=shown))
        found = list(permits if shown else permits.filter(voided_on=None))
        self.permits = _grouped(permit for permit in found if permit.voided_on is None)
        self.void_permits = _grouped(permit for permit in found if permit.voided_on is not None)
        """Only where ``shown``."""
        corrections = _named(InspectionCorrection.objects.all(), "fixed_by", shown)
        self.inspections = _grouped(
            Inspection.objects.filter(job__in=ids).prefetch_related(Prefetch("corrections", corrections))
        )
        requests = _named(UtilityRequest.objects.all(), "answered_by", shown)
        self.interconnections = {
            i.job_id: i
            for i in Interconnection.objects.filter(job__in=ids).prefetch_related(Prefetch("requests", requests))
        }
        self.pauses = _grouped(Pause.objects.filter(job__in=ids))
        living = (FinancingApplication.State.SUBMITTED, FinancingApplication.State.APPROVED)
        loans = FinancingApplication.objects.filter(job__in=ids, state__in=living).prefetch_related("conditions")
        self.loans = {loan.job_id: loan for loan in loans}
        self.claims = _grouped(WarrantyClaim.objects.filter(job__in=ids, settled_on=None))
        self.visits = _grouped(ServiceVisit.objects.filter(job__in=ids, done_on=None, cancelled_on=None))
        self.photos: dict[int, set[str]] = defaultdict(set)
        self.evidence: dict[int, list[Evidence]] = defaultdict(list)
        """Only where ``shown``."""
        photos = Evidence.objects.filter(job__in=ids, removed_at=None)
        if shown:
            self.evidence = _grouped(photos.select_related("added_by"))
            kinds = [(photo.job_id, photo.kind) for rows in self.evidence.values() for photo in rows]
        else:
            kinds = list(photos.values_list("job_id", "kind").distinct())
        for job_id, kind in kinds:
            self.photos[job_id].add(kind)
        looked_at = Site.objects.filter(pk__in=site_ids).values_list(
            "pk",
            Exists(RoofPlane.objects.filter(site=OuterRef("pk"))),
            Exists(Obstruction.objects.filter(site=OuterRef("pk"))),
        )
        self.looked_at = {site_id: (roof, obstructed) for site_id, roof, obstructed in looked_at}
        newest = Design.objects.filter(job__in=ids).values("job").annotate(newest=Max("id")).values("newest")
        designs = Design.objects.filter(pk__in=newest)
        parts = ("module", "inverter", "battery", "generator")
        self.designs = {d.job_id: d for d in (designs.select_related(*parts) if shown else designs)}
        done = StudyRun.objects.filter(job__in=ids, state=StudyRun.State.DONE)
        latest = done.values("job").annotate(latest=Max("id")).values("latest")
        self.studies = {s.job_id: s for s in StudyRun.objects.filter(pk__in=latest).defer("request", "result")}
        self.papers: dict[int, dict[str, tuple[date, str]]] = defaultdict(dict)
        papers = PaperIssue.objects.filter(job__in=ids).order_by("id")
        self.paper_issues = _grouped(_named(papers, "issued_by", shown))
        for paper in (each for rows in self.paper_issues.values() for each in rows):
            self.papers[paper.job_id][paper.kind] = (paper.on, paper.design_fingerprint)

    def facts(self, job: Job, today: date) -> route.JobFacts:
        site, answers, customer = job.site, self.answers.get(job.pk), job.customer
        design, study = self.designs.get(job.pk), self.studies.get(job.pk)
        loan = self.loans.get(job.pk)
        roof, obstructed = self.looked_at[job.site_id]
        permits = tuple(_permit(p) for p in self.permits[job.pk])
        # The sketch behind a first-look report is no engineering: only a design drawn from the roof counts.
        engineered = design is not None and not design.preliminary
        fingerprint = design.fingerprint if design is not None and engineered else ""
        current_study = study is not None and bool(fingerprint) and study.design_fingerprint == fingerprint
        return route.JobFacts(
            today=today,
            system_type=job.system_kind or None,
            received_at=timezone.localtime(job.received_at),
            marks={m.key: route.Mark(m.on, m.recorded_by.name, m.note) for m in self.marks[job.pk]},
            waivers={w.key: route.Mark(w.on, w.waived_by.name, w.reason) for w in self.waivers[job.pk]},
            permits=permits,
            inspections=tuple(_inspection(i) for i in self.inspections[job.pk]),
            interconnection=_interconnection(self.interconnections.get(job.pk)),
            jurisdiction=_jurisdiction(job.jurisdiction, site.state, job.received_at.year, today.year),
            utility=_utility(job.utility, site.state, job.received_at.year, today.year),
            contact_known=bool(customer.name and (customer.email or customer.phone)),
            place_known=site.located_from != "region",
            answers_known=answers is not None and answers.known,
            service_recorded=site.service_recorded_on is not None,
            roof_recorded=roof,
            obstructions_recorded=obstructed or site.obstructions_none_on is not None,
            photos=frozenset(self.photos[job.pk]),
            design_fingerprint=fingerprint,
            study_fingerprint=study.design_fingerprint if study is not None else "",
            failing_checks=tuple(study.failing_checks) if study is not None and current_study else (),
            papers=self.papers[job.pk],
            design_changes=_changes(self.permits[job.pk], design.frozen if design and engineered else None),
            site_assessed_on=site.assessed_on,
            design_on=design.on if design is not None and engineered else None,
            study_on=study.on if study is not None and current_study else None,
            ac_kw=ac_kw(design.frozen) if design is not None and engineered else None,
            pauses=tuple(
                route.PauseFacts(p.cause, p.on, p.look_again_on, p.ended_on)  # type: ignore[arg-type]
                for p in self.pauses[job.pk]
            ),
            claims=_claims(self.claims[job.pk], self.visits[job.pk]),
            service_visits=tuple(visit.planned_for for visit in self.visits[job.pk]),
            wants_loan=loan is not None or (answers is not None and answers.wants_loan),
            loan_approved_on=loan.decided_on if loan and loan.state == loan.State.APPROVED else None,
            lender_asks=_lender_asks(loan),
            visit_on=job.visit_on,
            install_on=job.install_on,
            outcome=job.outcome,
        )


def _submissions(*, people: bool) -> tuple[Any, ...]:
    if not people:
        return ("submissions__comments",)
    named = PermitSubmission.objects.select_related("licence__holder", "submitted_by")
    comments = PlanComment.objects.select_related("answered_by")
    return Prefetch("submissions", named), Prefetch("submissions__comments", comments)


def _named(rows: QuerySet[Any], person: str, wanted: bool) -> QuerySet[Any]:
    return rows.select_related(person) if wanted else rows


def _grouped(rows: Iterable[Any]) -> dict[int, list[Any]]:
    groups: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        groups[row.job_id].append(row)
    return groups


def _permit(permit: Permit) -> route.PermitFacts:
    submissions = tuple(
        route.Submission(
            submitted_on=s.submitted_on,
            design_fingerprint=s.design_fingerprint,
            outcome=s.outcome,
            outcome_on=s.outcome_on,
            comments=tuple(route.Comment(c.text, c.answered_on) for c in s.comments.all()),
        )
        for s in permit.submissions.all()
    )
    return route.PermitFacts(permit.kind, submissions, permit.issued_on, permit.number, permit.expires_on)


def _inspection(inspection: Inspection) -> route.InspectionFacts:
    corrections = tuple(route.Comment(c.text, c.fixed_on) for c in inspection.corrections.all())
    return route.InspectionFacts(
        inspection.kind, inspection.booked_for, inspection.result, inspection.result_on, corrections
    )


def _interconnection(row: Interconnection | None) -> route.InterconnectionFacts:
    if row is None:
        return route.InterconnectionFacts()
    return route.InterconnectionFacts(
        submitted_on=row.submitted_on,
        design_fingerprint=row.design_fingerprint,
        requests=tuple((route.Comment(r.text, r.answered_on), r.asked_on) for r in row.requests.all()),
        level=row.level,
        complete_on=row.complete_on,
        screens_passed_on=row.screens_passed_on,
        study_done_on=row.study_done_on,
        queue_position=row.queue_position,
        meter_ordered_on=row.meter_ordered_on,
        approved_on=row.approved_on,
        agreement_signed_on=row.agreement_signed_on,
        inspection_sent_on=row.inspection_sent_on,
        meter_set_on=row.meter_set_on,
        witness_passed_on=row.witness_passed_on,
        permission_on=row.permission_on,
    )


def _jurisdiction(row: Jurisdiction | None, state: str, first_year: int, this_year: int) -> route.JurisdictionProfile:
    public = public_holidays(row.state if row else state, first_year, this_year + 2)
    if row is None:
        return route.JurisdictionProfile(holidays=public)
    return route.JurisdictionProfile(
        name=row.name,
        combined_permit=row.combined_permit,
        fire_review=row.fire_review,
        structural_letter=row.structural_letter,
        rough_in_inspection=row.rough_in_inspection,
        off_grid_exempt=row.off_grid_exempt,
        off_grid_exemption_rule=row.off_grid_exemption_rule,
        building_review_days=row.building_review_days,
        electrical_review_days=row.electrical_review_days,
        fire_review_days=row.fire_review_days,
        answer_days=row.answer_days,
        inspection_notice_days=row.inspection_notice_days,
        holidays=public | {closure.on for closure in row.closures.all()},
    )


def ac_kw(frozen: Mapping[str, Any]) -> float:
    """AC rating of all that a frozen design can feed in, storage with inverters of its own included.

    Common practice, no source; a utility may take a limited export, or the array alone, for the size.
    """
    inverters_kw = float(frozen["inverter"]["ac_power_w"]) * int(frozen["inverter_count"]) / 1000
    battery = frozen["battery"] or {}
    if battery.get("coupling") != "ac":
        return inverters_kw
    return inverters_kw + float(battery["max_discharge_kw"]) * int(frozen["battery_count"])


def _lender_asks(loan: FinancingApplication | None) -> tuple[route.LenderAsk, ...]:
    if loan is None:
        return ()
    rows = loan.conditions.all()
    return tuple(route.LenderAsk(row.text, row.party, row.asked_on, row.met_on) for row in rows)


def _claims(rows: Iterable[WarrantyClaim], visits: Sequence[ServiceVisit]) -> tuple[route.ClaimFacts, ...]:
    planned: dict[int, date] = {}
    for visit in reversed(visits):  # the earliest last, so that it stays
        if visit.claim_id is not None:
            planned[visit.claim_id] = visit.planned_for
    return tuple(route.ClaimFacts(row.covers, row.reported_on, planned.get(row.pk)) for row in rows)


def _utility(row: Utility | None, state: str, first_year: int, this_year: int) -> route.UtilityProfile:
    """A utility may serve several states: it rests on the public holidays of the house's own."""
    public = public_holidays(state, first_year, this_year + 2)
    if row is None:
        return route.UtilityProfile(holidays=public)
    return route.UtilityProfile(
        name=row.name,
        review_days=row.review_days,
        permission_days=row.permission_days,
        witness_test=row.witness_test,
        meter_swap=row.meter_swap,
        meter_days=row.meter_days,
        answer_days=row.answer_days,
        meter_order=row.meter_order,
        completeness_days=row.completeness_days,
        simplified_up_to_kw=row.simplified_up_to_kw,
        fast_track_up_to_kw=row.fast_track_up_to_kw,
        screens_days=row.screens_days,
        study_days=row.study_days,
        holidays=public,
    )


def _changes(permits: Sequence[Permit], frozen: dict[str, Any] | None) -> tuple[str, ...]:
    """Over all branches: what the latest submission shows otherwise than the current design."""
    if frozen is None:
        return ()
    found: dict[str, None] = {}
    for permit in permits:
        submissions = list(permit.submissions.all())
        if submissions:
            found.update(dict.fromkeys(differences(submissions[-1].design_frozen, frozen)))
    return tuple(found)
