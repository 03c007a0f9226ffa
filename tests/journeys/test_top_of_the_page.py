"""The band at the top in a real browser: whoever signs in, at whatever size, it takes no more rows than it must."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from projects.models import Person
from tests.factories import crew_person, office_person, owner_person
from tests.signing_in import signed_in

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

LONG_NAME = ("Wilhelmina-Rosamund", "Featherstonehaugh-Oyelaran")
ONE_ROW, TWO_ROWS = 90, 140
"""Pixels that one row and two rows of 56 px targets stay under."""
SIZES = ((1440, 900, ONE_ROW), (1180, 820, ONE_ROW), (1024, 768, TWO_ROWS), (820, 1180, TWO_ROWS))
WHERE = """selectors => selectors.map(s => document.querySelector(s)?.getBoundingClientRect().toJSON())"""


@pytest.mark.parametrize("person", [office_person, owner_person, crew_person])
def test_the_way_out_stays_beside_the_mark(chromium: Browser, live_server, person) -> None:
    somebody: Person = person()
    Person.objects.filter(pk=somebody.pk).update(first_name=LONG_NAME[0], last_name=LONG_NAME[1])
    context = chromium.new_context(base_url=live_server.url)
    session = signed_in(somebody).cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
    page = context.new_page()
    wrong = []
    for address in ("/calendar/", "/crew/"):
        page.goto(address)
        for width, height, tallest in SIZES:
            page.set_viewport_size({"width": width, "height": height})
            top, mark, out, find = page.evaluate(WHERE, [".top", ".mark", ".who button", ".top .find"])
            here = f"{address} at {width}"
            if top["height"] > tallest:
                wrong.append(f"{here}: the band is {top['height']:.0f} px tall")
            if abs(out["y"] - mark["y"]) > 1 or abs(out["right"] - top["right"]) > 30:
                wrong.append(f"{here}: the way out stands at {out['x']:.0f}, {out['y']:.0f}")
            if find and (find["width"] < 150 or abs(find["y"] - mark["y"]) > 1):
                wrong.append(f"{here}: the search is {find['width']:.0f} px wide at {find['y']:.0f}")
    context.close()
    assert wrong == []
