"""Installation: equipment, dates, mounting and wiring, labels, photos, commissioning tests."""

from __future__ import annotations

from datetime import date

from projects.route.facts import JobFacts
from projects.route.permit_hold import permits_hold_problems
from projects.route.reading import exempt_from_permits, issued_on, permit_kinds
from projects.route.requirements.base import Done, Met, Requirement, days_after, known, marked, on_day, said
from projects.route.requirements.inspecting import booking, corrections, passing
from projects.route.requirements.permits import CLEARED_KEYS, ISSUED_KEYS
from projects.route.words import PHOTO_NAMES, listed

ORDER_DAYS = 2
# The crew's own pace: common practice, no source.
BOOK_DAYS = 3
WORKING_DAYS = 5
"""A house takes a crew up to a working week."""

INSTALL_PHOTOS = ("array", "inverter", "labels")


def _held(facts: JobFacts) -> Met | None:
    if facts.system_type is None or permits_hold_problems(facts):
        return None
    if exempt_from_permits(facts):
        return Met(facts.marks["permit_exemption"].on)
    days = [day for kind in permit_kinds(facts) if (day := issued_on(facts, kind))]
    return Met(max(days))


def _held_detail(facts: JobFacts) -> str:
    return "no work on the roof or the wiring before this"


def photos_wanted(facts: JobFacts) -> tuple[str, ...]:
    """Kinds of photo the finished installation needs; a battery is photographed where there is one."""
    return INSTALL_PHOTOS if facts.system_type == "grid_tied" else (*INSTALL_PHOTOS, "battery")


def _photos(facts: JobFacts) -> Met | None:
    return known(facts.photos.issuperset(photos_wanted(facts)))


def _missing(facts: JobFacts) -> str:
    missing = [PHOTO_NAMES[kind] for kind in photos_wanted(facts) if kind not in facts.photos]
    return f"missing: {listed(missing)}" if missing else ""


def _photos_sentence(facts: JobFacts) -> str:
    wanted = [PHOTO_NAMES[kind].removeprefix("the ") for kind in photos_wanted(facts)]
    return f"The finished {listed(wanted)} are photographed"


def _install_day(facts: JobFacts, done: Done) -> date | None:
    return facts.install_on


def _within_the_week(facts: JobFacts, done: Done) -> date | None:
    return done.business_days_after(WORKING_DAYS - 1, done.latest("install_started"))


def _rough_in(facts: JobFacts) -> bool:
    return facts.jurisdiction.rough_in_inspection and not exempt_from_permits(facts)


REQUIREMENTS = (
    Requirement(
        key="permits_hold",
        stage="installation",
        party="jurisdiction",
        sentence=lambda facts: (
            "The exemption from permits stands before work begins"
            if exempt_from_permits(facts)
            else "The required permits are issued for the current design before work begins"
        ),
        met=_held,
        after=("system_type", *CLEARED_KEYS),
        detail=_held_detail,
        hold=True,
        waivable=False,
    ),
    Requirement(
        key="equipment_ordered",
        stage="installation",
        party="office",
        sentence=said("The equipment is ordered"),
        met=marked("equipment_ordered"),
        after=CLEARED_KEYS,
        due=days_after(ORDER_DAYS, *ISSUED_KEYS),
        mark="equipment_ordered",
    ),
    Requirement(
        key="equipment_received",
        stage="installation",
        party="office",
        sentence=said("The equipment has arrived and is checked against the order"),
        met=marked("equipment_received"),
        after=("equipment_ordered",),
        due=_install_day,
        mark="equipment_received",
    ),
    Requirement(
        key="install_booked",
        stage="installation",
        party="office",
        sentence=said("The installation day is booked with the crew and the customer"),
        met=lambda facts: on_day(facts.install_on),
        after=("permits_hold",),
        due=days_after(BOOK_DAYS, "permits_hold"),
    ),
    Requirement(
        key="install_started",
        stage="installation",
        party="crew",
        sentence=said("The crew has started the installation"),
        met=marked("install_started"),
        after=("permits_hold", "equipment_received", "install_booked"),
        due=_install_day,
        mark="install_started",
    ),
    Requirement(
        key="mounted",
        stage="installation",
        party="crew",
        sentence=said("The attachments, racking and modules are mounted"),
        met=marked("mounted"),
        after=("install_started",),
        due=_within_the_week,
        mark="mounted",
    ),
    Requirement(
        key="wired",
        stage="installation",
        party="electrician",
        sentence=said("The electrical work is done under the electrician's licence"),
        met=marked("wired"),
        after=("install_started",),
        due=_within_the_week,
        mark="wired",
    ),
    corrections("rough_in", stage="installation", applies=_rough_in),
    booking("rough_in", stage="installation", applies=_rough_in, after=("wired", "rough_in_corrections")),
    passing("rough_in", key="rough_in", stage="installation", applies=_rough_in, after=("rough_in_booked",)),
    Requirement(
        key="labels",
        stage="installation",
        party="crew",
        sentence=said("The placards and labels are on"),
        met=marked("labels"),
        after=("wired",),
        due=_within_the_week,
        mark="labels",
    ),
    Requirement(
        key="install_photos",
        stage="installation",
        party="crew",
        sentence=_photos_sentence,
        met=_photos,
        after=("install_started",),
        due=_within_the_week,
        detail=_missing,
    ),
    Requirement(
        key="commissioning_tests",
        stage="installation",
        party="electrician",
        sentence=said("The commissioning tests are done and recorded"),
        met=marked("commissioning_tests"),
        after=("wired", "mounted"),
        due=_within_the_week,
        detail=said("insulation, polarity, voltage and torque"),
        mark="commissioning_tests",
    ),
)
