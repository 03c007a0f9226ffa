"""The interconnection summary: the study's ratings, the standard's settings, the drawing behind it."""

from __future__ import annotations

import pytest

from paperwork.content.interconnection import _generation as generation_rows
from paperwork.content.interconnection import _level as level_row
from paperwork.content.interconnection import _service as service_rows
from paperwork.content.interconnection import trip_rows
from paperwork.issue import issue_paper, paper_problems
from projects.models import Job, OfficeProfile, Person
from tests import factories
from tests.paperwork import hand_made
from tests.paperwork.golden_designs import packet_facts
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import reader, text_of
from tests.paperwork.study_facts import study_facts


@pytest.mark.django_db
@pytest.mark.parametrize("kind", ["grid_tied", "hybrid"])
def test_it_says_what_utilities_ask_and_carries_the_drawing(firm: OfficeProfile, office: Person, kind: str) -> None:
    job = factories.job_at("permits", kind)
    issued = issue_paper(job=job, kind="interconnection", actor=office)
    assert issued.number == f"{job.label}-IA-1"
    pages = [" ".join(page.extract_text().split()) for page in reader(bytes(issued.content)).pages]
    design = job.designs.get()
    study = issued.facts["study"]
    for part in (
        job.customer.phone,
        job.utility.name,
        f"1 × {design.inverter.name}",
        f"16 × {design.module.name}",
        "6.4 kW at standard test conditions",
        f"{study['production']['ac_kw']:g} kW",
        f"{study['electrical']['backfeed_breaker_a']:g} A",
        "1, simplified (this utility: up to 10 kW AC)",
        "No operation in parallel with the utility before its permission to operate.",
        "not certified",
        "written from memory: check them against the standard",
    ):
        assert part in pages[0], part
    assert ("27 kWh" in pages[0]) == ("inverter and storage" in pages[0]) == (kind == "hybrid")
    assert "Single-line diagram" in pages[1] and f"{issued.number}, page 2" in pages[1]


@pytest.mark.parametrize(
    ("ac_kw", "level", "words"),
    [
        (10.0, 1, "1, simplified (this utility: up to 10 kW AC)"),
        (10.1, 2, "2, fast track with screens (this utility: above 10 kW AC, up to 2,000 kW)"),
        (7.6, 2, "2, fast track with screens (as Tidewater Electric has the application)"),
        (7.6, 3, "3, with a study (as Tidewater Electric has the application)"),
    ],
)
def test_the_level_gives_the_size_for_a_reason_only_where_it_is_one(ac_kw: float, level: int, words: str) -> None:
    profile = {"name": "Tidewater Electric", "simplified_up_to_kw": 10.0, "fast_track_up_to_kw": 2000.0}
    facts = {"application": {"level": level, "ac_kw": ac_kw}, "utility_profile": profile}
    assert level_row(facts) == [("Level", words)]


def test_trip_settings_are_the_standards_in_volts() -> None:
    """IEEE 1547-2018 category III: OV2 1.20 pu 0.16 s, UV1 0.88 pu 21 s; OF1 61.2 Hz 300 s. At 240 V: 288 and 211.2."""
    from dataclasses import asdict

    from sizing.electrical.grid import default_trip_settings

    trips = {c: [asdict(s) for s in default_trip_settings(c)] for c in ("II", "III")}  # type: ignore[arg-type]
    rows = {row["function"]: row for row in trip_rows(study_facts(trips=trips))}
    assert rows["Overvoltage 2"]["level_III"] == "120 % (288 V)" and rows["Overvoltage 2"]["time_III"] == "0.16 s"
    assert rows["Undervoltage 1"]["level_III"] == "88 % (211.2 V)" and rows["Undervoltage 1"]["time_III"] == "21 s"
    assert rows["Overfrequency 1"]["level_II"] == "61.2 Hz" and rows["Overfrequency 1"]["time_II"] == "300 s"
    assert len(rows) == 8


@pytest.mark.django_db
def test_off_grid_has_nothing_to_apply_for(firm: OfficeProfile) -> None:
    job = factories.job_at("permits", "off_grid")
    assert any("nothing to apply for" in p.message for p in paper_problems(job=job, kind="interconnection"))


@pytest.mark.django_db
def test_without_a_utility_it_is_refused_and_another_utility_is_a_change(firm: OfficeProfile, office: Person) -> None:
    job = factories.job_at("permits", "grid_tied")
    issue_paper(job=job, kind="interconnection", actor=office)
    other = factories.UtilityFactory(name="Tern Cooperative")
    Job.objects.filter(pk=job.pk).update(utility=other)
    again = issue_paper(job=Job.objects.get(pk=job.pk), kind="interconnection", actor=office)
    assert any(line.startswith("Utility: Tern Cooperative") for line in again.changes)
    assert "Tern Cooperative" in text_of(bytes(again.content))
    Job.objects.filter(pk=job.pk).update(utility=None)
    refused = paper_problems(job=Job.objects.get(pk=job.pk), kind="interconnection")
    assert any("No utility is set" in problem.message for problem in refused)


def test_two_inverters_have_a_breaker_each() -> None:
    profile = {"tariff_kind": "net_metering", "witness_test": False, "meter_swap": True}
    for inverters, words in ((1, "40 A"), (2, "2 × 40 A")):
        studied = hand_made.result("grid_tied", request=hand_made.request("grid_tied", inverter_count=inverters))
        assert ("Breaker of the inverters", words) in service_rows(facts_of(studied) | {"utility_profile": profile})


def test_inverters_of_the_storage_are_counted_beside_the_pv() -> None:
    """7.6 kW of PV and one battery of 5 kW with its own inverter: 12.6 kW could feed the grid."""
    rows = dict(generation_rows(packet_facts("ac_coupled", "interconnection", "0147-IA-1")))
    assert rows["AC rating"] == "7.6 kW of PV; 5 kW of the storage's own inverters; 12.6 kW together"
    assert dict(generation_rows(packet_facts("hybrid", "interconnection", "0147-IA-1")))["AC rating"] == "7.6 kW"
