"""A look into the public lists of modules and inverters; what is chosen opens as a new line of the catalogue."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from projects import public_equipment
from projects.screens.access import office_only
from projects.screens.office.forms_settings import ONE

MOST_WORDS = 80


@office_only
@require_GET
def equipment_list(request: HttpRequest, noun: str) -> HttpResponse:
    if noun not in public_equipment.FILES:
        raise Http404
    words = request.GET.get("q", "").replace("\0", "").strip()[:MOST_WORDS]
    found, count = public_equipment.look_up(noun, words)
    context = {
        "nav": "office",
        "noun": noun,
        "one": ONE[noun],
        "words": words,
        "found": found,
        "count": count,
        "rest": count - len(found),
    }
    return render(request, "office/equipment_list.html", context)
