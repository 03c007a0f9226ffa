"""Jobs with real studies, and the office whose name stands on the papers."""

from __future__ import annotations

import pytest

from projects.models import Job, OfficeProfile, Person
from tests import factories


@pytest.fixture
def firm(db: None) -> OfficeProfile:
    profile = OfficeProfile(
        pk=1,
        name="Longleaf & Shore Backup Power",
        street="18 Ropewalk Street",
        city="Marrow Bay",
        state="NC",
        zip_code="28599",
        phone="(555) 010-0140",
        email="office@longleaf-shore.example",
        licence_line="NC GC-40718, NC EL-22954",
    )
    profile.save()
    return profile


@pytest.fixture
def office(db: None) -> Person:
    return factories.office_person()


@pytest.fixture
def hybrid(firm: OfficeProfile) -> Job:
    """Designed and studied, the single-line not yet issued."""
    return factories.job_at("permits", "hybrid", real_study=True)
