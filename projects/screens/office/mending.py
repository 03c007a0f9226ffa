"""Where the office mends what stands in the way of a study or a paper."""

from __future__ import annotations

import re

from django.urls import reverse

from projects.models import Job

_FILE_FIELD = re.compile(r"^Climate\.file: ")

Place = tuple[str, str]
"""Address and words: "To <words>"."""


def said(told: str) -> str:
    """A problem without the study's own name of a field that no screen shows."""
    return "\n".join(_FILE_FIELD.sub("The weather: ", line) for line in told.splitlines())


def place_of(job: Job, field: str, told: str = "") -> Place | None:
    """The page on which the value was typed that a study or a paper can't work with; None where none is to blame.

    ``field``: of the problem; ``told``: its words, where the field alone leaves two places open.
    """
    own = [job.number]
    site, study, office = reverse("job-site", args=own), reverse("job-study", args=own), reverse("office")
    answers, design = reverse("lead-answers", args=own), reverse("job-design", args=own)
    if field == "plane_modules" and not told.lower().partition(".")[2].startswith("modules"):
        return f"{site}#roof", "the roof planes"
    if field == "climate" and not told.lower().startswith(("climate.record", "climate.high")):
        return reverse("job-weather", args=own), "the weather"
    return {
        "answers": (answers, "the answers"),
        "authorities": (reverse("record", args=[*own, "authorities"]), "jurisdiction and utility"),
        "climate": (f"{office}#jurisdictions", "the jurisdiction’s design temperatures"),
        "design": (design, "the design"),
        "equipment": (f"{office}#catalogue", "the equipment"),
        "firm": (reverse("office-firm"), "the firm’s name"),
        "insurance": (f"{office}#insurance", "the insurance"),
        "jurisdiction": (f"{office}#jurisdictions", "the jurisdiction’s profile"),
        "kind": (reverse("job-kind", args=own), "the kind of system"),
        "licence": (f"{office}#licences", "the licences"),
        "loads": (reverse("job-loads", args=own), "the load worksheet"),
        "money_rules": (reverse("office-money"), "the office’s money rules"),
        "obstructions": (f"{site}#sun", "the obstructions"),
        "outage_days_wanted": (answers, "the outage to ride through"),
        "roof": (f"{site}#roof", "the roof planes"),
        "service": (f"{site}#service", "the electrical service"),
        "site": (answers, "the address"),
        "study": (study, "the study"),
        "usage": (answers, "the bills"),
        "utility": (f"{office}#utilities", "the utility’s tariff"),
    }.get(field)
