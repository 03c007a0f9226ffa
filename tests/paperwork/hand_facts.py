"""Facts around a study result, for layouts that need no database."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from projects.route.system_kind import Answers, recommend
from sizing.study.result import StudyResult
from tests.paperwork.hand_made import as_dict


def facts_of(result: StudyResult, **changes: Any) -> dict[str, Any]:
    kind = result.request.system_type
    answers = Answers(
        grid_available=kind != "off_grid",
        wants_backup=kind == "hybrid",
        wants_payback=kind == "grid_tied",
        must_run=("well_pump",),
        outage_days_wanted=3 if kind == "hybrid" else 1,
        wants_loan=True,
    )
    advice = recommend(answers)
    base: dict[str, Any] = {
        "kind": "first_look",
        "number": "0147-FL-1",
        "issue": 1,
        "on": "2026-11-25",
        "at": "2026-11-25T15:00:00+00:00",
        "firm": {
            "name": "Longleaf & Shore Backup Power",
            "address": "18 Ropewalk Street, Marrow Bay, NC 28599",
            "phone": "(555) 010-0140",
            "email": "office@longleaf-shore.example",
            "licence_line": "NC GC-40718, NC EL-22954",
        },
        "job": {"number": 147, "label": "0147"},
        "customer": {"name": "Ingrid Halvorsen", "language": "en"},
        "site": {
            "street": "41 Cormorant Lane",
            "city": "Marrow Bay",
            "state": "NC",
            "zip_code": "28599",
            "county": "Pelican",
            "address": "41 Cormorant Lane, Marrow Bay, NC 28599",
            "latitude_deg": 34.86,
            "owns_home": True,
        },
        "jurisdiction": "Town of Marrow Bay",
        "utility": "Sound & Shore Power",
        "system_kind": kind,
        "design": {
            "revision": "A",
            "preliminary": True,
            "fingerprint": "f" * 16,
            "modules": 22,
            "array_kw": 8.8,
            "battery_kwh": 27.0,
            "connection": "busbar_opposite_end",
            "designed_on": "2026-11-24",
        },
        "study": as_dict(result),
        "recommended_kind": advice.kind,
        "recommendation": {
            "reasons": list(advice.reasons),
            "meanings": {key: asdict(meaning) for key, meaning in advice.meanings.items()},
        },
        "kind_reason": "",
        "price_usd": "38420.00",
        "visited": False,
        "answers": {"goal": "backup", "outage_days_wanted": 3, "wants_loan": True, "bills": "months"},
        "licences": [
            {
                "trade": "electrician",
                "holder": "Joss Venn",
                "number": "EL-22954",
                "classification": "Unlimited",
                "state": "NC",
                "expires_on": "2026-12-31",
            }
        ],
        "service": {"recorded_on": "2026-11-20", "panel_note": ""},
        "changes": [],
        "replaces": "",
    }
    return base | changes
