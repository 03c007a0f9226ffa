"""Site assessment: what the crew finds at the house."""

from __future__ import annotations

from datetime import date

from projects.route.facts import JobFacts
from projects.route.requirements.base import Done, Met, Requirement, days_after, known, on_day, said
from projects.route.words import PHOTO_NAMES, listed

SITE_PHOTOS = ("panel", "meter", "roof")


def photos_wanted(facts: JobFacts) -> tuple[str, ...]:
    """Kinds of photo the site assessment needs; no utility's meter hangs at a house off the grid."""
    return tuple(kind for kind in SITE_PHOTOS if kind != "meter" or facts.system_type != "off_grid")


def _visit(facts: JobFacts, done: Done) -> date | None:
    return facts.visit_on


def _photos(facts: JobFacts) -> Met | None:
    return known(facts.photos.issuperset(photos_wanted(facts)))


def _missing(facts: JobFacts) -> str:
    wanted = photos_wanted(facts)
    missing = [PHOTO_NAMES[kind] for kind in wanted if kind not in facts.photos]
    # Where all are missing, the sentence has named them already.
    return f"missing: {listed(missing)}" if 0 < len(missing) < len(wanted) else ""


def _photos_sentence(facts: JobFacts) -> str:
    words = listed([PHOTO_NAMES[kind] for kind in photos_wanted(facts)])
    return f"{words[:1].upper()}{words[1:]} are photographed"


REQUIREMENTS = (
    Requirement(
        key="visit_booked",
        stage="site_assessment",
        party="office",
        sentence=said("The site visit is booked with the customer"),
        met=lambda facts: on_day(facts.visit_on),
        after=("go_ahead",),
        due=days_after(3, "go_ahead"),
    ),
    Requirement(
        key="service",
        stage="site_assessment",
        party="crew",
        sentence=said("The service rating, busbar, main breaker and free spaces are recorded"),
        met=lambda facts: known(facts.service_recorded),
        after=("visit_booked",),
        due=_visit,
    ),
    Requirement(
        key="roof",
        stage="site_assessment",
        party="crew",
        sentence=said("The roof planes are measured and recorded"),
        met=lambda facts: known(facts.roof_recorded),
        after=("visit_booked",),
        due=_visit,
    ),
    Requirement(
        key="obstructions",
        stage="site_assessment",
        party="crew",
        sentence=said("What shades the roof is recorded, or recorded as none"),
        met=lambda facts: known(facts.obstructions_recorded),
        after=("visit_booked",),
        due=_visit,
    ),
    Requirement(
        key="site_photos",
        stage="site_assessment",
        party="crew",
        sentence=_photos_sentence,
        met=_photos,
        after=("visit_booked",),
        due=_visit,
        detail=_missing,
    ),
)
