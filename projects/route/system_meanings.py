"""What each kind of system would mean for a household, in plain words."""

from __future__ import annotations

from dataclasses import dataclass

from projects.route.facts import SystemType


@dataclass(frozen=True)
class Meaning:
    """One kind of system, one or two sentences a subject."""

    backup: str
    selling_back: str
    permits: str
    licensed_trades: str
    warranty: str
    financing: str


MEANINGS: dict[SystemType, Meaning] = {
    "grid_tied": Meaning(
        backup=(
            "None. Without a battery the system shuts off with the grid, even in full sun, so that it can't feed a "
            "line somebody is repairing."
        ),
        selling_back=(
            "What the house doesn't use at once goes to the utility, at the rate of its tariff; that is often less "
            "than what you pay."
        ),
        permits=(
            "Building and electrical permits, a final inspection, and the utility's permission to operate before it "
            "may be switched on."
        ),
        licensed_trades="The electrical work is done under an electrician's licence, the roof work by a trained crew.",
        warranty=(
            "Modules and inverter carry their makers' warranties, the workmanship ours. There is no battery that ages."
        ),
        financing="The lowest price and the simplest case for a lender. The bills go down, by how much the study says.",
    ),
    "hybrid": Meaning(
        backup=(
            "The essential loads stay on when the grid fails, for as long as battery and sun last. How long that is "
            "depends on what you run, and the study shows it."
        ),
        selling_back=(
            "As with grid-tied, what is left over goes to the utility at its tariff, after the battery is full."
        ),
        permits=(
            "As with grid-tied, and the reviewers look at the battery too: where it stands, clearances and labels. "
            "The utility's permission is needed before it may run beside the grid."
        ),
        licensed_trades=(
            "An electrician's licence, with more of it: the essential loads move to a panel of their own, and a "
            "transfer switch keeps the house off a dead line."
        ),
        warranty=(
            "As with grid-tied, and the battery has its own warranty, in years and in energy delivered. It will be "
            "replaced sooner than the modules."
        ),
        financing=(
            "The battery adds clearly to the price. It buys safety in an outage; bill savings alone seldom cover it."
        ),
    ),
    "off_grid": Meaning(
        backup=(
            "The system is the only source. When battery and sun run out, a generator or a dark house is what remains."
        ),
        selling_back="None. There is no line, so what the battery can't take is lost.",
        permits=(
            "Usually building and electrical permits and a final inspection, as for any house. A few jurisdictions "
            "exempt it by a rule of their own. There is no utility to ask."
        ),
        licensed_trades=(
            "The same electrical code holds, and batteries store enough to burn: the work is done under an "
            "electrician's licence."
        ),
        warranty=(
            "The makers' warranties, but the battery works every day and ages faster, and the generator needs service."
        ),
        financing=(
            "The highest price for each kilowatt-hour, and fewer lenders offer loans for it. It spares the line "
            "extension and the monthly bill."
        ),
    ),
}
