"""Freezes what the utility's application asks beyond the design."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Any

from paperwork.freeze import single_line_facts
from paperwork.sources import Sources
from projects.actions.facts import facts_of
from projects.models import Interconnection
from projects.route.requirements.interconnection import level
from sizing.electrical.grid import default_trip_settings


def interconnection_facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None and sources.job.utility is not None
    job, utility = sources.job, sources.job.utility
    known = facts_of(job, date.fromisoformat(common["on"]))
    applied = Interconnection.objects.filter(job=job).first()
    return {
        **single_line_facts(job, sources.design, sources.study, common),
        "contact": {"phone": job.customer.phone, "email": job.customer.email},
        "application": {"number": applied.number if applied else "", "level": level(known), "ac_kw": known.ac_kw},
        "utility_profile": {
            "name": utility.name,
            "phone": utility.phone,
            "email": utility.email,
            "tariff_kind": utility.tariff_kind,
            "witness_test": utility.witness_test,
            "meter_swap": utility.meter_swap,
            "simplified_up_to_kw": utility.simplified_up_to_kw,
            "fast_track_up_to_kw": utility.fast_track_up_to_kw,
        },
        "trips": {
            "II": [asdict(setting) for setting in default_trip_settings("II")],
            "III": [asdict(setting) for setting in default_trip_settings("III")],
        },
    }
