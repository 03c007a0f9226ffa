"""A homeowner's request: nobody signs in, robots stay out, nobody else's data shows."""

from __future__ import annotations

import pytest
from django.core import signing
from django.test import Client
from django.urls import reverse

from projects.models import Job
from projects.screens import public
from tests import factories

NEIGHBOUR = {
    "name": "Ivo Brandt",
    "phone": "252 555 0171",
    "email": "ivo@brandt.example",
    "street": "3 Plover Street",
    "zip_code": "28557",
    "city": "Morehead City",
    "state": "NC",
    "owns_home": "own",
    "must_run": ["fridge", "medical"],
    "goal": "backup",
    "consent": "on",
}


@pytest.fixture
def read(monkeypatch) -> dict[str, str]:
    """The page as a person leaves it: open for a minute."""
    import time

    now = time.time()
    monkeypatch.setattr("django.core.signing.time.time", lambda: now - 60)
    opened = signing.dumps("", salt=public.STAMP)
    monkeypatch.setattr("django.core.signing.time.time", lambda: now)
    return NEIGHBOUR | {"opened": opened}


@pytest.fixture
def homeowner(db) -> Client:
    return Client()


def ask(client: Client, said: dict, **extra):
    return client.post(reverse("ask"), said, **extra)


def test_a_request_becomes_a_lead_that_nobody_of_the_office_entered(homeowner, read) -> None:
    answer = ask(homeowner, read)
    assert answer.status_code == 302 and answer.url == reverse("ask-thanks")
    job = Job.objects.get()
    assert job.source == "web" and job.customer.name == "Ivo Brandt"
    assert job.journal.get().actor is None
    thanks = homeowner.get(answer.url).content.decode()
    assert "What happens next" in thanks and "Brandt" not in thanks and job.label not in thanks


def test_the_page_needs_no_sign_in_and_shows_no_customer(homeowner) -> None:
    other = factories.lead("hybrid", days_ago=3)
    page = homeowner.get(reverse("ask"))
    assert page.status_code == 200 and "no-store" in page["Cache-Control"]
    for secret in (other.customer.name, other.customer.phone, other.site.street):
        assert secret not in page.content.decode()


def test_a_duplicate_is_taken_like_any_other_so_that_nothing_is_given_away(homeowner, read) -> None:
    first, second = ask(homeowner, read), ask(homeowner, read)
    assert (first.status_code, first.url) == (second.status_code, second.url)
    assert Job.objects.count() == 2
    assert "in the book" not in homeowner.get(second.url).content.decode()


def test_a_robot_that_fills_the_trap_is_thanked_and_forgotten(homeowner, read) -> None:
    answer = ask(homeowner, read | {"website": "http://spam.example"})
    assert answer.status_code == 302 and answer.url == reverse("ask-thanks")
    assert not Job.objects.exists()


def test_the_trap_is_hidden_from_people_and_from_their_keyboards(homeowner) -> None:
    page = homeowner.get(reverse("ask")).content.decode()
    field = page[page.index('name="website"') - 200 : page.index('name="website"') + 200]
    assert 'tabindex="-1"' in field and 'aria-hidden="true"' in field and "visually-hidden" in field


def test_a_form_sent_faster_than_anybody_reads_is_asked_again_with_nothing_lost(homeowner) -> None:
    answer = ask(homeowner, NEIGHBOUR | {"opened": signing.dumps("", salt=public.STAMP)})
    page = answer.content.decode()
    assert answer.status_code == 422 and "That was quick" in page and 'value="Ivo Brandt"' in page
    assert not Job.objects.exists()


@pytest.mark.parametrize("opened", ["", "made-up", "eyJ:x:y"])
def test_a_made_up_stamp_is_no_stamp(homeowner, opened: str) -> None:
    answer = ask(homeowner, NEIGHBOUR | {"opened": opened})
    assert answer.status_code == 422 and not Job.objects.exists()


def test_correcting_a_slip_does_not_start_the_time_anew(homeowner, read) -> None:
    wrong = ask(homeowner, read | {"zip_code": "12"})
    assert wrong.status_code == 422
    assert f'name="opened" value="{read["opened"]}"' in wrong.content.decode()
    assert ask(homeowner, read).status_code == 302


def test_one_address_sends_so_many_requests_an_hour_and_no_more(homeowner, read, settings) -> None:
    settings.REQUESTS_PER_HOUR = 3
    for _ in range(3):
        assert ask(homeowner, read).status_code == 302
    stopped = ask(homeowner, read)
    page = stopped.content.decode()
    assert stopped.status_code == 429 and "a pause is needed" in page and 'value="Ivo Brandt"' in page
    assert Job.objects.count() == 3
    assert ask(homeowner, read, REMOTE_ADDR="198.51.100.7").status_code == 302


def test_mistakes_do_not_use_up_the_hour(homeowner, read, settings) -> None:
    settings.REQUESTS_PER_HOUR = 1
    for _ in range(4):
        assert ask(homeowner, read | {"zip_code": "1"}).status_code == 422
    assert ask(homeowner, read).status_code == 302


def test_a_forged_forwarding_header_wins_no_further_requests(homeowner, read, settings) -> None:
    settings.REQUESTS_PER_HOUR = 1
    assert ask(homeowner, read, HTTP_X_FORWARDED_FOR="203.0.113.1").status_code == 302
    assert ask(homeowner, read, HTTP_X_FORWARDED_FOR="203.0.113.2").status_code == 429
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    assert ask(homeowner, read, HTTP_X_FORWARDED_FOR="9.9.9.9, 203.0.113.3").status_code == 302
    assert ask(homeowner, read, HTTP_X_FORWARDED_FOR="8.8.8.8, 203.0.113.3").status_code == 429


def test_without_consent_nothing_is_kept(homeowner, read) -> None:
    answer = ask(homeowner, {key: value for key, value in read.items() if key != "consent"})
    assert answer.status_code == 422 and not Job.objects.exists()


def test_the_page_cannot_be_posted_from_another_site(db, read) -> None:
    strict = Client(enforce_csrf_checks=True)
    assert ask(strict, read).status_code == 403 and not Job.objects.exists()


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("name", "<img src=x onerror=alert(1)>" * 9),
        ("must_run", ["../../etc/passwd"]),
        ("goal", "'; drop table"),
        ("yearly_kwh", "1e400"),
        ("email", "a@b@c"),
        ("note", "x" * 5000),
        ("preferred_language", "xx"),
        ("outage_days_wanted", "-1"),
    ],
)
def test_hostile_input_is_refused_and_shown_as_text(homeowner, read, field: str, typed) -> None:
    answer = ask(homeowner, read | {field: typed})
    assert answer.status_code == 422 and field in answer.context["form"].errors
    assert "<img src=x" not in answer.content.decode()
    assert not Job.objects.exists()


def test_only_reading_and_sending_are_possible(homeowner) -> None:
    assert homeowner.put(reverse("ask")).status_code == 405
    assert homeowner.post(reverse("ask-thanks")).status_code == 405


def test_whoever_asks_in_spanish_reads_spanish_to_the_end(homeowner, read) -> None:
    page = homeowner.get(reverse("ask"), headers={"Accept-Language": "es-MX,es;q=0.9"}).content.decode()
    assert 'lang="es"' in page and "Cuéntenos de su casa" in page and "Refrigerador" in page
    wrong = ask(homeowner, read | {"page_language": "es", "name": "", "zip_code": "12"}).content.decode()
    assert "Por favor díganos su nombre" in wrong and "cinco cifras" in wrong and "needs" not in wrong
    answer = ask(homeowner, read | {"page_language": "es", "preferred_language": "es"})
    assert "Gracias" in homeowner.get(answer.url).content.decode()
    assert Job.objects.get().customer.preferred_language == "es"


def test_every_word_of_the_page_is_there_in_both_languages() -> None:
    english, spanish = public.WORDS["en"], public.WORDS["es"]
    for part in ("page", "fields", "choices", "required", "invalid", "needed"):
        assert getattr(english, part).keys() == getattr(spanish, part).keys()
    for name, choices in english.choices.items():
        assert [key for key, _ in choices] == [key for key, _ in spanish.choices[name]]


def test_the_zip_alone_completes_the_address(homeowner, read) -> None:
    assert ask(homeowner, read | {"city": "", "state": ""}).status_code == 302
    assert (Job.objects.get().site.city, Job.objects.get().site.state) == ("Morehead City", "NC")


def test_a_zip_code_newer_than_the_table_is_taken_and_the_office_is_told_to_find_the_house(homeowner, read) -> None:
    answer = ask(homeowner, read | {"zip_code": "28599", "city": "Otter Bend"})
    assert answer.status_code == 302
    job = Job.objects.get()
    assert job.site.located_from == "region"
    office = Client()
    office.force_login(factories.office_person())
    page = office.get(reverse("job", args=[job.number])).content.decode()
    assert "type the coordinates of the house" in page
    typed = read | {"zip_code": "28599", "city": "Otter Bend", "latitude_deg": "34.86", "longitude_deg": "-76.78"}
    assert office.post(reverse("lead-answers", args=[job.number]), typed).status_code == 302
    job.site.refresh_from_db()
    assert job.site.located_from == "typed"
    page = office.get(reverse("job", args=[job.number])).content.decode()
    assert "type the coordinates of the house" not in page


@pytest.mark.parametrize(("language", "says"), [("en", "no place with this ZIP"), ("es", "ningún lugar")])
def test_a_zip_code_of_another_state_is_refused_beside_the_field_in_the_pages_language(
    homeowner, read, language: str, says: str
) -> None:
    answer = ask(homeowner, read | {"state": "VA", "page_language": language})
    assert answer.status_code == 422 and says in answer.content.decode()
    assert Job.objects.count() == 0
