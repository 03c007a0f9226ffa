"""Signing in, and where each role's day begins."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from projects.models import Person
from tests.factories import lead

pytestmark = pytest.mark.django_db
PASSWORD = "a long enough password"


def person(role: str, **more) -> Person:
    return Person.objects.create_user(username=role, password=PASSWORD, role=role, first_name=role.title(), **more)


@pytest.mark.parametrize(("role", "page"), [("office", "desk"), ("crew", "crew"), ("owner", "pipeline")])
def test_each_role_lands_on_its_own_page(client, role, page):
    person(role)
    lead()
    response = client.post(reverse("sign-in"), {"username": role, "password": PASSWORD}, follow=True)
    assert response.status_code == 200
    assert response.redirect_chain[-1][0] == reverse(page)


def test_a_licence_holder_has_no_page(client):
    person("licence_holder")
    client.force_login(Person.objects.get())
    assert client.get(reverse("home")).status_code == 403


def test_a_wrong_password_is_told_plainly_and_says_nothing_of_the_name(client):
    person("office")
    known = client.post(reverse("sign-in"), {"username": "office", "password": "wrong"})
    unknown = client.post(reverse("sign-in"), {"username": "nobody", "password": "wrong"})
    for response in (known, unknown):
        assert "don&#x27;t fit together" in response.content.decode()


def test_somebody_whose_sign_in_was_ended_stays_outside(client):
    person("office", is_active=False)
    client.post(reverse("sign-in"), {"username": "office", "password": PASSWORD})
    assert client.get(reverse("jobs")).status_code == 302


def test_guessing_passwords_is_stopped(client, settings):
    person("office")
    for _ in range(settings.AXES_FAILURE_LIMIT + 1):
        response = client.post(reverse("sign-in"), {"username": "office", "password": "wrong"})
    assert response.status_code == 429
    right = client.post(reverse("sign-in"), {"username": "office", "password": PASSWORD})
    assert right.status_code == 429


def test_signing_out_takes_a_post(client):
    client.force_login(person("office"))
    assert client.get(reverse("sign-out")).status_code == 405
    client.post(reverse("sign-out"))
    assert client.get(reverse("jobs")).status_code == 302


@pytest.mark.parametrize("name", ["desk", "jobs", "lead-new", "crew", "pipeline", "office"])
def test_nobody_sees_a_page_without_signing_in(client, name):
    response = client.get(reverse(name))
    assert response.status_code == 302
    assert response.url.startswith(reverse("sign-in"))


def test_a_stranger_s_next_address_is_not_followed(client):
    person("office")
    response = client.post(
        reverse("sign-in") + "?next=https://elsewhere.example/", {"username": "office", "password": PASSWORD}
    )
    assert "elsewhere" not in response.url


@pytest.mark.parametrize("name", ["sign-in", "ask"])
def test_no_page_lets_foreign_scripts_run(client, name):
    policy = client.get(reverse(name)).headers["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy


def test_a_form_from_before_another_sign_in_is_answered_in_our_own_words():
    """Where a browser sends an old page's key, nothing is recorded and the way on is told."""
    answer = Client(enforce_csrf_checks=True).post(reverse("sign-in"), {"username": "office", "password": "wrong"})
    assert answer.status_code == 403
    assert "This page is too old to be sent" in answer.content.decode()
