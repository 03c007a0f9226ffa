"""A new office's desk: what is still to be told, each thing until it is."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.models import Crew, OfficeProfile, Role
from projects.queries.setting_up import TOLD, not_told
from projects.screens.office.setting_up import NOUNS, WORDS, to_tell
from tests.factories import (
    InverterFactory,
    JurisdictionFactory,
    LicenceFactory,
    ModuleFactory,
    PersonFactory,
    UtilityFactory,
    lead,
    owner_person,
)

pytestmark = pytest.mark.django_db

TELLING = {
    "firm": lambda: OfficeProfile.objects.create(pk=1, name="Shoal & Sons"),
    "utility": UtilityFactory,
    "module": ModuleFactory,
    "inverter": InverterFactory,
    "jurisdiction": JurisdictionFactory,
    "contractor": lambda: LicenceFactory(trade="contractor"),
    "electrician": lambda: LicenceFactory(trade="electrician"),
    "people": lambda: PersonFactory(role=Role.CREW),
    "crew": lambda: Crew.objects.create(name="Ospreys"),
}


@pytest.fixture
def desk(client):
    person = owner_person()
    client.force_login(person)
    return lambda: client.get(reverse("desk")).content.decode()


def test_each_thing_is_asked_for_until_it_is_told(django_assert_num_queries) -> None:
    person = owner_person()
    assert not_told(person) == tuple(TOLD) == tuple(WORDS) == tuple(TELLING)
    left = list(TOLD)
    for key, tell in TELLING.items():
        tell()
        left.remove(key)
        with django_assert_num_queries(1):
            assert not_told(person) == tuple(left)


def test_someone_who_left_is_no_crew() -> None:
    PersonFactory(role=Role.CREW, is_active=False)
    assert "people" in not_told(owner_person())


def test_the_desk_leads_to_every_form(desk, client) -> None:
    shown = desk()
    assert "Set up the office" in shown
    for each in to_tell(owner_person(), any_jobs=False):
        assert each.task in shown and each.why in shown and f'href="{each.address}"' in shown
        assert client.get(each.address).status_code == 200
    assert set(NOUNS) < set(TOLD)


def test_an_office_with_jobs_is_asked_only_for_what_a_job_needs(desk) -> None:
    lead()
    shown = desk()
    assert WORDS["firm"][0] in shown
    assert WORDS["crew"][0] not in shown and WORDS["people"][0] not in shown


def test_it_is_gone_once_all_is_told(desk) -> None:
    for tell in TELLING.values():
        tell()
    assert "Set up the office" not in desk()
