"""The plain facts that people record with one button: what each says, who may record it, what to mind."""

from __future__ import annotations

from dataclasses import dataclass

from projects.route.facts import Party

OFFICE: frozenset[str] = frozenset({"office", "owner"})
CREW: frozenset[str] = frozenset({"office", "crew", "owner"})


@dataclass(frozen=True)
class MarkRule:
    sentence: str
    """What became true: "The customer has signed the contract"."""
    party: Party
    """Who does it (not who records it)."""
    verb: str
    """On the button: "Record signed contract"."""
    roles: frozenset[str]
    """Roles of the people who may record it."""
    caution: str = ""
    """Shown beside the button where the work can hurt."""


_ROOF = (
    "Work on a roof needs fall protection and a rescue plan by the local safety rules. Stop in wind, rain or ice, "
    "and ask the engineer where the framing isn't what the drawing shows."
)
_LIVE = (
    "Only a qualified person under the electrician's licence. Modules in light are live and DC arcs don't go out by "
    "themselves: shade or disconnect, lock out and tag, prove dead before touching. Follow the listed instructions "
    "and the local code."
)
_TEST = (
    "Only a qualified person under the electrician's licence. Follow the listed instructions of each maker, wear what "
    "the arc-flash and shock assessment asks for, and keep the system off after the tests until it may operate."
)
_SWITCH_ON = (
    "Only after the final inspection has passed and, with a grid connection, after permission to operate. A qualified "
    "person follows the listed start-up instructions: a system that feeds back early can kill a line worker."
)

MARKS: dict[str, MarkRule] = {
    "go_ahead": MarkRule(
        "The customer has given the go-ahead for a site assessment", "customer", "Record go-ahead", OFFICE
    ),
    "electrician_review": MarkRule(
        "The licensed electrician has reviewed the single-line diagram of the current design",
        "electrician",
        "Record electrician's review",
        CREW,
        "The review is the licence holder's own. A change of the design ends it.",
    ),
    "contractor_review": MarkRule(
        "The licensed contractor has reviewed the current design",
        "contractor",
        "Record contractor's review",
        OFFICE,
        "The review is the licence holder's own. A change of the design ends it.",
    ),
    "structural_letter": MarkRule(
        "The structural engineer's stamped letter is in hand",
        "engineer",
        "Record stamped letter",
        OFFICE,
        "The letter must be for this roof and this design. Only a licensed engineer may judge the framing.",
    ),
    "contract_signed": MarkRule("The customer has signed the contract", "customer", "Record signed contract", OFFICE),
    "loan_approved": MarkRule("The lender has approved the loan", "lender", "Record approved loan", OFFICE),
    "permit_exemption": MarkRule(
        "The local rule that asks for no permit is confirmed for this job",
        "office",
        "Confirm exemption",
        OFFICE,
        "Ask the jurisdiction before relying on an exemption, and note who said so. The codes hold without a permit.",
    ),
    "equipment_ordered": MarkRule("The equipment is ordered", "office", "Record order", OFFICE),
    "equipment_received": MarkRule(
        "The equipment has arrived and is checked against the order",
        "office",
        "Record arrival",
        OFFICE,
        "A damaged module or battery isn't installed: set it aside and follow the maker's instructions.",
    ),
    "install_started": MarkRule("The crew has started the installation", "crew", "Record start", CREW, _ROOF),
    "mounted": MarkRule("The attachments, racking and modules are mounted", "crew", "Record mounted", CREW, _ROOF),
    "wired": MarkRule(
        "The electrical work is done under the electrician's licence", "electrician", "Record wired", CREW, _LIVE
    ),
    "labels": MarkRule("The placards and labels are on", "crew", "Record labels", CREW),
    "commissioning_tests": MarkRule(
        "Insulation, polarity, voltage and torque are tested and recorded",
        "electrician",
        "Record commissioning tests",
        CREW,
        _TEST,
    ),
    "final_check": MarkRule(
        "The licensed electrician's own final check is passed",
        "electrician",
        "Record final check",
        CREW,
        "No inspector comes to this job: the licensed electrician answers for the check. " + _LIVE,
    ),
    "switched_on": MarkRule("The system is switched on for good", "crew", "Record switched on", CREW, _SWITCH_ON),
    "handover": MarkRule(
        "The customer has been shown how to live with the system and how to shut it down",
        "office",
        "Record handover",
        OFFICE,
    ),
    "warranty_registered": MarkRule(
        "The warranties are registered in the customer's name", "office", "Record registration", OFFICE
    ),
}
