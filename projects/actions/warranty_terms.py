"""How long which part of an installed system is under warranty, and the rows that say so."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from projects.models import Design, Job, JobMark, LeadAnswers, OfficeProfile, Warranty

LEAST_YEARS, MOST_YEARS, USUAL_YEARS = 5, 25, 10
"""Of workmanship: common practice, no source."""


@dataclass(frozen=True)
class Term:
    covers: str
    years: int


def workmanship_years(wanted: int | None, longest: int) -> int:
    """What the household wished, within what the office promises: at least 5 years, at most the office's own figure.

    A household that named no number gets the office's figure.
    """
    return longest if not wanted else max(LEAST_YEARS, min(wanted, longest))


def proposed_years(job: Job) -> int:
    """Workmanship years for this job, before anybody in the office decides otherwise."""
    firm = OfficeProfile.current()
    answers = LeadAnswers.objects.filter(job=job).only("warranty_years_wanted").first()
    return workmanship_years(answers.warranty_years_wanted if answers else None, firm_years(firm))


def firm_years(firm: OfficeProfile | None) -> int:
    return firm.workmanship_years if firm else USUAL_YEARS


def makers_terms(job: Job) -> list[Term]:
    """One per equipment model of the current design that its maker warrants."""
    parts = ("module", "inverter", "battery", "generator")
    design = Design.objects.filter(job=job).select_related(*parts).order_by("-revision").first()
    models = [getattr(design, part) for part in parts] if design else []
    years = {model.name: getattr(model, "warranty_years", 0) for model in models if model is not None}
    return [Term(name, count) for name, count in years.items() if count]


def starts_on(job: Job) -> date | None:
    """Warranties run from the day on which the system was switched on for good."""
    mark = JobMark.objects.filter(job=job, key="switched_on", withdrawn_at=None).first()
    return mark.on if mark else None


def anniversary(start: date, years: int) -> date:
    """The same day ``years`` later; 29 February becomes the 28th where there is none."""
    try:
        return start.replace(year=start.year + years)
    except ValueError:
        return start.replace(year=start.year + years, day=28)


def write_warranties(job: Job, on: date, years: int | None = None) -> list[Warranty]:
    """Writes the rows: workmanship first, then the makers'. Called inside the action that records the registration.

    ``on``, the registration's day, counts only where the day of switching on was waived.
    """
    start = starts_on(job) or on
    workmanship = Term(Warranty.WORKMANSHIP, proposed_years(job) if years is None else years)
    return Warranty.objects.bulk_create(
        Warranty(job=job, covers=t.covers, years=t.years, starts_on=start, ends_on=anniversary(start, t.years))
        for t in (workmanship, *makers_terms(job))
    )


def drop_warranties(job: Job) -> None:
    """The registration was a mistake: what it promised is no promise."""
    Warranty.objects.filter(job=job).delete()
