"""The owner's pipeline: whose page it is, what it adds up, what it says when there is little or much."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from projects.actions import closing, office
from projects.models import Job
from projects.screens.owner.drawing import StageLoad, money, pipeline_drawing
from tests.factories import crew_person, job_at, lead, office_person, owner_person
from tests.signing_in import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner() -> Client:
    return signed_in(owner_person())


def page(client: Client) -> str:
    answer = client.get(reverse("pipeline"))
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", answer.content.decode())


@pytest.mark.parametrize("person", [office_person, crew_person])
def test_it_is_the_owners_page_alone(person):
    assert signed_in(person()).get(reverse("pipeline")).status_code == 403


def test_a_stranger_is_asked_to_sign_in():
    assert Client().get(reverse("pipeline")).url.startswith(reverse("sign-in"))


def test_it_can_only_be_read(owner):
    assert owner.post(reverse("pipeline")).status_code == 405


def test_an_empty_office_has_an_empty_pipeline(owner):
    assert "0 jobs under way, $0 in price" in page(owner)
    assert "No job is under way." in page(owner)
    assert "nothing late" in page(owner)


def test_jobs_and_prices_add_up_by_stage_and_party(owner):
    one, two = job_at("permits"), job_at("installation")
    for job, price in ((one, 20_000), (two, 31_000)):
        office.set_price(job=job, actor=office_person(), price_usd=Decimal(price))
    shown = page(owner)
    assert "2 jobs under way, $51,000 in price" in shown
    assert re.search(r"Permits: 1 jobs, \d late, \$20k; Installation: 1 jobs, \d late, \$31k", shown)
    assert "2 wait on us, 0 on others" in shown


def test_what_waits_on_us_and_on_others_is_every_job_under_way(owner):
    job_at("permits"), job_at("lead"), job_at("operation"), lead(name="Kit Dow", street="9 Oak")
    ours, others = map(int, re.search(r"(\d+) wait on us, (\d+) on others", page(owner)).groups())
    assert ours + others == Job.objects.exclude(next_key="").count() == 4


def test_what_is_late_is_counted_and_can_be_opened(owner):
    lead(days_ago=30)
    shown = page(owner)
    assert "1 late" in shown
    assert "?overdue=on" in shown


def test_lost_jobs_and_finished_ones_are_not_under_way(owner):
    lost, _done = lead(), job_at("done")
    closing.close_job(job=lost, actor=office_person(), outcome="lost", reason="They move.")
    shown = page(owner)
    assert "0 jobs under way" in shown
    assert "1 lost" in shown


def test_a_job_without_a_price_is_named_as_such(owner):
    lead()
    assert "1 not priced" in page(owner)


def test_a_customers_name_is_text_and_never_markup(owner):
    lead(name="<img src=x onerror=alert(1)>")
    assert "<img src=x" not in page(owner)
    assert "&lt;img src=x" in page(owner)


@pytest.mark.parametrize(
    ("value", "words"),
    [(0, "$0"), (999, "$999"), (1000, "$1k"), (41_250, "$41k"), (999_999, "$1000k"), (1_214_070, "$1.21M")],
)
def test_money_is_told_in_round_figures(value, words):
    assert money(Decimal(value)) == words


def test_the_drawing_stands_one_block_for_each_job_and_slashes_the_late_ones():
    drawn = pipeline_drawing([StageLoad("lead", "Lead", 7, 2, Decimal(0))])
    assert drawn.count("<rect") == 7
    assert "One block is a job" in drawn
    assert "Lead: 7 jobs, 2 late, $0" in drawn


def test_on_an_upright_tablet_the_drawing_takes_two_rows_and_no_lettering_is_smaller_than_on_a_desk():
    loads = [StageLoad(f"s{n}", f"Stage {n}", n, n // 2, Decimal(0)) for n in range(1, 10)]
    wide, upright = pipeline_drawing(loads), pipeline_drawing(loads, rows=2)

    def smallest_letter_px(drawn, shown_px):
        width = float(re.search(r'viewBox="0 0 ([\d.]+)', drawn)[1])
        return min(map(float, re.findall(r'font-size="([\d.]+)"', drawn))) * shown_px / width

    assert smallest_letter_px(upright, 770) >= 13 > smallest_letter_px(wide, 770)
    assert upright.count("<rect") == wide.count("<rect") == 45
    names = re.findall(r'y="([\d.]+)"[^>]*>Stage \d', upright)
    assert len(names) == 9 and len(set(names)) == 2


def test_an_office_without_a_job_is_led_to_its_desk(owner):
    empty = page(owner)
    assert reverse("desk") in empty.partition("Stuck, and why")[2]
    assert "No job waits on anybody." in empty and "Oldest" not in empty
    assert owner.get(reverse("home")).url == reverse("desk")
    lead()
    assert owner.get(reverse("home")).url == reverse("pipeline")


def test_a_block_stands_for_several_jobs_where_there_are_many():
    drawn = pipeline_drawing([StageLoad("lead", "Lead", 1000, 10, Decimal(0))])
    assert drawn.count("<rect") <= 60
    assert re.search(r"One block is \d+ jobs", drawn)
