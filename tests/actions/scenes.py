"""Scenes of the story in ``test_every_action``: the office sets itself up, money moves, pictures and files come in, and
the system is in service.

The actions are called through their modules, where the story watches them.
"""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from projects.actions import (
    calendar_feeds,
    change_orders,
    claims,
    costs,
    crews,
    customer_pictures,
    financing,
    firm,
    importing,
    invoicing,
    money_rules,
    payment_terms,
    payments,
    prices,
    profiles,
    readings,
    service_visits,
    staff,
    weather,
)
from projects.actions.payment_terms import ScheduleLine
from projects.models import Job, Person
from sizing.climate.shelf import bundled
from tests.factories import photo


def a_file_of_leads(clerk: Person) -> None:
    told = {
        "actor": clerk,
        "data": b"Name,Phone,Street,ZIP\nAda Tern,252 555 0101,1 Reed Row,28557\n",
        "filename": "old.csv",
    }
    importing.discard_import(actor=clerk, lead_import=importing.begin_import(**told))
    batch = importing.begin_import(**told)
    columns = {0: "name", 1: "phone", 2: "street", 3: "zip_code"}
    importing.bring_in(actor=clerk, lead_import=importing.try_import(actor=clerk, lead_import=batch, columns=columns))
    batch.refresh_from_db()
    assert batch.opened == 1


def in_service(job: Job, clerk: Person, crew: Person) -> None:
    today = timezone.localdate()
    begun = job.marks.get(key="switched_on", withdrawn_at=None).on
    over = today.replace(day=1) - timedelta(days=1)
    if (over.year, over.month) >= (begun.year, begun.month):
        readings.enter_reading(job=job, actor=clerk, year=over.year, month=over.month, produced_kwh=Decimal("412.5"))
    claim = claims.report_claim(
        job=job, actor=clerk, warranty=job.warranties.first(), on=today, trouble="The display is dark."
    )
    visit = service_visits.plan_service_visit(job=job, actor=clerk, claim=claim, on=today)
    service_visits.record_service_visit(visit=visit, actor=crew, on=today, found="A loose plug.")
    claims.settle_claim(claim=claim, actor=clerk, outcome="repaired", on=today, note="Plug seated.")
    look = service_visits.plan_service_visit(job=job, actor=clerk, purpose="The yearly look", on=today)
    service_visits.move_service_visit(visit=look, actor=clerk, on=today + timedelta(days=9), reason="They are away.")
    service_visits.cancel_service_visit(visit=look, actor=clerk)


def the_customers_pictures(job: Job, clerk: Person) -> None:
    ask = customer_pictures.ask_customer(job=job, actor=clerk, kind="panel")
    dark = customer_pictures.send_picture(ask=ask, actor=None, upload=photo(41))
    customer_pictures.refuse_picture(upload=dark, actor=clerk, reason="Too dark to read.")
    bright = customer_pictures.send_picture(ask=ask, actor=None, upload=photo(42))
    customer_pictures.accept_picture(upload=bright, actor=clerk)
    bill = customer_pictures.ask_customer(job=job, actor=clerk, kind="bill")
    customer_pictures.close_ask(ask=bill, actor=clerk)


def the_money_of(job: Job, clerk: Person) -> None:
    told = {"actor": clerk, "on": timezone.localdate()}
    change = change_orders.propose_change(job=job, **told, reason="A larger array.", amount_usd=Decimal("900"))
    change_orders.approve_change(change=change, **told)
    change = change_orders.propose_change(job=job, **told, reason="A car charger.", amount_usd=Decimal("700"))
    change_orders.drop_change(change=change, **told, reason="Next year.")
    payment_terms.set_schedule(job=job, actor=clerk, lines=[ScheduleLine("Deposit", "contract", Decimal(100), 1)])
    invoice = invoicing.record_invoice(job=job, actor=clerk, part=1)
    invoicing.credit_invoice(invoice=invoice, actor=clerk, reason="A slip.", amount_usd=Decimal("100"))
    paid = {"job": job, **told, "method": "check"}
    payment = payments.record_payment(**paid, amount_usd=Decimal("40000"))
    refund = payments.record_refund(**paid, amount_usd=Decimal("500"))
    payments.withdraw_payment(payment=refund, actor=clerk, reason="Never sent.")
    assert payment.amount_usd == Decimal("40000.00")
    loan = financing.submit_financing(
        job=job, **told, lender="Pier Bank", amount_usd=Decimal("20000"), rate_per_year=Decimal("0.075"), months=120
    )
    condition = financing.ask_condition(application=loan, **told, text="A signed contract.", party="office")
    financing.meet_condition(condition=condition, **told)
    financing.decide_financing(application=loan, **told, state="approved")
    cost = costs.record_cost(job=job, **told, kind="labor", what="Crew", hours=Decimal("16"))
    costs.withdraw_cost(cost=cost, actor=clerk, reason="The other job's.")


def settings_of_the_office(owner: Person) -> None:
    payment_terms.save_payment_terms(
        actor=owner,
        lines=[ScheduleLine("Deposit", "contract", Decimal(100), 1)],
        payment_days=10,
        labor_usd_per_hour=Decimal("60"),
    )
    town = profiles.save_jurisdiction(actor=owner, name="Quill Town", state="NC")
    light = profiles.save_utility(actor=owner, name="Quill Light")
    prices.save_prices(actor=owner, utility=light, blocks=[{"kwh": 500.0, "usd_per_kwh": 0.11}])
    money_rules.save_money_rules(actor=owner, years=20)
    closure = profiles.add_closure(actor=owner, jurisdiction=town, on=timezone.localdate())
    profiles.remove_closure(actor=owner, closure=closure)
    holder = staff.save_person(actor=owner, username="holder", first_name="Ola", last_name="Ray", role="licence_holder")
    expires_on = timezone.localdate() + timedelta(days=90)
    staff.save_licence(actor=owner, holder=holder, trade="electrician", number="E-7", state="NC", expires_on=expires_on)
    staff.save_insurance(
        actor=owner,
        kind="liability",
        insurer="Quill Mutual",
        number="P-1",
        starts_on=timezone.localdate() - timedelta(days=400),
        expires_on=expires_on,
    )
    staff.save_equipment(actor=owner, catalogue="generator", name="Hum 5", power_w=5000.0)
    year = bundled()[0].path
    upload = SimpleUploadedFile(year.name, year.read_bytes())
    shelved = weather.add_weather_file(actor=owner, upload=upload, source="the publisher")
    weather.retire_weather_file(actor=owner, weather=shelved, reason="A newer edition.")
    calendar_feeds.make_feed(actor=owner, person=owner)
    calendar_feeds.revoke_feed(actor=owner, person=owner)
    crew = crews.save_crew(actor=owner, name="North")
    crews.remove_day_off(actor=owner, day_off=crews.add_day_off(actor=owner, crew=crew, on=expires_on))
    firm.save_firm(actor=owner, name="Quill & Ray", street="1 Hum Way", city="Quill", state="NC", zip_code="28557")
