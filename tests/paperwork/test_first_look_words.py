"""What the first-look report says, against the figures it says it from."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from paperwork.content.first_look import cautions, first_look, months_words, recommended, shade_words, strip
from paperwork.content.first_look_money import verdict
from paperwork.content.first_look_outage import outage_part, starts
from paperwork.draw.ride_through import out_of_100
from paperwork.papers import first_look as paper
from paperwork.words import carried, duration, glued, short, usd, whole
from sizing.study import request as q
from tests.paperwork import hand_made
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import text_of


def study(kind: str = "hybrid", **changes: Any) -> dict[str, Any]:
    return hand_made.as_dict(hand_made.result(kind, **changes))


def money(saved: float, loan: float | None, covers: bool | None) -> tuple[dict[str, Any], dict[str, Any]]:
    terms = {"months": 300} if loan else None
    return (
        {
            "saved_month_mean_usd": saved,
            "loan_payment_usd": loan,
            "saving_covers_payment": covers,
            "simple_payback_years": 14.6,
        },
        {"loan": terms, "system_type": "hybrid"},
    )


def test_a_saving_that_does_not_cover_the_payment_is_said_first() -> None:
    said = verdict(*money(100.4, 265.4, False))
    assert said.startswith("The saving does not cover the loan payment.")
    assert "$100 a month" in said and "$265" in said and "$165 a month more" in said and "25 years" in said


def test_a_saving_that_covers_the_payment_is_said() -> None:
    assert "covers the loan payment of $90" in verdict(*money(120, 90, True))


def test_a_system_that_lowers_no_bill_claims_no_saving() -> None:
    said = verdict(*money(-3, 200, False))
    assert "does not lower the electric bill" in said and "$200 a month more" in said
    assert "falls" not in said


def test_without_a_loan_the_payback_is_in_years() -> None:
    assert "about 15 years" in verdict(*money(100, None, None))


def test_no_tariff_no_saving() -> None:
    facts = facts_of(hand_made.result("hybrid", money=None))
    assert "no saving is claimed" in first_look(facts)["money"]["verdict"]


@pytest.mark.parametrize(
    ("share", "told"), [(1.0, "100"), (0.9999, "99"), (0.955, "95"), (0.004, "1"), (0.0, "0"), (0.999, "99")]
)
def test_outages_out_of_a_hundred_are_never_rounded_up(share: float, told: str) -> None:
    assert out_of_100(share) == told


@pytest.mark.parametrize(
    ("hours", "told"),
    [
        (0.4, "less than an hour"),
        (1, "1 hour"),
        (23.99, "23 hours"),
        (24, "1 day"),
        (53.9, "2 days 5 hours"),
        (250, "10 days"),
    ],
)
def test_durations_are_never_rounded_up(hours: float, told: str) -> None:
    assert duration(hours) == told


def test_a_ride_through_is_not_claimed_beyond_the_horizon() -> None:
    assert carried(336, 336) == "14 days or more"
    assert carried(335.9, 336) == "13 days"


def test_typical_worst_month_and_no_sun_are_the_studys() -> None:
    facts = facts_of(hand_made.result("hybrid"))
    rows = dict(outage_part(facts, 248, 70)["rows"])
    assert rows["typically"] == "6 days 7 hours"
    assert rows["typically in December, the hardest month"] == "2 days 5 hours"
    assert rows["with no sun at all"] == "1 day 19 hours"


def test_grid_tied_says_that_the_lights_go_out() -> None:
    part = outage_part(facts_of(hand_made.result("grid_tied")), 248, 70)
    assert part["rows"] == [("lights stay on", "not at all")]
    assert part["drawing"] == ""
    text = text_of(paper.pages(facts_of(hand_made.result("grid_tied")), False))
    assert "off in an outage" in text and "switch off the moment the grid fails" in text


def test_off_grid_says_how_many_hours_it_falls_short() -> None:
    part = outage_part(facts_of(hand_made.result("off_grid")), 248, 70)
    assert "still falls short in 96 hours" in part["words"]
    asked = hand_made.request("off_grid", generator=None)
    alone = outage_part(facts_of(hand_made.result("off_grid", request=asked)), 248, 70)
    assert "falls short in 96 hours, and there is no generator to help out" in alone["words"]


def test_a_price_that_only_the_loan_assumes_is_named_so() -> None:
    facts = facts_of(hand_made.result("hybrid"), price_usd=None)
    cell = strip(facts)[-1]
    assert (cell["label"], cell["value"]) == ("price, assumed", "$38,420")


def test_what_does_not_start_is_said_and_why() -> None:
    # 4.8 kW of loads with the 3.5 kW air conditioner among them; 11.4 kW of surge: 4.8 - 3.5 + 13.8 = 15.1 kW is more.
    answers = {row["name"]: row["answer"] for row in starts(study(), 9)["rows"]}
    assert answers == {
        "Central air, 3 ton": "does not start",
        "Well pump, half horsepower": "starts",
        "Refrigerator": "starts",
        "Lights and outlets": "runs",
    }
    assert "11.4 kW" in starts(study(), 9)["notes"][0]


def test_all_start_where_the_study_says_so() -> None:
    easy = hand_made.result("hybrid")
    assert easy.ride_through is not None
    fine = replace(easy, ride_through=replace(easy.ride_through, surge_ok=True))
    assert not any(row["fails"] for row in starts(hand_made.as_dict(fine), 9)["rows"])


def test_a_long_list_says_how_many_more() -> None:
    assert starts(study(), 2)["more"] == "and 2 more items"


def test_months_in_which_more_is_made_than_used() -> None:
    assert months_words(study()).startswith("In April and May the panels make more")


@pytest.mark.parametrize(
    ("over", "told"),
    [
        ((3, 4, 5, 6), "From April to July"),
        ((11, 0, 1), "From December to February"),
        ((2, 8), "In March and in September"),
        ((0, 1, 5), "In January and February, in June"),
    ],
)
def test_runs_of_months_read_as_people_say_them(over: tuple[int, ...], told: str) -> None:
    used = tuple(10.0 if m in over else 5000.0 for m in range(12))
    base = hand_made.result("hybrid")
    changed = replace(base, loads=replace(base.loads, use_kwh_by_month=used, use_kwh_year=sum(used)))
    assert months_words(hand_made.as_dict(changed)).startswith(told)


def test_shade_is_weighed_over_the_planes() -> None:
    # 1 - 1612 / 1740 = 7.4 %; December keeps 80 %.
    assert shade_words(study(), visited=True) == (
        "Shade takes 7 % of the year's sunlight from the panels; most in December, 20 %."
    )


def test_no_recorded_shade_is_not_no_shade() -> None:
    open_sky = study(sun_path=replace(hand_made.SUN_PATH, silhouettes=()))
    assert "no shade is counted" in shade_words(open_sky, visited=False)
    assert "on record" in shade_words(open_sky, visited=True)


def test_cautions_name_distance_and_the_missing_visit() -> None:
    said = " ".join(cautions(facts_of(hand_made.result("hybrid"))))
    for part in ("187 km away (116 mi)", "Nobody has been on site", "not an offer and not a guarantee"):
        assert part in said
    near = hand_made.result("hybrid")
    near = replace(near, climate=replace(near.climate, distance_km=None))
    visited = " ".join(cautions(facts_of(near, visited=True)))
    assert "away" not in visited and "Nobody has been on site" not in visited


def test_another_kind_than_recommended_says_so() -> None:
    facts = facts_of(hand_made.result("grid_tied"), recommended_kind="hybrid", kind_reason="the budget ends there")
    assert recommended(facts)["why"] == (
        "Your answers alone would have pointed to hybrid. We chose otherwise: The budget ends there."
    )


def test_the_page_carries_the_studys_figures() -> None:
    result = hand_made.result("hybrid")
    text = text_of(paper.pages(facts_of(result), False))
    assert result.money is not None and result.ride_through is not None
    for figure in (
        f"{whole(result.production.ac_kwh_year)} kWh",
        f"{short(result.production.dc_kw)} kW",
        usd(result.money.bill_before_year_usd / 12),
        usd(result.money.bill_after_year_usd / 12),
        usd(result.money.loan_payment_usd or 0),
        carried(result.ride_through.median_hours, 336),
        "$38,420",
        "Ingrid Halvorsen",
        "41 Cormorant Lane, Marrow Bay, NC 28599",
    ):
        assert figure in text, figure


def test_no_promise_words() -> None:
    for kind in ("grid_tied", "hybrid", "off_grid"):
        text = text_of(paper.pages(facts_of(hand_made.result(kind)), False)).lower()
        for word in ("guaranteed", "will save", "never lose", "free electricity", "risk-free"):
            assert word not in text


def test_numbers_stay_with_their_units() -> None:
    assert glued("at least 40 A, 240 V and 7.6 kW") == "at least 40\u00a0A, 240\u00a0V and 7.6\u00a0kW"
    assert glued("NEC 690.7 (2020)") == "NEC 690.7 (2020)"


def test_a_start_without_any_surge_rating_counts_the_backup_power() -> None:
    weak = replace(hand_made.INVERTER, surge_w=0.0)
    asked = hand_made.request("hybrid", inverter=weak)
    note = starts(study(request=asked), 9)["notes"][0]
    assert "7.6 kW" in note
    assert isinstance(asked, q.StudyRequest)
