"""The one adapter between the jobs and ``sizing``: a design becomes a request, a result becomes a few figures.

``request`` asks and runs; ``loads``, ``money``, ``roof`` and ``weather`` fill their parts of it; ``figures`` reads the
answer; ``search`` asks for designs.
"""

from projects.studies.figures import NOTHING_CARRIED, all_checks, failing_checks, headline, ride_through_words
from projects.studies.loads import appliance_library, appliance_of, appliances_of, starting_w
from projects.studies.money import price_usd, still_open
from projects.studies.request import changed_since, problems_of, run, study_request_of
from projects.studies.roof import bare_room, crosses_itself, lies_on, room_for, structure_gaps
from projects.studies.search import Catalogue, Wanted, asked_of, look_for
from projects.studies.weather import Shelved, look_into, shelf_of
from sizing.errors import InputErrors

__all__ = [
    "NOTHING_CARRIED",
    "Catalogue",
    "InputErrors",
    "Shelved",
    "Wanted",
    "all_checks",
    "appliance_library",
    "appliance_of",
    "appliances_of",
    "asked_of",
    "bare_room",
    "changed_since",
    "crosses_itself",
    "failing_checks",
    "headline",
    "lies_on",
    "look_for",
    "look_into",
    "price_usd",
    "problems_of",
    "ride_through_words",
    "room_for",
    "run",
    "shelf_of",
    "starting_w",
    "still_open",
    "structure_gaps",
    "study_request_of",
]
