"""From a requirement to the one button that records its fact.

``RECORDED_BY`` names, for each requirement that isn't a plain mark, the form or page where its fact is recorded.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from django.urls import reverse

from projects.models import Inspection, Interconnection, Job, Permit, Person, UtilityRequest
from projects.route.facts import JobFacts
from projects.route.marks import MARKS
from projects.route.requirements import MARK_OF_REQUIREMENT
from projects.route.standing_types import RequirementStanding
from projects.route.words import party_name
from projects.screens.office.facts import FACTS, address
from projects.screens.office.symbols import SYMBOLS
from projects.screens.office.tables import due_words
from projects.screens.tasks import task


@dataclass(frozen=True)
class Act:
    """One button. ``in_place``: its form can open inside the page; ``paper``: it is a POST that issues that paper."""

    label: str
    address: str
    in_place: bool = False
    paper: str = ""


@dataclass(frozen=True)
class Step:
    """A requirement as the job page shows it."""

    requirement: RequirementStanding
    act: Act | None = None
    more: tuple[Act, ...] = ()
    caution: str = ""
    words: str = ""
    """What a reviewer, an inspector or the utility said, where the step is to answer it."""
    who: str = ""
    due: str = ""
    late: bool = False

    @property
    def symbol(self) -> str:
        return SYMBOLS[self.requirement.state]

    @property
    def detail(self) -> str:
        """A sentence follows it: what somebody typed may end with a full stop of its own."""
        return self.requirement.detail.rstrip(". ")

    @property
    def task(self) -> str:
        return task(self.requirement.key, self.requirement.sentence)


@dataclass
class Rounds:
    """A job's permits, inspections and utility requests, loaded once, for steps to point at the right row."""

    permits: dict[str, Permit] = field(default_factory=dict)
    inspections: list[Inspection] = field(default_factory=list)
    """Oldest first."""
    requests: list[UtilityRequest] = field(default_factory=list)
    interconnection: Interconnection | None = None

    def booked(self, kind: str) -> Inspection | None:
        return next((row for row in self.inspections if row.kind == kind and row.result == "booked"), None)

    def latest(self, kind: str) -> Inspection | None:
        return next((row for row in reversed(self.inspections) if row.kind == kind and row.result != "cancelled"), None)


Acts = tuple[Act | None, tuple[Act, ...], str]
"""The main button, further ones, and quoted words."""


class Finder:
    """Finds the buttons for the requirements of one job, as this person may use them."""

    def __init__(self, job: Job, person: Person, rounds: Rounds) -> None:
        self.job, self.person, self.rounds = job, person, rounds

    def step(self, requirement: RequirementStanding, facts: JobFacts) -> Step:
        mark = MARK_OF_REQUIREMENT.get(requirement.key, "")
        rule = MARKS.get(mark)
        if rule is not None and requirement.key not in RECORDED_BY:
            act, more, words = self.form(rule.verb, "mark", mark), (), ""
        else:
            act, more, words = self.recorded_by(requirement)
        due = requirement.due_on
        return Step(
            requirement,
            act,
            more,
            caution=rule.caution if rule else "",
            words=words,
            who=party_name(facts, requirement.party),
            due=due_words(due, facts.today) if due else "",
            late=due is not None and due < facts.today,
        )

    def undoing(self, requirement: RequirementStanding) -> Act | None:
        """What takes the requirement's state back, or (for the owner) goes on without it."""
        key = requirement.key
        if requirement.state == "waived":
            return self.form("Withdraw the waiver", "withdraw-waiver", key)
        if requirement.state == "met":
            mark = MARK_OF_REQUIREMENT.get(key)
            return self.form("Withdraw", "withdraw", mark) if mark else None
        return self.form("Waive", "waive", key) if requirement.waivable else None

    def recorded_by(self, requirement: RequirementStanding) -> Acts:
        key = requirement.key
        if requirement.branch and key.startswith("permit_"):
            return self.permit(requirement.branch, key.rsplit("_", 1)[-1])
        return RECORDED_BY.get(key, nothing)(self)

    def form(self, label: str, fact: str, subject: str | int = "") -> Act | None:
        """The button of a form, or None where this person's role doesn't record it."""
        form_class = FACTS[fact]
        if not form_class.allows(self.person, subject):
            return None
        return Act(label, address(self.job, fact, subject), in_place=True)

    def page(self, label: str, name: str) -> Act | None:
        return Act(label, reverse(name, args=[self.job.number]))

    def office_page(self, label: str, name: str) -> Act | None:
        return self.page(label, name) if self.person.is_office else None

    def paper(self, label: str, kind: str) -> Act | None:
        if not self.person.is_office:
            return None
        return Act(label, reverse("issue-paper", args=[self.job.number]), paper=kind)

    def permit(self, kind: str, what: str) -> Acts:
        permit = self.rounds.permits.get(kind)
        rounds = list(permit.submissions.all()) if permit else []
        if what == "submitted":
            return self.form("Submit", "permit-submitted", kind), (), ""
        if what == "corrections" and rounds:
            for comment in rounds[-1].comments.all():
                if comment.answered_on is None:
                    return self.form("Answer", "comment-answer", comment.pk), (), comment.text
            return self.form("Resubmit", "permit-submitted", kind), (), ""
        if what == "issued":
            asked = self.form("Corrections asked for", "permit-corrections", kind)
            return self.form("Issued", "permit-issued", kind), (asked,) if asked else (), ""
        if what == "renewal":
            again = self.form("Resubmit", "permit-submitted", kind)
            return self.form("Renewed", "permit-renewed", kind), (again,) if again else (), ""
        return None, (), ""

    def booking(self, fact: str, kind: str) -> Acts:
        """A day alone is booked in place; the calendar knows the crews, their room and what speaks against a day."""
        act = self.form("Book", fact)
        more = Act("With the calendar", reverse("calendar-day", args=[self.job.number, kind]))
        return act, (more,) if act and self.person.is_office else (), ""

    def resubmit(self) -> Acts:
        """The design differs from what plan review has: a new round for each permit, or the design put back."""
        acts = [
            self.form(f"Resubmit: {permit.get_kind_display().lower()}", "permit-submitted", kind)
            for kind, permit in self.rounds.permits.items()
            if permit.submissions.all()
        ]
        found = [act for act in acts if act]
        design = self.office_page("Change the design", "job-design")
        more = (*found[1:], *((design,) if design else ()))
        return (found[0] if found else None), more, ""

    def inspection(self, kind: str) -> Acts:
        latest = self.rounds.latest(kind)
        if latest and latest.result == "booked":
            rebook = self.form("Cancel the booking", "inspection-cancelled", latest.pk)
            return self.form("Result", "inspection-result", latest.pk), (rebook,) if rebook else (), ""
        if latest and latest.result == "corrections":
            for correction in latest.corrections.all():
                if correction.fixed_on is None:
                    return self.form("Fixed", "correction-fixed", correction.pk), (), correction.text
        return self.form("Book", "inspection-booked", kind), (), ""

    def utility_request(self) -> Acts:
        for request in self.rounds.requests:
            if request.answered_on is None:
                return self.form("Answer", "utility-answer", request.pk), (), request.text
        return None, (), ""

    def utility_approval(self) -> Acts:
        more = (self.form("It needs more", "utility-request"), self.form("Its queue", "utility-queue"))
        return self.form("Approved", "utility-approval"), tuple(act for act in more if act), ""

    def look_again(self) -> Acts:
        longer = self.form("Rest longer", "pause-moved")
        return self.form("Go on", "resumed"), (longer,) if longer else (), ""


def nothing(finder: Finder) -> Acts:
    return None, (), ""


def by_form(label: str, fact: str, subject: str = "") -> Callable[[Finder], Acts]:
    return lambda finder: (finder.form(label, fact, subject), (), "")


def by_page(label: str, name: str) -> Callable[[Finder], Acts]:
    return lambda finder: (finder.page(label, name), (), "")


def by_office_page(label: str, name: str) -> Callable[[Finder], Acts]:
    return lambda finder: (finder.office_page(label, name), (), "")


def by_paper(label: str, kind: str) -> Callable[[Finder], Acts]:
    return lambda finder: (finder.paper(label, kind), (), "")


RECORDED_BY: dict[str, Callable[[Finder], Acts]] = {
    "contact": by_office_page("Fill in", "lead-answers"),
    "answers": by_office_page("Fill in", "lead-answers"),
    "system_type": by_office_page("Decide", "job-kind"),
    "first_look": by_office_page("Prepare it", "job-first-look"),
    "visit_booked": lambda finder: finder.booking("visit", "site_visit"),
    "service": by_page("Record", "job-site"),
    "roof": by_page("Record", "job-site"),
    "obstructions": by_page("Record", "job-site"),
    "site_photos": by_page("Add photos", "job-photos"),
    "design": by_office_page("Design", "job-design"),
    "study": by_office_page("Run the study", "job-study"),
    "design_checks": by_office_page("See the checks", "job-study"),
    "single_line": by_paper("Issue the diagram", "single_line"),
    "permits_match_design": Finder.resubmit,
    "install_booked": lambda finder: finder.booking("installation", "installation"),
    "rough_in_booked": lambda finder: finder.inspection("rough_in"),
    "rough_in_corrections": lambda finder: finder.inspection("rough_in"),
    "rough_in": lambda finder: finder.inspection("rough_in"),
    "install_photos": by_page("Add photos", "job-photos"),
    "final_booked": lambda finder: finder.inspection("final"),
    "final_corrections": lambda finder: finder.inspection("final"),
    "final_passed": lambda finder: finder.inspection("final"),
    "application": by_form("Record", "application"),
    "application_matches_design": by_form("Told", "application-revised"),
    "application_complete": by_form("Complete", "application-complete"),
    "screens": by_form("Passed", "screens"),
    "grid_study": by_form("Finished", "grid-study"),
    "meter_ordered": by_form("Ordered", "meter-ordered"),
    "utility_requests": Finder.utility_request,
    "utility_approval": Finder.utility_approval,
    "agreement": by_form("Signed", "agreement"),
    "inspection_sent": by_form("Sent", "inspection-sent"),
    "meter": by_form("Set", "meter"),
    "witness": by_form("Passed", "witness"),
    **dict.fromkeys(
        ("lender_asks_customer", "lender_asks_office", "lender_asks_lender"), by_office_page("To the loan", "job-money")
    ),
    "permission": by_form("Record", "permission"),
    "warranty": by_form("Register", "warranties"),
    "claims_settled": by_office_page("To the claim", "job-service"),
    "service_visit": by_page("To the visit", "job-service"),
    "look_again": Finder.look_again,
}
