"""Permit packets: cover, and the parts in the order in which a plan reviewer asks for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from paperwork.content.block import job_code, title_block
from paperwork.content.calculations import calculations
from paperwork.content.equipment_data import equipment_data
from paperwork.content.labels import label_sheet
from paperwork.content.roof_plan import plan_title, roof_plan
from paperwork.content.single_line import KIND_WORDS, single_line
from paperwork.content.single_line_tables import equipment_rows, string_rows
from paperwork.content.structural import structural
from paperwork.pdf import Part, Sheet
from paperwork.words import count, day, short

TITLES = {
    "building_packet": "Building permit packet",
    "electrical_packet": "Electrical permit packet",
    "permit_packet": "Permit packet",
}
SUBTITLES = {
    "building_packet": "for the building permit",
    "electrical_packet": "for the electrical permit",
    "permit_packet": "for the combined permit",
}
TRADES = {
    "building_packet": ("contractor",),
    "electrical_packet": ("electrician",),
    "permit_packet": ("contractor", "electrician"),
}
TRADE_WORDS = {"contractor": "licensed contractor", "electrician": "licensed electrician"}
BUILDING = frozenset({"building_packet", "permit_packet"})
ELECTRICAL = frozenset({"electrical_packet", "permit_packet"})
WORKING = {
    "building_packet": frozenset({"climate", "production", "roof", "structure"}),
    "electrical_packet": frozenset({"climate", "production", "string", "circuit", "interconnection", "backup"}),
    "permit_packet": frozenset(
        {"climate", "production", "string", "circuit", "interconnection", "backup", "roof", "structure"}
    ),
}


def packet_sheets(facts: Mapping[str, Any], preview: bool, paper_size: str) -> list[Sheet]:
    kind = facts["kind"]
    parts = {**facts, "changes": []}
    found = []
    if kind in BUILDING:
        found += [
            Sheet("roof_plan", {**roof_plan(parts, paper_size), "preview": preview}, plan_title(facts["study"]), True),
            Sheet("structural", {**structural(parts), "preview": preview}, "Structural sheet"),
        ]
    found += [
        Sheet("single_line", {**single_line(parts), "preview": preview}, "Single-line diagram and schedules", True),
        Sheet("calculations", {**calculations(parts, WORKING[kind]), "preview": preview}, "Calculation sheet"),
        Sheet("equipment_data", {**equipment_data(parts), "preview": preview}, "Equipment data"),
    ]
    if kind in ELECTRICAL:
        found.append(Sheet("labels", {**label_sheet(parts), "preview": preview}, "Label sheet"))
    return found


def cover_sheet(facts: Mapping[str, Any], parts: Sequence[Part], preview: bool) -> Sheet:
    return Sheet("packet_cover", {**cover(facts, parts), "preview": preview}, "Cover")


def cover(facts: Mapping[str, Any], parts: Sequence[Part]) -> dict[str, Any]:
    profile, kind = facts["profile"], facts["kind"]
    return {
        "facts": facts,
        "head": title_block(facts),
        "code": job_code(facts),
        "title": TITLES[kind],
        "subtitle": SUBTITLES[kind],
        "issued": day(facts["on"]),
        "parts": [{"title": p.title, "page": p.page, "pages": count(p.pages, "page")} for p in parts],
        "attach": facts["attach"],
        "wanted": wanted_rows(facts, parts),
        "profile": _profile_rows(facts),
        "counter": profile["counter_note"],
        "licences": [
            {**licence, "words": TRADE_WORDS[licence["trade"]], "until": day(licence["expires_on"])}
            for licence in facts["licences"]
            if licence["trade"] in TRADES[kind]
        ],
        "insurance": [{**policy, "until": day(policy["expires_on"])} for policy in facts.get("insurance", ())],
        "site": _site_rows(facts),
        "equipment": equipment_rows(facts),
        "strings": "; ".join(
            f"{r['strings']} × {r['in_series']} on {r['plane']}, input {r['input']}"
            for r in string_rows(facts["study"])
        ),
        "changes": facts.get("changes", []),
    }


def wanted_rows(facts: Mapping[str, Any], parts: Sequence[Part]) -> list[dict[str, str]]:
    """The jurisdiction's own list, and where each of it is."""
    pages = {part.title.lower(): part.page for part in parts}
    other = {"building_packet": "electrical", "electrical_packet": "building"}.get(facts["kind"], "other")
    rows = []
    for line in facts.get("wanted", ()):
        # A jurisdiction's list says "roof plan" whatever carries the modules.
        part = "array plan" if line["part"] == "roof plan" and "array plan" in pages else line["part"]
        page = 1 if part == "cover" else next((at for title, at in pages.items() if title.startswith(part)), None)
        if not part:
            where = "to be attached"
        elif page is None:
            where = f"in the {other} permit packet"
        else:
            where = f"page {page}, {part}"
        rows.append({"what": line["what"], "where": where})
    return rows


def _profile_rows(facts: Mapping[str, Any]) -> list[tuple[str, str]]:
    profile, kind = facts["profile"], facts["kind"]
    rows = [
        ("Authority having jurisdiction", f"{profile['name']}, {profile['state']}"),
        ("Reached at", ", ".join(filter(None, (profile["phone"], profile["email"]))) or "not recorded"),
        ("National Electrical Code", f"{profile['code_edition']} edition, with local amendments"),
        ("Basic wind speed", f"{profile['wind_speed_mph']} mph"),
        ("Ground snow", f"{profile['ground_snow_psf']} psf"),
        ("Fire review", "asked for" if profile["fire_review"] else "not asked for"),
        ("Rough-in inspection", "asked for" if profile["rough_in_inspection"] else "not asked for"),
        ("Inspection notice", count(profile["inspection_notice_days"], "business day")),
    ]
    if kind in BUILDING:
        rows.insert(5, ("Structural letter", "asked for" if profile["structural_letter"] else "not asked for"))
    rows += [(fee["what"], _fee(fee)) for fee in facts.get("fees", ())]
    return rows


def _fee(fee: Mapping[str, Any]) -> str:
    """ "$197.80 (145.00 + 8.80 kW at 6.00)": the sum, and the working where there is more than one part."""
    if fee["total_usd"] is None:
        return f"not known yet: {fee['working']}"
    total = f"${Decimal(fee['total_usd']):,.2f}"
    worked = fee["working"].rpartition(" = ")[0]
    return f"{total} ({worked})" if worked else total


def _site_rows(facts: Mapping[str, Any]) -> list[tuple[str, str]]:
    study = facts["study"]
    service = study["request"]["service"]
    rows = [
        ("Owner", facts["customer"]["name"]),
        ("Address", facts["site"]["address"]),
        ("County", facts["site"]["county"] or "not recorded"),
        (
            "System",
            f"{KIND_WORDS[facts['system_kind']]}, {short(study['production']['dc_kw'], 2)} kW DC, "
            f"{short(study['production']['ac_kw'], 2)} kW AC",
        ),
    ]
    if facts["system_kind"] != "off_grid":
        rows += [
            (
                "Service",
                f"{short(service['rating_a'])} A, main breaker {short(service['main_breaker_a'])} A, busbar "
                f"{short(service['busbar_a'])} A",
            ),
            ("Utility", facts["utility"] or "not recorded"),
        ]
    for plane in facts["roof"]:
        feet = f"{short(plane['width_m'] / 0.3048, 0)} × {short(plane['slope_length_m'] / 0.3048, 0)} ft"
        rows.append(
            (
                plane["name"],
                f"{count(plane['modules'], 'module')}; {feet}, pitch {short(plane['tilt_deg'])}°, facing "
                f"{short(plane['azimuth_deg'], 0)}°, {plane['covering'].lower()}",
            )
        )
    return rows
