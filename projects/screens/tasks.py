"""A requirement says what must be true; a next step says what to do. This turns the one into the other."""

from __future__ import annotations

from projects.route.requirements.permits import KINDS
from projects.route.words import PERMIT_NAMES

TASKS: dict[str, str] = {
    "contact": "Take down name, address and a way to reach them",
    "answers": "Ask what must run, what matters first and the electric use",
    "system_type": "Decide the kind of system",
    "first_look": "Send the first-look report",
    "go_ahead": "Get the customer's go-ahead for the site assessment",
    "visit_booked": "Book the site visit",
    "service": "Record the service, busbar, main breaker and free spaces",
    "roof": "Measure and record the roof planes",
    "obstructions": "Record what shades the roof",
    "site_photos": "Photograph the service panel, the roof and the utility's meter, if any",
    "design": "Design the system for the roof and the service",
    "study": "Run the study on the current design",
    "design_checks": "Change the design until it passes its checks",
    "single_line": "Issue the single-line diagram",
    "electrician_review": "Have the electrician review the single-line diagram",
    "contractor_review": "Have the contractor review the design",
    "structural_letter": "Get the structural engineer's stamped letter",
    "contract": "Get the contract signed",
    "financing": "Get the loan approved",
    "permit_exemption": "Confirm the rule that asks for no permit",
    "permits_match_design": "Resubmit the changed design",
    "permits_hold": "Wait for the permits before any work begins",
    "equipment_ordered": "Order the equipment",
    "equipment_received": "Check the equipment in against the order",
    "install_booked": "Book the installation",
    "install_started": "Start the installation",
    "mounted": "Mount the attachments, racking and modules",
    "wired": "Do the electrical work",
    "rough_in_corrections": "Fix what the rough-in inspection found",
    "rough_in_booked": "Book the rough-in inspection",
    "rough_in": "Pass the rough-in inspection",
    "labels": "Put the placards and labels on",
    "install_photos": "Photograph the finished work",
    "commissioning_tests": "Do and record the commissioning tests",
    "final_corrections": "Fix what the final inspection found",
    "final_booked": "Book the final inspection",
    "final_passed": "Pass the final inspection",
    "final_check": "Do the licensed electrician's own final check",
    "application": "Send the interconnection application",
    "application_matches_design": "Tell the utility of the changed design",
    "application_complete": "See the application found complete",
    "screens": "See the application through the utility's screens",
    "grid_study": "See the utility's study finished",
    "meter_ordered": "Order the new meter from the utility",
    "utility_requests": "Answer what the utility asks",
    "utility_approval": "Get the interconnection application approved",
    "agreement": "Get the interconnection agreement signed",
    "inspection_sent": "Send the passed inspection to the utility",
    "meter": "Get the new meter set",
    "witness": "Pass the utility's witness test",
    "lender_asks_customer": "Get from the customer what the lender asks for",
    "lender_asks_office": "Hand in what the lender asks of us",
    "lender_asks_lender": "Have the lender confirm what is still open",
    "permission": "Get permission to operate",
    "switched_on": "Switch the system on for good",
    "handover": "Show the customer how to live with it and how to shut it down",
    "warranty": "Register the warranties in the customer's name",
    "claims_settled": "Settle the open warranty claim",
    "service_visit": "Make the planned service visit",
    "customer_picture": "Look at the picture that the customer sent",
    "look_again": "Look at the paused job again",
}

for _kind in KINDS:
    _name = PERMIT_NAMES[_kind]
    TASKS |= {
        f"permit_{_kind}_submitted": f"Submit the {_name}",
        f"permit_{_kind}_corrections": f"Answer the corrections to the {_name} and resubmit",
        f"permit_{_kind}_issued": f"See the {_name} through plan review",
        f"permit_{_kind}_renewal": f"Renew the expired {_name}",
    }


def task(key: str, sentence: str) -> str:
    """What to do for the requirement of this key; its own sentence where nobody has put it into words yet."""
    return TASKS.get(key, sentence)
