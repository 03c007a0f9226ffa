"""One household's way, told by the people who go it: a request on the web page, a first look, a visit, engineering,
permits with corrections, an installation, an inspection that fails once, permission to operate, and in service.

Everything happens in real browsers on a real server; every date is today.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, expect

from paperwork.demo.running import RunningOffice
from tests.journeys.people import DESK, PHONE, CrewMember, OfficeWorker, Reader, Worker, photo
from tests.paperwork.reading import reader, text_of

pytestmark = pytest.mark.journey

HOUSEHOLD = "Ada Fennimore"
PHONE_NUMBER = "(252) 555-0148"


def today() -> date:
    """The office's day, not the machine's."""
    return datetime.now(ZoneInfo("America/New_York")).date()


@dataclass(repr=False)
class Cast:
    chromium: Browser
    address: str
    homeowner: Reader = field(init=False)
    olive: OfficeWorker = field(init=False)
    casey: CrewMember = field(init=False)
    winnie: Worker = field(init=False)
    job: int = 0
    link: str = ""

    def everybody(self) -> list[Reader]:
        return [self.homeowner, self.olive, self.casey, self.winnie]


def test_a_request_becomes_a_system_in_service(office: RunningOffice, chromium: Browser) -> None:
    cast = Cast(chromium, office.address)
    a_homeowner_asks(cast)
    the_office_takes_the_lead(cast)
    another_household_calls_and_duplicates_are_noticed(cast)
    the_kind_of_system_is_decided(cast)
    a_first_look_goes_out(cast)
    the_customer_reads_it_by_link_and_goes_ahead(cast)
    the_crew_assesses_the_site(cast)
    the_office_engineers(cast)
    the_owner_waives_the_loan(cast)
    papers_are_signed(cast)
    nobody_installs_before_the_permits(cast)
    permits_go_through_corrections(cast)
    equipment_comes_and_the_crew_installs(cast)
    the_final_inspection_fails_and_passes(cast)
    nobody_switches_on_before_permission(cast)
    the_utility_permits_operation(cast)
    it_is_in_service(cast)
    for person in cast.everybody():
        assert person.complaints == []


def a_homeowner_asks(cast: Cast) -> None:
    homeowner = cast.homeowner = Reader(cast.chromium, cast.address, PHONE)
    homeowner.opens("/ask/")
    page = homeowner.page.locator("main")
    homeowner.fills(page, {"name": HOUSEHOLD, "phone": PHONE_NUMBER, "email": "ada.fennimore@mail.example"})
    homeowner.fills(page, {"street": "14 Pilot Row", "zip_code": "28557", "city": "Marrow Bay", "state": "NC"})
    homeowner.fills(page, {"must_run": ["fridge", "lights", "well_pump_half_hp"], "outage_days_wanted": 2})
    homeowner.fills(page, {"goal": "backup", "yearly_kwh": "11,400", "wants_loan": "yes", "consent": True})
    # The page takes whoever fills it within four seconds for a robot.
    homeowner.page.wait_for_timeout(4200)
    homeowner.sends("Send it")
    assert "Thank you, it is with us" in homeowner.reads()
    assert "0001" not in homeowner.reads()


def the_office_takes_the_lead(cast: Cast) -> None:
    olive = cast.olive = OfficeWorker(cast.chromium, cast.address, "olive")
    assert olive.first_page == "/desk/"
    assert HOUSEHOLD in olive.reads()
    olive.opens("/jobs/")
    with olive.page.expect_navigation():
        olive.page.get_by_role("link", name=HOUSEHOLD).first.click()
    cast.job = int(re.search(r"/jobs/(\d+)/", olive.page.url).group(1))  # type: ignore[union-attr]
    # Contact and answers came with the request: the office begins with its own decision.
    assert olive.steps() == ["Decide the kind of system"]
    olive.records_below("Change jurisdiction", jurisdiction="Town of Marrow Bay", utility="Sound & Shore Power")


def another_household_calls_and_duplicates_are_noticed(cast: Cast) -> None:
    olive = cast.olive
    olive.opens("/leads/new/")
    form = olive.page.locator("form.intake")
    olive.fills(form, {"name": "Bertram Oakes", "phone": PHONE_NUMBER})
    olive.page.locator("#id_street").focus()
    noticed = olive.page.locator("#duplicates")
    expect(noticed).to_contain_text(HOUSEHOLD)
    olive.fills(form, {"phone": "(252) 555-0190", "street": "3 Heron Walk", "zip_code": "28557"})
    olive.fills(form, {"city": "Marrow Bay", "state": "NC"})
    expect(noticed).not_to_contain_text(HOUSEHOLD)
    with olive.page.expect_navigation():
        olive.presses("Enter the lead", form)
    assert "The first-look report is due within 24 hours" in olive.notice()
    assert "Ask what must run, what matters first and the electric use" in olive.steps()


def the_kind_of_system_is_decided(cast: Cast) -> None:
    olive = cast.olive
    olive.opens_job(cast.job)
    olive.follows("Decide the kind of system")
    assert "Recommended: hybrid" in olive.reads()
    assert "Decided: hybrid" in olive.sends("Decide", kind="hybrid")


def a_first_look_goes_out(cast: Cast) -> None:
    olive = cast.olive
    olive.opens(f"/jobs/{cast.job}/design/")
    olive.sends("Sketch it for the first look")
    olive.opens(f"/jobs/{cast.job}/study/")
    heard = olive.runs_the_study()
    assert len(heard) >= 2, f"progress said only {heard}"
    figures = olive.figures()
    olive.opens_job(cast.job)
    olive.follows("Send the first-look report")
    assert "is issued" in olive.sends("Issue the report")
    pdf = olive.downloads(f"/papers/issue/{olive.paper_number('First-look report')}/")
    assert len(reader(pdf).pages) == 1
    words = text_of(pdf)
    assert HOUSEHOLD in words
    # The same study feeds page and paper.
    production = re.search(r"([\d,]+) kWh a year", figures["production"]).group(1)  # type: ignore[union-attr]
    assert f"{production} kWh" in words
    assert f"{float(figures['array'].split()[0]):.1f} kW" in words
    assert f"falls by {figures['saved a month']} a month" in words or figures["saved a month"] in words
    used = float(re.sub(r"\D", "", figures["use"]))
    assert f"{round(100 * float(production.replace(',', '')) / used)} % of what the house uses" in words
    carried = figures["2 days outage carried"].split()[0]
    assert f"{carried} of 100 outages" in words


def the_customer_reads_it_by_link_and_goes_ahead(cast: Cast) -> None:
    olive, homeowner = cast.olive, cast.homeowner
    olive.page.locator("a[data-opens]").filter(has_text="Make a link").click()
    olive.page.locator(".slot form .btn.go").click()
    cast.link = olive.page.locator("#customer-link").input_value()
    homeowner.opens(cast.link)
    assert "First look" in homeowner.reads()
    assert "tell us whether you want to go ahead" in homeowner.reads()
    paper = homeowner.page.get_by_role("link", name="First-look report").get_attribute("href")
    assert HOUSEHOLD in text_of(homeowner.downloads(str(paper)))
    olive.opens_job(cast.job)
    olive.records("Get the customer's go-ahead", note="On the phone")
    olive.records("Book the site visit", on=today())
    homeowner.opens(cast.link)
    assert "Visit to your home" in homeowner.reads()


def the_crew_assesses_the_site(cast: Cast) -> None:
    casey = cast.casey = CrewMember(cast.chromium, cast.address, "casey")
    assert casey.first_page == "/crew/"
    casey.opens_job(HOUSEHOLD)
    assert len(casey.duties()) == 4
    site = f"/jobs/{cast.job}/site/"
    casey.opens(site)
    service = casey.page.locator("#service")
    casey.sends("Record the service", service, rating_a=200, main_breaker_a=200, busbar_a=225, free_spaces=6)
    casey.opens(f"{site}planes/new/")
    measured = {"azimuth_deg": "192° SSW", "tilt_deg": "6:12", "width_m": "40'", "slope_length_m": "18' 6\""}
    casey.sends("Record it", name="South roof", rafter_spacing_m="24", **measured)
    casey.opens(f"{site}obstructions/new/")
    tree = {"bearing_deg": "SSE", "distance_m": "52", "height_m": "40 ft", "width_m": "22"}
    casey.sends("Record it", kind="tree", **tree)
    assert "Tree" in casey.page.locator("#sun").inner_text()
    casey.opens(site)
    for shade, kind in enumerate(("Main service panel", "Meter", "Roof"), start=1):
        form = casey.page.locator("#photos form").first
        casey.sends("Keep the photo", form, kind=kind, upload=photo(shade * 40))
    assert "missing" not in casey.page.locator(".fourfold").inner_text()
    casey.opens(f"/crew/{cast.job}/")
    assert casey.duties() == []


def the_office_engineers(cast: Cast) -> None:
    olive = cast.olive
    olive.opens(f"/jobs/{cast.job}/loads/")
    assert "3 lines added" in olive.sends("Add them from the library")
    olive.opens_job(cast.job)
    olive.follows("Design the system")
    design = olive.page.locator("form:has(#id_module)")
    modules = design.locator("input[name^=modules_]").first.get_attribute("name")
    chosen = {
        "module": "Egret 400 (400 W)",
        "inverter": "Avocet H8 (hybrid, 7.6 kW)",
        "battery": "Dunlin 14 (13.5 kWh)",
    }
    said = olive.sends("Draw up the design", design, battery_count=2, **chosen, **{str(modules): 18})
    assert "Run the study on it next" in said
    olive.opens(f"/jobs/{cast.job}/study/")
    with olive.page.expect_navigation():
        olive.presses("Run it again")
    expect(olive.page.locator("dl.figures")).to_contain_text("7.20 kW", timeout=20_000)
    assert "pass" in olive.figures()["checks"], olive.page.locator(".checks").inner_text()
    olive.opens_job(cast.job)
    olive.issues("Issue the single-line diagram")
    pdf = olive.downloads(f"/papers/issue/{olive.paper_number('Single-line diagram')}/")
    words = text_of(pdf)
    for rating in ("Avocet H8", "2 × Dunlin 14", "18", "7.2 kW DC", "busbar 225 A", "main breaker 200 A"):
        assert rating in words, rating


def the_owner_waives_the_loan(cast: Cast) -> None:
    """They pay from savings after all. Only the owner sees a way to go on without a requirement."""
    cast.olive.opens_job(cast.job)
    assert cast.olive.page.get_by_role("link", name="Waive").count() == 0
    winnie = cast.winnie = Worker(cast.chromium, cast.address, "winnie", DESK)
    assert winnie.first_page == "/pipeline/"
    assert "2 jobs under way" in winnie.reads()
    winnie.opens(f"/jobs/{cast.job}/record/waive/financing/")
    winnie.page.locator("main .btn.go").click()
    assert "Write a few words" in winnie.reads()
    said = winnie.sends("Waive it", reason="They pay from savings; the lender was told.")
    assert "Waived" in said
    assert "They pay from savings" in winnie.reads()
    refused = winnie.page.context.request.get(f"/jobs/{cast.job}/record/waive/permits_hold/")
    assert refused.status == 404  # a hold that protects people has no such form


def papers_are_signed(cast: Cast) -> None:
    olive = cast.olive
    olive.opens_job(cast.job)
    assert "Get the loan approved" not in olive.steps()
    olive.records("Have the electrician review", note="Joss Venn")
    olive.records("Have the contractor review")
    olive.records("Get the structural engineer's stamped letter")
    olive.records("Get the contract signed")


def nobody_installs_before_the_permits(cast: Cast) -> None:
    casey = cast.casey
    casey.opens(f"/crew/{cast.job}/")
    assert "Don't start the installation" in casey.reads()
    casey.opens(f"/jobs/{cast.job}/record/mark/install_started/")
    casey.page.locator("main .btn.go").click()
    refused = casey.page.locator("main [role=alert]")
    expect(refused).to_contain_text(re.compile("permit", re.IGNORECASE))
    casey.opens(f"/crew/{cast.job}/")
    assert "Start the installation" not in casey.duties()


def permits_go_through_corrections(cast: Cast) -> None:
    olive = cast.olive
    olive.opens_job(cast.job)
    for kind, number in (("building", "B-2207"), ("electrical", "E-2208")):
        olive.records(f"Submit the {kind} permit", number=number)
    comments = "Show the attachment spacing at the eave.\nName the fire setbacks on the roof plan."
    olive.records("See the building permit", "Corrections asked for", comments=comments)
    # The utility is asked while plan review still has the drawings.
    olive.records("Send the interconnection application", number="IA-77")
    cast.homeowner.opens(cast.link)
    assert "Permits" in cast.homeowner.reads()
    for answer in ("Sheet 2 shows 4 ft at the eave.", "Sheet 1 now names them."):
        olive.records("Answer the corrections to the building permit", answer=answer)
    olive.records("Answer the corrections to the building permit", "Resubmit")
    assert "Round 2" in olive.page.locator("#reviews").inner_text()
    for kind, number in (("building", "B-2207"), ("electrical", "E-2208")):
        olive.records(f"See the {kind} permit", "Issued", number=number)


def equipment_comes_and_the_crew_installs(cast: Cast) -> None:
    olive, casey = cast.olive, cast.casey
    olive.opens_job(cast.job)
    olive.records("Order the equipment")
    olive.records("Book the installation", on=today())
    olive.records("Check the equipment in")
    casey.opens_job(HOUSEHOLD)
    assert "Don't start the installation" not in casey.reads()
    casey.records("install_started")
    casey.records("mounted", note="Two attachments moved 6 in for a knot")
    casey.records("wired")
    casey.records("labels")
    for shade, what in enumerate(("Array", "Inverter", "Labels and placards", "Battery"), start=5):
        assert "photograph" in casey.photographs(what, shade * 25)
    casey.records("commissioning_tests", note="Insulation above 100 MΩ on both strings")
    assert casey.duties() == []


def the_final_inspection_fails_and_passes(cast: Cast) -> None:
    olive, casey = cast.olive, cast.casey
    olive.opens_job(cast.job)
    olive.records("Book the final inspection", on=today())
    found = "The disconnect's placard is missing.\nBond the second rail."
    olive.records("Pass the final inspection", "Result", result="corrections", corrections=found, inspector="M. Doyle")
    casey.opens_job(HOUSEHOLD)
    assert casey.duties()[0].startswith("Fix what the final inspection found")
    for note in ("Placard on", "Bonded, torqued"):
        casey.sends_first(casey.page.locator(".duty#final_corrections"), {"note": note})
    olive.opens_job(cast.job)
    olive.records("Book the final inspection", on=today())
    olive.records("Pass the final inspection", "Result", result="passed")


def nobody_switches_on_before_permission(cast: Cast) -> None:
    casey = cast.casey
    casey.opens(f"/jobs/{cast.job}/record/mark/switched_on/")
    casey.page.locator("main .btn.go").click()
    expect(casey.page.locator("main [role=alert]")).to_contain_text("permission to operate")
    cast.homeowner.opens(cast.link)
    assert "must stay off" in cast.homeowner.reads()


def the_utility_permits_operation(cast: Cast) -> None:
    olive = cast.olive
    olive.opens_job(cast.job)
    olive.records("Get the interconnection application approved", "Approved")
    olive.records("Get the interconnection agreement signed")
    olive.records("Send the passed inspection")
    olive.records("Get the new meter set")
    olive.records("Get permission to operate", number="PTO-9")


def it_is_in_service(cast: Cast) -> None:
    olive, casey, winnie = cast.olive, cast.casey, cast.winnie
    winnie.opens("/pipeline/")
    assert "2 jobs under way" in winnie.reads()
    casey.opens_job(HOUSEHOLD)
    casey.records("switched_on")
    olive.opens_job(cast.job)
    olive.records("Show the customer how to live with it")
    olive.records("Register the warranties")
    assert "In service" in olive.page.locator(".head .now").inner_text()
    assert olive.steps() == []
    cast.homeowner.opens(cast.link)
    assert "In service" in cast.homeowner.reads()
    winnie.opens("/pipeline/")
    assert "1 job under way" in winnie.reads()
    assert HOUSEHOLD not in winnie.page.locator(".cols").inner_text()
