"""Fetch and authorise in one place, so that no view can forget; what comes twice from one page is taken in once."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from projects.models import Job, Person, Role
from projects.screens.sent_once import sent_once

View = Callable[..., HttpResponse]


def _roles_only(*roles: str) -> Callable[[View], View]:
    def decorate(view: View) -> View:
        @login_required
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if request.user.role not in roles:
                raise PermissionDenied("This page belongs to somebody else's work.")
            return sent_once(view, request, *args, **kwargs)

        return guarded

    return decorate


signed_in = _roles_only(Role.OFFICE, Role.OWNER, Role.CREW)
office_only = _roles_only(Role.OFFICE, Role.OWNER)
owner_only = _roles_only(Role.OWNER)
crew_or_office = _roles_only(Role.CREW, Role.OFFICE, Role.OWNER)


def job_or_404(request: HttpRequest, number: int) -> Job:
    """The job, with customer, site and authorities loaded, for anybody who works here."""
    person = request.user
    if not isinstance(person, Person) or not person.is_active or person.role == Role.LICENCE_HOLDER:
        raise PermissionDenied
    jobs = Job.objects.select_related("customer", "site", "jurisdiction", "utility", "assigned_to")
    return get_object_or_404(jobs, number=number)
