"""The owner's months and sources: whose page, what it adds up, what it says of little, and text that stays text."""

from __future__ import annotations

from decimal import Decimal

from django.test import Client
from django.urls import reverse

from projects.actions import closing, office
from projects.screens.owner.bars import MonthBar, ShareLine, WeekBar, month_bars, paired_bars, share_lines, week_bars
from tests.factories import crew_person, job_at, lead, office_person
from tests.screens.owner.reading import text_of
from tests.signing_in import signed_in

ADDRESS = "/pipeline/months/"


def test_it_is_the_owners_alone_and_only_read(db, owner):
    for person in (office_person(), crew_person()):
        assert signed_in(person).get(ADDRESS).status_code == 403
    assert Client().get(ADDRESS).status_code == 302
    assert owner.post(ADDRESS).status_code == 405
    assert reverse("months") == ADDRESS


def test_an_empty_book_is_told_as_empty(owner):
    shown = text_of(owner.get(ADDRESS))
    assert "No job has come in yet." in shown


def test_the_table_says_what_the_charts_draw(owner):
    job = job_at("permits")
    office.set_price(job=job, actor=office_person(), price_usd=Decimal(31_000))
    page = owner.get(ADDRESS)
    shown = text_of(page)
    signed = job.marks.get(key="contract_signed").on
    row = next(row for row in page.context["rows"] if row["first"] == signed.replace(day=1))
    assert row["steps"][1]["jobs"] == "1"
    assert row["steps"][1]["value"] == 31_000
    assert f"{signed:%B %Y} 31" in shown  # the drawing in words
    assert "expected" in shown
    assert [bool(row["steps"][2]["expected"]) for row in page.context["rows"]].count(True) >= 1


def test_months_begin_with_the_first_in_which_anything_happened(owner):
    lead(days_ago=40)
    page = owner.get(ADDRESS)
    assert page.context["rows"][0]["steps"][0]["jobs"] == "1"
    assert text_of(page).count("expected of signed jobs") == 1


def test_sources_are_told_by_the_forms_words_with_limits(owner):
    job_at("permits", source="referral")
    closing.close_job(
        job=lead(source="referral", name="Jo Bly", street="7 Elm"),
        actor=office_person(),
        outcome="lost",
        reason="Chose to wait a year.",
    )
    lead(source="", name="Kit Dow", street="9 Oak")
    lead(source="<b>flyer", name="Al Roe", street="3 Ash")
    shown = text_of(owner.get(ADDRESS))
    assert "A neighbour or friend: 1 of 2" in shown
    assert "9 to 91 %" in shown  # Wilson's limits of 1 in 2
    assert "Not asked: 0 of 0" in shown
    assert "<b>flyer" not in shown
    assert "&lt;b&gt;flyer" in shown


def test_nothing_inline_that_the_policy_forbids(owner):
    job_at("permits")
    shown = owner.get(ADDRESS).content.decode()
    assert " style=" not in shown
    assert "<style" not in shown


def test_every_drawing_stands_empty_hands_and_says_its_words():
    for drawn in (
        month_bars([], unit="$1000", words="none & nothing", name="a"),
        week_bars([], words="none & nothing"),
        paired_bars([], names=("a", "b"), unit="x", words="none & nothing"),
        share_lines([], words="none & nothing"),
    ):
        assert 'aria-label="none &amp; nothing"' in drawn
        assert "nan" not in drawn


def test_bars_stand_one_on_the_other_and_over_is_slashed():
    two = month_bars([MonthBar("Jan", 3, 2), MonthBar("Feb", 0, 0)], unit="$", words="", name="a")
    assert two.count("<rect") - two.count("<pattern") == 2
    over = week_bars([WeekBar("1", 6, 5)], words="")
    within = week_bars([WeekBar("1", 5, 5)], words="")
    assert over.count("<rect") == within.count("<rect") + 1


def test_a_share_without_a_decision_has_limits_and_no_dot():
    assert share_lines([ShareLine("a", None, 0, 1, "0 of 0")], words="").count("<circle") == 0
    assert share_lines([ShareLine("a", 0.5, 0.1, 0.9, "1 of 2")], words="").count("<circle") == 1
