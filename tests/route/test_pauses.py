"""A paused job waits for a day, its own clocks stand still, and nobody else's do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from projects.route.business_days import business_days_between
from projects.route.facts import JobFacts, PauseFacts
from projects.route.holds import installation_problems
from projects.route.pauses import moved_by_pauses, paused_weekdays
from projects.route.standing import standing
from tests.route.scenarios import TODAY, changed, complete_job, latest_round, utility_side, without, without_mark

RUNNING = PauseFacts("undecided", date(2026, 6, 22), date(2026, 7, 13))


def paused(facts: JobFacts, *pauses: PauseFacts) -> JobFacts:
    return replace(facts, pauses=pauses or (RUNNING,))


def due_of(facts: JobFacts, key: str) -> date | None:
    return next(r.due_on for r in standing(facts).requirements if r.key == key)


def test_a_paused_job_waits_for_the_day_on_which_somebody_looks_again() -> None:
    before = standing(without(complete_job(), "contract"))
    answer = standing(paused(without(complete_job(), "contract")))
    assert answer.paused == RUNNING
    assert answer.stage == before.stage == "engineering"
    assert answer.pressing == ("look_again",)
    assert answer.next_step == "Look at the paused job again on 13 Jul 2026"
    assert answer.due_on == date(2026, 7, 13)
    assert (answer.waiting_on, answer.waiting_on_name) == ("office", "nobody, it is paused")
    assert "live" not in {gate.state for gate in answer.gates}
    assert next(g for g in answer.gates if g.current).caption == "paused, look again 13 Jul"
    # What is open stays open: a fact that comes in during the rest can be recorded.
    assert {r.key for r in answer.requirements if r.state == "open"} == {
        "look_again",
        *(r.key for r in before.requirements if r.state == "open"),
    }


def test_once_it_goes_on_the_job_is_where_it_was() -> None:
    facts = without(complete_job(), "contract")
    ended = paused(facts, replace(RUNNING, ended_on=date(2026, 6, 30)))
    assert standing(ended).paused is None
    assert standing(ended).pressing == standing(facts).pressing


def test_a_lost_job_is_not_paused() -> None:
    facts = replace(paused(without(complete_job(), "contract")), outcome="lost")
    assert standing(facts).paused is None
    assert standing(facts).next_steps == ()


def test_a_pause_releases_no_hold() -> None:
    facts = without(complete_job(), "permit_building_issued")
    assert installation_problems(paused(facts)) == installation_problems(facts) != []


def test_our_own_clock_stands_still_for_exactly_the_days_of_rest() -> None:
    """The contract is due ten business days after the design of Monday 16 March: Monday 30 March."""
    facts = without(complete_job(), "contract")
    assert due_of(facts, "contract") == date(2026, 3, 30)
    # Rested from Wednesday 25 March, on again on Wednesday 8 April: ten business days, worked out by hand.
    rest = PauseFacts("undecided", date(2026, 3, 25), date(2026, 4, 8), date(2026, 4, 8))
    later = due_of(paused(facts, rest), "contract")
    assert later == date(2026, 4, 13)
    assert business_days_between(date(2026, 3, 30), later) == 10
    # A rest that began after it was due excuses nothing.
    late = PauseFacts("undecided", date(2026, 4, 1), date(2026, 5, 1), date(2026, 5, 1))
    assert due_of(paused(facts, late), "contract") == date(2026, 3, 30)
    assert due_of(paused(facts, replace(rest, ended_on=rest.on)), "contract") == date(2026, 3, 30)


def test_a_running_pause_lasts_at_least_until_somebody_looks_again() -> None:
    assert len(paused_weekdays(paused(complete_job()))) == 15  # three working weeks from 22 June to 13 July
    forgotten = replace(RUNNING, look_again_on=date(2026, 6, 24))
    assert max(paused_weekdays(paused(complete_job(), forgotten))) < TODAY
    assert len(paused_weekdays(paused(complete_job(), forgotten))) == 7


def test_calendar_days_move_by_the_calendar() -> None:
    """Seen on Tuesday 3 March, an answer is asked for after a fortnight: 17 March, or four days of rest later."""
    facts = without(complete_job(), "go_ahead")
    assert due_of(facts, "go_ahead") == date(2026, 3, 17)
    rest = PauseFacts("undecided", date(2026, 3, 10), date(2026, 3, 14), date(2026, 3, 14))
    assert due_of(paused(facts, rest), "go_ahead") == date(2026, 3, 21)
    two = (rest, PauseFacts("weather", date(2026, 3, 20), date(2026, 3, 25), date(2026, 3, 25)))
    assert moved_by_pauses(paused(facts, *two), date(2026, 3, 3), date(2026, 3, 17)) == date(2026, 3, 26)


def test_the_jurisdiction_counts_on_through_our_pause() -> None:
    facts = without(complete_job(), "permit_building_issued")
    facts = changed(facts, latest_round("building", submitted_on=date(2026, 6, 15), outcome="pending"))
    assert due_of(paused(facts), "permit_building_issued") == due_of(facts, "permit_building_issued")
    corrected = changed(facts, latest_round("building", outcome="corrections", outcome_on=date(2026, 6, 19)))
    assert due_of(paused(corrected), "permit_building_corrections") == date(2026, 6, 26)


@pytest.mark.parametrize(("cause", "due"), [("undecided", date(2026, 7, 6)), ("moratorium", date(2026, 7, 27))])
def test_the_utility_stops_only_where_it_takes_no_applications(cause: str, due: date) -> None:
    facts = changed(complete_job(), utility_side(approved_on=None, submitted_on=date(2026, 6, 15)))
    rest = replace(RUNNING, cause=cause)  # type: ignore[arg-type]
    assert due_of(facts, "utility_approval") == date(2026, 7, 6)
    assert due_of(paused(facts, rest), "utility_approval") == due


def test_a_booked_day_does_not_move() -> None:
    facts = changed(complete_job(), without_mark("install_started"))
    assert due_of(paused(facts), "install_started") == due_of(facts, "install_started") == date(2026, 5, 4)
