"""The search from every page: as a list while somebody types, and as a page without a script."""

from __future__ import annotations

import pytest
from django.urls import reverse

from tests.factories import lead

pytestmark = pytest.mark.django_db


def test_every_page_of_the_office_has_the_field(office):
    html = office.get(reverse("desk")).content.decode()
    assert f'hx-get="{reverse("find")}"' in html
    assert 'id="found"' in html


def test_while_typing_a_fragment_comes_and_without_a_script_a_page(office):
    job = lead(name="Kari Lund")
    fragment = office.get(reverse("find"), {"q": "kar"}, headers={"hx-request": "true"})
    page = office.get(reverse("find"), {"q": "kar"})
    for answer in (fragment, page):
        assert answer.status_code == 200
        assert reverse("job", args=[job.number]) in answer.content.decode()
        assert "HX-Request" in answer["Vary"]
    assert b"<html" not in fragment.content
    assert b"<html" in page.content


def test_what_is_found_and_typed_is_text_and_never_markup(office):
    lead(name="<script>alert(1)</script>Kari")
    for asked in ("script", "<script>"):
        for headers in ({}, {"hx-request": "true"}):
            html = office.get(reverse("find"), {"q": asked}, headers=headers).content.decode()
            assert "<script>alert(1)" not in html
            assert "“<script>" not in html


def test_nothing_found_says_so(office):
    assert (
        "Nothing begins with"
        in office.get(reverse("find"), {"q": "nobody"}, headers={"hx-request": "true"}).content.decode()
    )
    assert "Nothing found" in office.get(reverse("find"), {"q": "nobody"}).content.decode()


def test_it_is_the_offices_alone(crew, client):
    assert crew.get(reverse("find")).status_code == 403
    assert client.get(reverse("find")).status_code == 302
