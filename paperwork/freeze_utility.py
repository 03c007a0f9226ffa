"""Freezes what the utility's application asks beyond the design."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from paperwork.freeze import single_line_facts
from paperwork.sources import Sources
from projects.models import Interconnection
from sizing.electrical.grid import default_trip_settings


def interconnection_facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None and sources.job.utility is not None
    job, utility = sources.job, sources.job.utility
    applied = Interconnection.objects.filter(job=job).first()
    return {
        **single_line_facts(job, sources.design, sources.study, common),
        "contact": {"phone": job.customer.phone, "email": job.customer.email},
        "application": {"number": applied.number if applied else ""},
        "utility_profile": {
            "name": utility.name,
            "phone": utility.phone,
            "email": utility.email,
            "tariff_kind": utility.tariff_kind,
            "witness_test": utility.witness_test,
            "meter_swap": utility.meter_swap,
        },
        "trips": {
            "II": [asdict(setting) for setting in default_trip_settings("II")],
            "III": [asdict(setting) for setting in default_trip_settings("III")],
        },
    }
