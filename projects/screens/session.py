"""Signing in and out, and the first page of each role."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from projects.models import Job, Role
from projects.screens.demo_drawing import drawing

FIRST_PAGE = {Role.OFFICE: "desk", Role.CREW: "crew", Role.OWNER: "pipeline"}


class SignInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": "That name and password don't fit together. Mind capital letters.",
        "inactive": "This sign-in has been ended by the office.",
    }


class SignIn(LoginView):
    template_name = "sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs):
        return super().get_context_data(drawing=drawing(), **kwargs)


class SignOut(LogoutView):
    http_method_names = ["post", "options"]


@login_required
def home(request: HttpRequest) -> HttpResponse:
    """Each role lands where its day begins; the owner of a new office where it is set up."""
    page = FIRST_PAGE.get(request.user.role)
    if page == "pipeline" and not Job.objects.exists():
        page = "desk"
    if page is None:
        raise PermissionDenied("A licence holder has no page here; the office keeps the licences.")
    return redirect(page)
