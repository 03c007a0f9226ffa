"""The list of published cases and the tests that claim them belong together."""

from collections import Counter

from tests.published.cases import STANDINGS, claimed, count, listed


def test_every_case_of_the_list_has_a_test_and_every_claim_is_listed():
    assert {item.key for item in listed()} == set(claimed())


def test_a_case_is_listed_once_and_says_what_it_is_and_where_it_comes_from():
    rows = listed()
    assert [key for key, times in Counter(row.key for row in rows).items() if times > 1] == []
    assert len({(row.subject, row.source) for row in rows}) == len(rows)
    assert all(row.standing in STANDINGS and len(row.subject) > 8 and len(row.source) > 8 for row in rows)


def test_there_are_eighty_with_an_answer_from_outside():
    by_standing = count()
    assert by_standing["confirmed"] + by_standing["memory"] >= 80
