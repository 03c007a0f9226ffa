"""On the desk of a new office: what is still to be told, why, and where."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from projects.models import Person
from projects.queries.setting_up import OF_CHOICE, not_told


@dataclass(frozen=True)
class ToTell:
    task: str
    why: str
    verb: str
    address: str


WORDS = {
    "firm": ("Fill in the firm’s name and address", "They stand at the head of every paper.", "Fill in"),
    "utility": ("Add the utility", "Its review days and its prices: without them a saving is a guess.", "Add it"),
    "module": ("Add a module", "A first look is sized with what the office installs.", "Add one"),
    "inverter": (
        "Add an inverter",
        "And a battery, where you install them: both decide what runs in an outage.",
        "Add one",
    ),
    "jurisdiction": (
        "Add the jurisdiction",
        "It says which code edition holds and how long a review takes.",
        "Add it",
    ),
    "contractor": ("Add the contractor’s licence", "The building permit is submitted under it.", "Add it"),
    "electrician": ("Add the electrician’s licence", "The electrical permit is submitted under it.", "Add it"),
    "people": (
        "Add who works on the roofs",
        "They see their jobs on a tablet and tick off the work.",
        "Add a person",
    ),
    "crew": ("Form a crew", "Then the calendar knows how many jobs fit into a week.", "Form one"),
}
NOUNS = {
    "utility": "utilities",
    "module": "modules",
    "inverter": "inverters",
    "jurisdiction": "jurisdictions",
    "contractor": "licences",
    "electrician": "licences",
    "people": "people",
}


def to_tell(person: Person, *, any_jobs: bool) -> list[ToTell]:
    """Nothing once all is told; what an office may do without isn't asked for any more once it has jobs."""
    return [ToTell(*WORDS[key], _address(key)) for key in not_told(person) if not (any_jobs and key in OF_CHOICE)]


def _address(key: str) -> str:
    if key in NOUNS:
        return reverse("office-new", args=[NOUNS[key]])
    return reverse("office-firm" if key == "firm" else "crew-new")
