"""The one-line on the sign-in page: nobody's job, just the product's face."""

from __future__ import annotations

from django.utils.safestring import SafeString

from projects.route.standing_types import Gate, Standing
from projects.screens.oneline import oneline_wide


def drawing() -> SafeString:
    titles = [
        ("lead", "Lead", "closed"),
        ("site_assessment", "Site assessment", "closed"),
        ("engineering", "Engineering", "closed"),
        ("permit_building", "Building permit", "closed"),
        ("permit_electrical", "Electrical permit", "live"),
        ("installation", "Installation", "future"),
        ("inspection", "Inspection", "future"),
        ("interconnection", "Interconnection", "future"),
        ("operation", "Permission to operate", "future"),
    ]
    gates = tuple(
        Gate(key, title, "", state, key.startswith("permit_"), state == "live", 0, 0)  # type: ignore[arg-type]
        for key, title, state in titles
    )
    return oneline_wide(Standing("permits", "Permits", False, (), gates, None, "", "", None))
