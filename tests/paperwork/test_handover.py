"""The handover packet: refused until the system may run, then all of it, in the customer's language."""

from __future__ import annotations

from datetime import date

import pytest

from paperwork.content.handover import living, loads, shutdown, warranty_rows
from paperwork.issue import issue_paper, paper_problems
from projects.actions import warranties
from projects.models import Customer, Interconnection, Job, OfficeProfile, Person
from tests import factories
from tests.paperwork.reading import reader, text_of

pytestmark = pytest.mark.django_db


def said(job: Job) -> str:
    return " ".join(problem.message for problem in paper_problems(job=job, kind="handover"))


def in_service(kind: str, **changes: object) -> Job:
    """Switched on, warranties still to be registered."""
    return factories.job_at("in_service", kind, **changes)


def test_before_the_end_everything_that_is_missing_is_named(firm: OfficeProfile) -> None:
    told = said(factories.job_at("installation", "hybrid"))
    for part in ("commissioning tests", "final inspection", "permission to operate", "switched on for good"):
        assert part in told, part


def test_off_grid_waits_for_no_utility(firm: OfficeProfile) -> None:
    assert "permission to operate" not in said(factories.job_at("installation", "off_grid"))
    assert said(in_service("off_grid")) == ""


def test_without_a_telephone_nobody_knows_whom_to_call(firm: OfficeProfile) -> None:
    OfficeProfile.objects.update(phone="")
    assert "telephone number" in said(in_service("grid_tied"))


@pytest.mark.parametrize("kind", ["grid_tied", "hybrid", "off_grid"])
def test_it_carries_drawing_shutdown_outage_and_warranties(firm: OfficeProfile, office: Person, kind: str) -> None:
    job = in_service(kind)
    issued = issue_paper(job=job, kind="handover", actor=office)
    read = reader(bytes(issued.content))
    assert issued.number == f"{job.label}-HP-1"
    titles = [str(entry.title) for entry in read.outline if not isinstance(entry, list)]
    assert titles[1:3] == ["Emergency shutdown", "Living with your system"]
    text = text_of(bytes(issued.content))
    for part in (
        "As-built single-line diagram",
        "(555) 010-0140",
        "911",
        "never open a cover",
        "Where the label on the equipment or the maker's instructions give another order",
        "not certified",
    ):
        assert part in text.replace("’", "'"), part
    assert ("Battery disconnect: turn it to OFF" in text) == (kind != "grid_tied")
    assert ("Generator: stop it" in text) == (kind == "off_grid")
    assert ("Utility disconnect, beside the meter" in text) == (kind != "off_grid")
    permission = Interconnection.objects.filter(job=job).first()
    assert (permission is not None) == ("Granted on" in text)
    # The shutdown steps hang beside the equipment: one page of their own.
    pages = [" ".join(page.extract_text().split()) for page in read.pages]
    assert sum("In this order" in page for page in pages) == 1


def test_what_is_backed_up_runs_and_nothing_else(firm: OfficeProfile, office: Person) -> None:
    facts = issue_paper(job=in_service("hybrid"), kind="handover", actor=office).facts
    runs, runs_not = loads(facts)
    tiers = set(facts["study"]["request"]["backup"]["tiers"])
    lines = facts["study"]["loads"]["appliances"]
    assert [name for name, _ in runs] == [a["name"] for a in lines if a["tier"] in tiers]
    assert [name for name, _ in runs_not[:-1]] == [a["name"] for a in lines if a["tier"] not in tiers]
    assert runs_not[-1][0] == "everything else in the house"


def test_a_grid_tied_house_is_told_that_it_goes_dark(firm: OfficeProfile, office: Person) -> None:
    facts = issue_paper(job=in_service("grid_tied"), kind="handover", actor=office).facts
    assert loads(facts) == ([], [("the whole house, the array included", "")])
    assert not any("attery" in step for step in shutdown(facts)["steps"])
    told = living(facts)
    said_of_it = [line for line in (*told["days"], *told["never"], *told["outage"]) if "attery" in line]
    assert len(said_of_it) == 1 and said_of_it[0].startswith("Add a load, a panel, a battery")


def test_an_array_on_the_ground_is_on_no_roof(firm: OfficeProfile, office: Person) -> None:
    facts = issue_paper(job=in_service("off_grid"), kind="handover", actor=office).facts
    assert any("roof" in line for line in (*shutdown(facts)["live"], *living(facts)["never"]))
    for plane in facts["study"]["request"]["planes"]:
        plane["mounting"] = "ground"
    assert not any("roof" in line for line in (*shutdown(facts)["live"], *living(facts)["never"]))


def test_warranties_end_on_the_registered_days_and_a_later_registration_is_a_change(
    firm: OfficeProfile, office: Person
) -> None:
    """Ten years from switching on; the makers' by their own years."""
    job = in_service("hybrid")
    first = issue_paper(job=job, kind="handover", actor=office)
    assert "we are registering them in your name" in text_of(bytes(first.content))
    warranties.register_warranties(job=job, actor=office, on=date.today(), workmanship_years=12)
    second = issue_paper(job=job, kind="handover", actor=office)
    registered = {row.covers: row.ends_on.isoformat() for row in job.warranties.all()}
    assert {row["covers"]: row["ends_on"] for row in second.facts["warranties"]["rows"]} == registered
    assert "Registered in your name" in text_of(bytes(second.content))
    assert any(line.startswith("Warranties: ") for line in second.changes)
    assert warranty_rows(second.facts)[0]["years"].isdigit()


def test_in_spanish_for_whoever_prefers_it(firm: OfficeProfile, office: Person) -> None:
    job = in_service("hybrid")
    Customer.objects.filter(pk=job.customer_id).update(preferred_language="es")
    job = Job.objects.get(pk=job.pk)
    issued = issue_paper(job=job, kind="handover", actor=office)
    root = reader(bytes(issued.content)).trailer["/Root"]
    assert root["/Lang"] == "es"
    text = text_of(bytes(issued.content))
    for part in ("Carpeta de entrega", "Apagado de emergencia", "nunca abra una tapa", "Permiso para operar", "911"):
        assert part in text, part
    assert "Emergency shutdown" not in text


def test_a_changed_design_holds_it_back_until_it_is_approved(firm: OfficeProfile) -> None:
    from projects.actions import design

    job = in_service("hybrid")
    actor = factories.office_person()
    design.save_design(job=job, actor=actor, plane_modules=[{"plane": "South roof", "modules": 14}])
    factories.run_study(job, actor, real=True)
    assert "Not done yet" in said(job)


def test_the_customers_link_reads_it(firm: OfficeProfile, office: Person) -> None:
    from paperwork.views import paper_for_link
    from projects.actions import office as office_actions

    job = in_service("grid_tied")
    issued = issue_paper(job=job, kind="handover", actor=office)
    token = office_actions.share_link(job=job, actor=office)
    assert paper_for_link(token, issued.number) == issued
