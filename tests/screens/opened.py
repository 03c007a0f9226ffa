"""A page as a browser holds it: what its form would send, hidden fields included."""

from __future__ import annotations

import re
from typing import Any

from django.forms import Form
from django.test import Client


def as_opened(client: Client, address: str, name: str = "form") -> dict[str, Any]:
    """``name``: of the form in the page's context."""
    context = client.get(address).context
    return typed_in(context[name]) | {"opened_with": context[name.replace("form", "opened_with")]}


def typed_in(form: Form) -> dict[str, Any]:
    typed = {}
    for field in form:
        value = field.value()
        if value is not None and value is not False and not callable(value):
            typed[field.html_name] = "on" if value is True else value
    return typed


def page_key(client: Client, address: str) -> dict[str, str]:
    """Of the page's first form that has one."""
    html = client.get(address).content.decode()
    return {"page_key": re.findall(r'name="page_key" value="(\w{20,})"', html)[0]}
