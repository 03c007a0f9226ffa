"""Every action there is: one journal row, a fresh standing, and nobody without the right does it.

The actions are found by looking, so that a new one fails here until the story below tells it.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from functools import wraps
from types import ModuleType
from typing import Any

import pytest
from django.utils import timezone

import projects.actions
from projects import studies
from projects.actions import (
    bulk,
    closing,
    design,
    evidence,
    fire_access,
    horizon,
    inspections,
    intake,
    interconnection,
    loads,
    mailing,
    marks,
    money_rules,
    office,
    pausing,
    permits,
    reopening,
    scheduling,
    searching,
    sharing_site,
    site,
    snoozing,
    study,
    waivers,
    warranties,
    weather,
)
from projects.actions.bulk_changes import PutOff
from projects.actions.problems import NotAllowed
from projects.actions.standing import disagreements
from projects.models import Job, JournalEntry, Message, Person, Role
from tests.actions.scenes import (
    a_file_of_leads,
    in_service,
    settings_of_the_office,
    the_customers_pictures,
    the_money_of,
)
from tests.factories import (
    JurisdictionFactory,
    PersonFactory,
    Story,
    UtilityFactory,
    catalogue,
    crew_person,
    lead,
    office_person,
    owner_person,
    photo,
)

pytestmark = pytest.mark.django_db

NO_JOURNAL_ROW = {
    "study.begin_study": "the row is written when the study ends",
    "profiles.save_jurisdiction": "no job of its own; the jobs it re-routes get theirs",
    "profiles.save_utility": "no job of its own; the jobs it re-routes get theirs",
    "payment_terms.save_payment_terms": "no job",
    "profiles.add_closure": "no job of its own; the jobs it re-routes get theirs",
    "profiles.remove_closure": "no job of its own; the jobs it re-routes get theirs",
    "calendar_feeds.make_feed": "no job",
    "calendar_feeds.revoke_feed": "no job",
    "mailing.send_again": "the fact behind the message is in the journal already",
    "mailing.stop_message": "the fact behind the message is in the journal already",
    "importing.begin_import": "no job yet",
    "importing.try_import": "no job yet",
    "importing.discard_import": "no job ever",
    "bulk.try_on_many": "everything is taken back",
    "crews.save_crew": "no job",
    "crews.add_day_off": "no job",
    "crews.remove_day_off": "no job",
    "firm.save_firm": "no job",
    "money_rules.save_money_rules": "no job",
    "prices.save_prices": "no job of its own; the jobs it re-routes get theirs",
    "weather.add_weather_file": "no job of its own; the jobs that it serves get theirs",
    "weather.retire_weather_file": "no job of its own; the jobs that it served get theirs",
    "staff.save_person": "no job",
    "staff.save_licence": "no job",
    "staff.save_insurance": "no job",
    "staff.save_equipment": "no job",
}


def actions() -> dict[str, tuple[ModuleType, Callable[..., Any]]]:
    """Public keyword-only functions with an ``actor``, by "module.name"."""
    found = {}
    for info in pkgutil.iter_modules(projects.actions.__path__):
        module = importlib.import_module(f"projects.actions.{info.name}")
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if name.startswith("_") or function.__module__ != module.__name__:
                continue
            if inspect.isgeneratorfunction(inspect.unwrap(function)):
                continue  # a context for other actions, which are told themselves
            actor = inspect.signature(function).parameters.get("actor")
            if actor is not None and actor.kind is inspect.Parameter.KEYWORD_ONLY:
                found[f"{info.name}.{name}"] = (module, function)
    return found


class Watch:
    """Wraps every action: before each call a stranger tries it in vain, after it the books are checked."""

    def __init__(self) -> None:
        self.told: set[str] = set()
        self.stranger: Person = PersonFactory(role=Role.LICENCE_HOLDER)
        self.former: Person = PersonFactory(role=Role.OWNER, is_active=False)

    def around(self, name: str, action: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(action)
        def watched(**given: Any) -> Any:
            before = self.rows()
            for nobody in (self.stranger, self.former):
                with pytest.raises(NotAllowed):
                    action(**{**given, "actor": nobody})
            assert self.rows() == before, f"{name} wrote for somebody who may not"
            answer = action(**given)
            self.told.add(name)
            wanted = 0 if name in NO_JOURNAL_ROW else 1
            assert self.rows() - before == wanted, f"{name} wrote {self.rows() - before} journal rows"
            assert disagreements(Job.objects.all()) == [], f"{name} left an old standing"
            return answer

        return watched

    @staticmethod
    def rows() -> int:
        return JournalEntry.objects.count()


@pytest.fixture
def watch(monkeypatch: pytest.MonkeyPatch) -> Watch:
    watching = Watch()
    # These call other actions of theirs by the unwrapped name, or run inside one: they are wrapped all the same.
    for name, (module, action) in actions().items():
        wrapped = watching.around(name, action)
        monkeypatch.setattr(module, action.__name__, wrapped)
        for other in (site, design, office):
            if getattr(other, action.__name__, None) is action:
                monkeypatch.setattr(other, action.__name__, wrapped)
    once: dict[str, Any] = {}
    computed = studies.run

    def run(request: Any, progress: Any = None) -> Any:
        key = request.system_type
        if key not in once:
            once[key] = computed(request, progress)
        return once[key]

    monkeypatch.setattr(studies, "run", run)
    return watching


def test_every_action_keeps_the_books(watch: Watch) -> None:
    clerk, owner, crew = office_person(), owner_person(), crew_person()
    today = timezone.localdate()
    settings_of_the_office(owner)
    county = JurisdictionFactory(rough_in_inspection=True, structural_letter=True)
    power = UtilityFactory(witness_test=True, completeness_days=5, meter_order=True, simplified_up_to_kw=5)

    job = lead("hybrid", jurisdiction=county, utility=power, wants_loan=True)
    told = {"job": job, "actor": clerk}
    story = Story(job, "hybrid", real_study=True)
    intake.update_answers(**told, outage_days_wanted=3)
    intake.update_contact(**told, phone="(252) 555-0118")
    intake.update_address(**told, street="14 Spartina Lane", city="Marrow Bay", state="NC", zip_code="28557")
    office.assign(**told, person=clerk)
    office.set_price(**told, price_usd=Decimal("31000"))
    office.share_link(**told)
    office.revoke_links(**told)
    intake.decide_system_type(**told, kind="hybrid")
    catalogue("hybrid")
    design.preliminary_design(**told)
    granted = money_rules.enter_incentive(**told, name="Grant", usd=Decimal(500), source="A leaflet")
    money_rules.withdraw_incentive(**told, incentive_id=granted.pk)
    weather.choose_weather(**told, choice="nearest")
    study.run_study(**told)
    story.paper("first_look")
    story.mark("go_ahead")

    story.site_assessment()
    plane = site.save_roof_plane(
        job=job, actor=crew, name="Shed", tilt_deg=5, azimuth_deg=90, width_m=4, slope_length_m=3
    )
    site.remove_roof_plane(job=job, actor=crew, plane_id=plane.pk)
    tree = site.save_obstruction(
        job=job, actor=crew, kind="tree", bearing_deg=140, distance_m=12, height_m=9, width_m=6
    )
    site.remove_obstruction(job=job, actor=crew, obstruction_id=tree.pk)
    site.record_no_obstructions(job=job, actor=crew)
    horizon.record_horizon(job=job, actor=crew, points=[(90.0, 4.0), (180.0, 11.0)])
    fire_access.record_fire_access(job=job, actor=crew, sprinklered=True, roof_plan_area_m2=190.0)
    spare = evidence.add_photo(job=job, actor=crew, kind="other", upload=photo(99), key="device-1-photo-7")
    evidence.remove_photo(job=job, actor=crew, evidence_id=spare.pk, reason="Wrong house.")

    story.engineering()
    line = loads.save_load_line(**told, name="Fan", watts=40, hours_per_day=5)
    loads.remove_load_line(**told, line_id=line.pk)
    found = searching.start_search(**told, bill_offset=0.1, ride_through_share=0.1)
    searching.take_design(**told, search=found, place=found.result["cheapest"])
    study.start_study(**told)
    story.study()
    story.paper("single_line")
    story.mark("contractor_review")
    the_money_of(job, clerk)
    marks.withdraw_mark(**told, key="contractor_review", reason="Wrong job.")
    waivers.waive(job=job, actor=owner, key="contractor_review", reason="The owner holds the licence.")
    waivers.withdraw_waiver(job=job, actor=owner, key="contractor_review")
    story.mark("contractor_review")
    interconnection.submit_application(**told, on=story.day)
    roof = [{"plane": "South roof", "modules": 14}]
    design.save_design(**told, on=story.next_day(), plane_modules=roof, strings=[])
    interconnection.revise_application(**told, on=story.day)
    story.study()
    story.paper("single_line")
    for key in ("electrician_review", "contractor_review", "structural_letter"):
        story.mark(key)

    story.submit("building")
    permits.record_corrections(**told, kind="building", on=story.next_day(), comments=["Show the setback."])
    comment = job.permits.get(kind="building").submissions.get().comments.get()
    permits.answer_comment(comment=comment, actor=clerk, answer="Sheet 2.", on=story.next_day())
    story.submit("building")
    permits.issue_permit(**told, kind="building", on=story.next_day(), number="B-1")
    permits.renew_permit(**told, kind="building", on=story.next_day(), expires_on=today + timedelta(days=400))
    permits.void_permit(**told, kind="building", on=story.next_day(), reason="Issued for the wrong lot.")
    story.submit("building")
    permits.issue_permit(**told, kind="building", on=story.next_day(), number="B-2")
    story.submit("electrical")
    permits.issue_permit(**told, kind="electrical", on=story.next_day(), number="E-1")

    asked = interconnection.record_utility_request(**told, on=story.next_day(), text="Which meter?")
    interconnection.answer_utility_request(request=asked, actor=clerk, on=story.next_day(), answer="The left one.")
    interconnection.record_complete(**told, on=story.day)
    interconnection.record_queue(**told, on=story.day, position=3)
    interconnection.pass_screens(**told, on=story.day)
    interconnection.place_on_level(**told, on=story.day, level=3)
    interconnection.finish_grid_study(**told, on=story.day)
    interconnection.approve_interconnection(**told, on=story.next_day())
    interconnection.sign_agreement(**told, on=story.next_day())
    interconnection.order_meter(**told, on=story.next_day())

    story.installation()
    booked = inspections.book_inspection(**told, kind="final", on=story.next_day())
    inspections.cancel_inspection(inspection=booked, actor=clerk, reason="Storm.")
    booked = inspections.book_inspection(**told, kind="final", on=story.next_day())
    inspections.record_inspection(
        inspection=booked, actor=clerk, result="corrections", on=story.day, corrections=["Label missing."]
    )
    inspections.fix_correction(correction=booked.corrections.get(), actor=crew, on=story.next_day())
    story.inspection()
    interconnection.send_inspection(**told, on=story.next_day())
    interconnection.set_meter(**told, on=story.next_day())
    interconnection.pass_witness_test(**told, on=story.next_day())
    story.operation()
    story.in_service()
    marks.withdraw_mark(**told, key="warranty_registered", reason="The battery was left out.")
    warranties.register_warranties(**told, on=story.next_day())
    job.refresh_from_db()
    assert (job.stage, job.next_step) == ("in_service", "")
    in_service(job, clerk, crew)

    again = lead("hybrid", jurisdiction=county, utility=power)
    intake.mark_duplicate(job=again, of=job, actor=clerk)
    reopening.reopen_job(job=again, actor=clerk, reason="Their other house.")
    later = timezone.localdate() + timedelta(days=3)
    snoozing.snooze(job=again, key=again.next_key, actor=clerk, until=later, reason="They are away.")
    snoozing.end_snooze(job=again, key=again.next_key, actor=clerk)
    put_off = PutOff(until=later, reason="They are away again.")
    [tried] = bulk.try_on_many(ids=[again.pk], change=put_off, actor=clerk)
    bulk.make_on_many(stamps={again.pk: tried.stamp}, change=put_off, actor=clerk)
    mailing.set_email_updates(job=again, actor=clerk, wanted=False)
    mailing.set_email_updates(job=again, actor=clerk, wanted=True)
    letter = Message.objects.create(job=again, kind="need", fact="need:answers", data={"needs": ["answers"]})
    mailing.send_again(actor=clerk, message=letter)
    mailing.stop_message(actor=clerk, message=letter)
    scheduling.schedule(job=again, kind="site_visit", actor=clerk, on=later, despite=True)
    scheduling.cancel(job=again, kind="site_visit", actor=clerk, reason="They are away longer.")
    scheduling.undo(job=again, entry=scheduling.last_change(again, "site_visit"), actor=clerk)
    pausing.pause_job(job=again, actor=clerk, cause="undecided", reason="They think.", look_again_on=later)
    pausing.look_again_later(job=again, actor=clerk, look_again_on=later + timedelta(days=4), reason="Still.")
    pausing.resume_job(job=again, actor=clerk)
    sharing_site.share_site(job=again, with_job=job, actor=clerk)
    sharing_site.unshare_site(job=again, actor=clerk)
    the_customers_pictures(again, clerk)
    closing.close_job(job=again, actor=clerk, outcome="lost", reason="They move away.")
    a_file_of_leads(clerk)

    assert watch.told == set(actions()), "this story must tell every action"
